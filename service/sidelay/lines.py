"""The lines of a route: stock, press hours, the model's charges, finishing, proof."""

from __future__ import annotations

from collections.abc import Iterator

from .costing import Line, Route, step_meter
from .job import Job
from .machines import Step
from .plant import Plant
from .stock import ParentSheet, Reel
from .work import Charge

MIN_PER_HOUR = 60.0
STAGES = (
    "proof",
    "carrier",
    "die",
    "stock",
    "make_ready",
    "run",
    "ink",
    "click",
    "wash_up",
    "finishing",
)
# What a shop keeps from the last run of a job: its image carriers and its dies.
KEPT_STAGES = ("carrier", "die")
# What a charge's `per` counts, on which meter of the table.
CHARGE_METERS = {
    "job": "job",
    "form": "cycle",
    "carrier": "cycle",
    "cycle": "cycle",
    "impression": "cycle",
    "kilogram": "cycle",
    "piece": "piece",
    "hour": "press_hour",
}


def route_lines(number: int, route: Route, job: Job, plant: Plant) -> list[Line]:
    """Return every cost line of a route, in the order of production."""
    lines = [
        *_proof(number, route, job, plant),
        _stock(number, route),
        *_press_time(number, route, plant),
        *(line for charge in route.charges for line in _charge(number, route, charge)),
        *_finishing(number, route, plant),
    ]
    return sorted(lines, key=_stage_order)


def _stage_order(line: Line) -> int:
    """Where a stage stands in production; a plug-in's own stages come with the run."""
    return STAGES.index(line.stage if line.stage in STAGES else "run")


def _proof(number: int, route: Route, job: Job, plant: Plant) -> Iterator[Line]:
    """The lines of the proof: one for each printed side of a piece, for each page of a section."""
    if job.proof == "none":
        return
    proof, part, sides = plant.proofs[job.proof], route.work.part, len(route.work.sides)
    proofed, unit = (part.pages * sides // 2, "page") if part.kind == "section" else (sides, "side")
    where, source = (number, "proof"), proof.source
    if proof.material:
        label, because = f"{job.proof} proof", f"{proofed} {unit}(s) proofed"
        yield Line(*where, label, "material", proof.material, proofed, unit, "job", because, source)
    if proof.minutes:
        centre = proof.cost_centre or route.press.cost_centre
        label, because = f"{job.proof} proof, time", f"{proof.minutes:g} min a {unit} at {centre}"
        hours = proofed * proof.minutes / MIN_PER_HOUR
        yield Line(*where, label, "time", plant.rate(centre), hours, "hour", "job", because, source)


def _stock(number: int, route: Route) -> Line:
    """What the part is printed on: parent sheets, square metres of web, or pieces."""
    layout, supply = route.work.layout, route.work.layout.supply
    amount, because = 1.0, layout.because
    if isinstance(supply, ParentSheet):
        price, per, meter = supply.price, "parent sheet", "parent"
    elif isinstance(supply, Reel):
        lost = getattr(route.press.feed, "reel_waste", 0.0)
        price, per, meter = supply.price_per_m2, "m2", "cycle"
        amount = layout.area_m2 / (1 - lost)
        because = f"{because}; {lost:.1%} of each reel is lost at its start and on its core"
    else:
        price, per, meter = supply.price, "piece", "cycle"
    label = route.work.part.stock.name
    return Line(
        number, "stock", label, "material", price, amount, per, meter, because, supply.source
    )


def _press_time(number: int, route: Route, plant: Plant) -> Iterator[Line]:
    run, press = route.run, route.press
    centre = plant.cost_centres[press.cost_centre]

    def timed(stage: str, label: str, meter: str, hours: float, reason: str) -> Line:
        because = run.because.get(reason, "as the press model says")
        return Line(
            number,
            stage,
            label,
            "time",
            centre.rate_per_hour,
            hours,
            "hour",
            meter,
            because,
            centre.source,
        )

    if run.make_ready_min:
        hours = run.make_ready_min / MIN_PER_HOUR
        yield timed("make_ready", "make-ready", "job", hours, "make_ready_min")
    yield timed("run", "running", "run_hour", 1.0, "cycles_per_hour")
    if run.wash_up_min:
        hours = run.wash_up_min / MIN_PER_HOUR
        yield timed("wash_up", "wash-up", "job", hours, "wash_up_min")


def _charge(number: int, route: Route, charge: Charge) -> Iterator[Line]:
    """The line of a charge; of what is kept from the last run only what wears out later."""
    sets = charge.per in ("form", "carrier")
    kept = charge.stage in KEPT_STAGES and route.keeps_carriers
    if kept and not (sets and charge.life):
        return
    because = charge.because
    if kept:
        because = f"{because}; the first set is kept from the last run"
    yield Line(
        number,
        charge.stage,
        charge.label,
        charge.kind,
        charge.unit_cost,
        charge.amount,
        charge.per,
        "job" if sets and charge.life is None else CHARGE_METERS[charge.per],
        because,
        charge.source,
        scale=float(route.run.passes) if charge.per == "impression" else 1.0,
        divisor=float(charge.life) if sets and charge.life else 1.0,
        least=1.0 if sets else 0.0,
        held=1.0 if kept else 0.0,
        lead_days=charge.lead_days,
    )


def _finishing(number: int, route: Route, plant: Plant) -> Iterator[Line]:
    places: dict[str, int] = {}
    for step in route.steps:
        place = places.setdefault(step.unit, 0)
        places[step.unit] += 1
        meter = "parent" if step.unit == "parent" else step_meter(step.unit, place)
        yield from _step(number, step, meter, plant, tool_kept=route.keeps_carriers)


def _step(number: int, step: Step, meter: str, plant: Plant, *, tool_kept: bool) -> Iterator[Line]:
    """The lines of a finishing step: its tool, its set-up and its running, in time and in money.

    tool_kept: whether its die is kept from the last run
    """
    name, because, source = step.name.replace("_", " "), step.because, step.source
    where, lots = (number, "finishing"), float(step.per)
    if step.tool_price and not tool_kept:
        label, price = f"{name}, die", step.tool_price
        yield Line(number, "die", label, step.kind, price, 1.0, "job", "job", because, source)
    if step.set_up_min:
        rate, hours = plant.rate(step.cost_centre), step.set_up_min / MIN_PER_HOUR
        told = f"{step.set_up_min:g} min"
        yield Line(*where, f"{name}, set-up", "time", rate, hours, "hour", "job", told, source)
    if step.minutes:
        rate, hours = plant.rate(step.cost_centre), step.minutes / MIN_PER_HOUR
        running = Line(*where, name, "time", rate, hours, "hour", meter, because, source)
        yield running._replace(divisor=lots) if lots > 1 else running
    if step.set_up_price:
        label, price = f"{name}, set-up bought out", step.set_up_price
        yield Line(*where, label, step.kind, price, 1.0, "job", "job", because, source)
    if step.price:
        label = f"{name}, bought out" if step.kind == "outwork" else f"{name}, cores"
        bought = Line(*where, label, step.kind, step.price, 1.0, step.unit, meter, because, source)
        yield bought._replace(divisor=lots)
