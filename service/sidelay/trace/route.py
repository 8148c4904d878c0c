"""From the copies wanted back to the sheets run and bought, and the hours of the press."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from ..costing import Costs, Route, step_meter, steps_on
from ..curve import Array, Curve
from ..figures import Figure, Given
from ..machines import Step, Unit
from ..spoilage import begun
from .naming import COUNTED, PIECE, SHARE, SHEET, apart, identifier

PRESS_SAYS = "as the press model says"
MODEL = "the press model, from the figures of the press in the plant file"


@dataclass(frozen=True, slots=True)
class Counts:
    """How one route comes to its counts.

    figures: in the order that a class follows; meters: which figure each meter of the table is
    """

    figures: tuple[Figure, ...]
    meters: dict[str, Given]


def waste_of_step(out: Given, step: Step, into: float, name: str, unit: str) -> Figure:
    """What goes into a step so that so much comes out of it sound."""
    return Figure(
        name=name,
        value=into,
        unit=unit,
        formula=f"{out.name} + ceil({out.name} x running_waste) + set_up_waste",
        inputs=(
            out,
            Given("running_waste", float(step.running_waste), SHARE),
            Given("set_up_waste", float(step.set_up_waste), unit),
        ),
        because=f"what {step.name.replace('_', ' ')} spoils: a share of what comes out, and its "
        "set-up",
        source=step.source,
    )


def route_counts(
    number: int, route: Route, costs: Costs, column: int, wanted: Figure, of: str
) -> Counts:
    """Return the counts of one route at one quantity.

    wanted: the pieces that it has to deliver, with the reason; of: what the figures belong to
    """
    walk = _Walk(number, route, costs, column)
    figures = [replace(figure, of=of) for figure in (wanted, *walk.figures(wanted.given))]
    return Counts(tuple(figures), {"piece": wanted.given, **walk.meters})


class _Walk:
    """One route at one quantity, walked from its pieces to its hours."""

    def __init__(self, number: int, route: Route, costs: Costs, column: int) -> None:
        self._number, self._route, self._costs, self._column = number, route, costs, column
        self.meters: dict[str, Given] = {}

    def _at(self, array: Array) -> float:
        return float(array[self._number, self._column])

    def _why(self, name: str) -> str:
        return self._route.run.because.get(name, PRESS_SAYS)

    def _press_source(self, name: str) -> str:
        return self._route.press.sources.get(name, MODEL)

    def figures(self, pieces: Given) -> Iterator[Figure]:
        """Yield every figure from the pieces on."""
        for figure in self._steps(pieces, "piece"):
            yield figure
            pieces = figure.given
        needed = self._sheets_needed(pieces)
        yield needed
        sheets = needed.given
        for figure in self._steps(sheets, "sheet"):
            yield figure
            sheets = figure.given
        good = Figure(
            "good_sheets",
            self._at(self._costs.good),
            SHEET,
            sheets.name,
            (sheets,),
            "sheets (cut-offs, repeats, pieces) that must come off the press sound",
        )
        yield good
        yield from self._press(good.given)

    def _steps(self, out: Given, unit: Unit) -> Iterator[Figure]:
        """Yield what goes into each step on a unit, the last step first."""
        steps = steps_on(self._route, unit)
        plural = "pieces" if unit == "piece" else "sheets"
        names = apart(f"{plural}_into_{identifier(step.name)}" for step in steps)
        for place in reversed(range(len(steps))):
            meter = step_meter(unit, place)
            into = self._at(self._costs.into[meter])
            figure = waste_of_step(out, steps[place], into, names[place], COUNTED[unit])
            self.meters[meter] = out = figure.given
            yield figure

    def _sheets_needed(self, pieces: Given) -> Figure:
        """Sheets for the pieces that must come off them."""
        layout = self._route.work.layout
        formula, inputs = f"ceil({pieces.name} / up)", [pieces]
        if layout.cycles_per_piece > 1:
            formula = f"ceil({pieces.name} x sheets_gathered / up)"
            inputs.append(Given("sheets_gathered", float(layout.cycles_per_piece), SHEET))
        inputs.append(Given("up", float(layout.up), PIECE))
        value = float(begun(pieces.number * layout.cycles_per_piece / layout.up))
        return Figure(
            "sheets_needed", value, SHEET, formula, tuple(inputs), layout.because
        )

    def _press(self, good: Given) -> Iterator[Figure]:
        """Yield waste, sheets run and bought, and hours."""
        run = self._route.run
        share = Given("running_waste_share", 0.0, SHARE)
        if isinstance(run.running_waste, Curve):
            figure = curve_figure(run.running_waste, good, share, self._why("running_waste"))
            yield figure
            share = figure.given
        else:
            share = share._replace(value=float(run.running_waste))
        waste = Figure(
            "running_waste_sheets",
            self._at(self._costs.running_waste),
            SHEET,
            "ceil(good_sheets x running_waste_share)",
            (good, share),
            self._why("running_waste"),
            self._press_source("running_waste"),
        )
        yield waste
        made_ready = Given("make_ready_sheets", float(run.make_ready_cycles), SHEET)
        total = Figure(
            "sheets_run",
            self._at(self._costs.into["cycle"]),
            SHEET,
            "good_sheets + running_waste_sheets + make_ready_sheets",
            (good, waste.given, made_ready),
            f"make-ready: {self._why('make_ready_cycles')}",
            MODEL,
        )
        self.meters["cycle"] = total.given
        yield total
        yield from self._bought(total.given)
        yield from self._hours(good, waste.given)

    def _bought(self, total: Given) -> Iterator[Figure]:
        """Yield the parent sheets that they are cut from; of an overprint, the shells it takes."""
        layout = self._route.work.layout
        if layout.sheet is None:
            return
        figure = Figure(
            "shells_needed" if self._route.on_shells else "parent_sheets",
            self._at(self._costs.parents),
            SHEET,
            "ceil(sheets_run / out_of_a_parent)",
            (total, Given("out_of_a_parent", float(layout.out), SHEET)),
            "press sheets are cut from the sheets that the stock comes in",
        )
        self.meters["parent"] = figure.given
        yield figure

    def _hours(self, good: Given, waste: Given) -> Iterator[Figure]:
        run, why = self._route.run, self._why("cycles_per_hour")
        speed = Given("cycles_per_hour", 0.0, "/h")
        if isinstance(run.cycles_per_hour, Curve):
            length = Figure(
                "run_length",
                self._at(self._costs.good) + self._at(self._costs.running_waste),
                SHEET,
                "good_sheets + running_waste_sheets",
                (good, waste),
                "the run that the speed goes by",
            )
            yield length
            figure = curve_figure(run.cycles_per_hour, length.given, speed, why)
            yield figure
            speed = figure.given
        else:
            speed = speed._replace(value=float(run.cycles_per_hour))
        hours = Figure(
            "run_hours",
            self._at(self._costs.run_hours),
            "h",
            "(good_sheets + running_waste_sheets) x passes / cycles_per_hour",
            (good, waste, Given("passes", float(run.passes), SHARE), speed),
            why,
            MODEL,
        )
        yield hours
        whole = self._press_hours(hours.given)
        self.meters |= {"run_hour": hours.given, "press_hour": whole.given}
        yield whole

    def _press_hours(self, hours: Given) -> Figure:
        """The hours of one section, of those that are made alike: a share of what is done once."""
        route, run = self._route, self._route.run
        ready = Given("make_ready_min", float(run.make_ready_min), "min")
        wash_up = Given("wash_up_min", run.wash_up_min if route.leading else 0.0, "min")
        formula = "run_hours + (make_ready_min + wash_up_min) / 60"
        inputs: tuple[Given, ...] = (hours, ready, wash_up)
        because = f"make-ready: {self._why('make_ready_min')}"
        if route.times > 1:
            formula = (
                "run_hours + (make_ready_min x alike - once_min x (alike - 1) + wash_up_min) "
                "/ alike / 60"
            )
            once = Given("once_min", float(run.once_min), "min")
            inputs = (*inputs, once, Given("alike", float(route.times), SHARE))
            because = f"{because}; hours of one of {route.times} sections alike"
        value = self._at(self._costs.press_hours)
        return Figure("press_hours", value, "h", formula, inputs, because, MODEL)


def curve_figure(curve: Curve, at: Given, of: Given, because: str) -> Figure:
    """Return the value of a curve at a run length, worked out between its two nearest points."""
    points, run_length = curve.points, max(at.number, 1.0)
    told = ", ".join(f"{value:g} at {cycles:,g}" for cycles, value in points)
    words = f"{because}; straight between its points on a scale of ln(cycles), flat outside: {told}"
    above = next((n for n, (cycles, _) in enumerate(points) if cycles >= run_length), len(points))
    if above in (0, len(points)):
        nearest = points[0 if above == 0 else -1]
        end = Given("first_value" if above == 0 else "last_value", nearest[1], of.unit)
        return Figure(of.name, nearest[1], of.unit, end.name, (end,), words, MODEL)
    (less, low), (more, high) = points[above - 1], points[above]
    value = float(curve(np.array([run_length]))[0])
    return Figure(
        of.name,
        value,
        of.unit,
        "value_below + (value_above - value_below) "
        f"x (ln({at.name}) - ln(cycles_below)) / (ln(cycles_above) - ln(cycles_below))",
        (
            at,
            Given("value_below", low, of.unit),
            Given("value_above", high, of.unit),
            Given("cycles_below", less, SHEET),
            Given("cycles_above", more, SHEET),
        ),
        words,
        MODEL,
    )
