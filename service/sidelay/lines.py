"""The lines of a route: stock, press hours, the model's charges, finishing, proof."""

from __future__ import annotations

from collections.abc import Iterator

from .costing import Line, Route, step_meter
from .finishing import Step
from .job import Job
from .plant import Plant
from .work import Charge

MIN_PER_HOUR = 60.0
STAGES = ("proof", "carrier", "stock", "make_ready", "run", "ink", "click", "wash_up", "finishing")
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
        *(_charge(number, route, charge) for charge in route.charges),
        *_finishing(number, route, plant),
    ]
    return sorted(lines, key=_stage_order)


def _stage_order(line: Line) -> int:
    """Where a stage stands in production; a plug-in's own stages come with the run."""
    return STAGES.index(line.stage if line.stage in STAGES else "run")


def _proof(number: int, route: Route, job: Job, plant: Plant) -> Iterator[Line]:
    if job.proof == "none":
        return
    proof = plant.proofs[job.proof]
    sides = len(route.work.sides)
    if proof.material:
        yield Line(
            number,
            "proof",
            f"{job.proof} proof",
            "material",
            proof.material,
            sides,
            "side",
            "job",
            f"{sides} side(s) proofed",
            proof.source,
        )
    if proof.minutes:
        centre = proof.cost_centre or route.press.cost_centre
        yield Line(
            number,
            "proof",
            f"{job.proof} proof, time",
            "time",
            plant.rate(centre),
            sides * proof.minutes / MIN_PER_HOUR,
            "hour",
            "job",
            f"{proof.minutes:g} min a side at {centre}",
            proof.source,
        )


def _stock(number: int, route: Route) -> Line:
    layout, stock = route.work.layout, route.work.part.stock
    return Line(
        number,
        "stock",
        stock.name,
        "material",
        layout.parent.price,
        1.0,
        "parent sheet",
        "parent",
        layout.because,
        layout.parent.source,
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


def _charge(number: int, route: Route, charge: Charge) -> Line:
    carrier = charge.per in ("form", "carrier")
    return Line(
        number,
        charge.stage,
        charge.label,
        charge.kind,
        charge.unit_cost,
        charge.amount,
        charge.per,
        "job" if carrier and charge.life is None else CHARGE_METERS[charge.per],
        charge.because,
        charge.source,
        scale=float(route.run.passes) if charge.per == "impression" else 1.0,
        divisor=charge.life or 1.0 if carrier else 1.0,
        least=1.0 if carrier else 0.0,
    )


def _finishing(number: int, route: Route, plant: Plant) -> Iterator[Line]:
    places: dict[str, int] = {}
    for step in route.steps:
        place = places.setdefault(step.unit, 0)
        places[step.unit] += 1
        meter = "parent" if step.unit == "parent" else step_meter(step.unit, place)
        yield from _step(number, step, meter, plant)


def _step(number: int, step: Step, meter: str, plant: Plant) -> Iterator[Line]:
    rate = plant.rate(step.cost_centre)
    name = step.name.replace("_", " ")
    if step.set_up_min:
        yield Line(
            number,
            "finishing",
            f"{name}, set-up",
            "time",
            rate,
            step.set_up_min / MIN_PER_HOUR,
            "hour",
            "job",
            f"{step.set_up_min:g} min",
            step.source,
        )
    yield Line(
        number,
        "finishing",
        name,
        "time",
        rate,
        step.minutes / MIN_PER_HOUR,
        "hour",
        meter,
        step.because,
        step.source,
        divisor=float(step.per),
    )
