"""What the toner model says to the cases of its process, asked of presses of its schema."""

from collections.abc import Callable, Mapping
from typing import Any

from shop import BLACK, CMYK, leaf, with_inks
from sidelay.job import Part
from sidelay.stock import ParentSheet
from sidelay.work import Form, Layout, Work
from sidelay_toner import press_schema, speed
from sidelay_toner.press import TonerPress
from sidelay_toner.running import interleaved, toner_kg

Inputs = Mapping[str, Any]
TONER: dict[str, Any] = {
    "id": "toner",
    "name": "Toner",
    "cost_centre": "toner",
    "stations": ["cyan", "magenta", "yellow", "black"],
    "sides_per_minute_by_length": [[216, 80], [488, 40], [1300, 15]],
    "clicks_by_length": [[297, 1], [488, 2], [1300, 4]],
    "feed": {
        "min_width_mm": 100,
        "max_width_mm": 330,
        "min_length_mm": 148,
        "max_length_mm": 1300,
    },
}
A4_MM = (297, 210)


def toner_press(**figures: Any) -> TonerPress:
    """A press of the schema."""
    loaded = press_schema()().load(TONER | figures)
    assert isinstance(loaded, TonerPress)
    return loaded


def toner_work(part: Part | None = None, width_mm: float = 297, length_mm: float = 210) -> Work:
    """The part once on a sheet, long edge first; A4 in four colours on both sides by default."""
    wanted = part or leaf(*A4_MM, bleed_mm=0.0)
    style = "perfecting" if len(wanted.sides) == 2 else "one_side"
    layout = Layout(width_mm, length_mm, ParentSheet(210, 297, "long", 0.01, "test"), style, 1)  # type: ignore[arg-type]
    sides = (("front", wanted.front.inks), ("back", wanted.back.inks))
    return Work(wanted, layout, tuple(Form(prints, each) for prints, each in sides if each))  # type: ignore[arg-type]


def sheets_per_min(press: TonerPress, work: Work) -> float:
    """Sheets a minute that the press runs."""
    run = speed(press, work)
    assert run is not None
    assert isinstance(run.cycles_per_hour, float)
    return run.cycles_per_hour / 60


def duplex_sheets(inputs: Inputs) -> float:
    """Sheets printed on both sides in a minute of the engine at work."""
    table = [[216, inputs["simplex_a4_ppm"]]]
    press = toner_press(sides_per_minute_by_length=table, running_share=1.0)
    return sheets_per_min(press, toner_work(with_inks(leaf(*A4_MM, bleed_mm=0.0), CMYK, CMYK)))


def interleaved_sheets(inputs: Inputs) -> list[float]:
    """Sheets in the duplex path at each length."""
    return [interleaved(toner_press(), length) for length in inputs["length_mm"]]


def consumed_mg(inputs: Inputs) -> float:
    """Toner that one black A4 side uses, what is lost with it."""
    part = with_inks(leaf(*A4_MM, bleed_mm=0.0), BLACK, coverage=inputs["coverage_pct"] / 100)
    return 1e6 * toner_kg(toner_press(), toner_work(part), extra=False)


def wasted_mg(inputs: Inputs) -> float:
    """What of it the image did not ask for."""
    asked_g = inputs["coverage_pct"] / 100 * A4_MM[0] * A4_MM[1] / 1e6 * toner_press().toner_gsm
    return consumed_mg(inputs) - 1000 * asked_g


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "duplex_sheets_per_min": duplex_sheets,
    "interleaved_sheets": interleaved_sheets,
    "toner_consumed_mg": consumed_mg,
    "wasted_mg": wasted_mg,
}
NOT_MODELLED: dict[str, str] = {
    "share_of_work_duplex": "what customers order, not what a press does",
    "rating_coverage_pct": "yields are not used: toner is priced by its mass at the job's coverage",
    "computed_over_rated_yield": "yields are not used: toner is priced by its mass at the job's "
    "coverage",
}
