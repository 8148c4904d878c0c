"""The lines of a route: stock, press hours, the model's charges, finishing, proof."""

from __future__ import annotations

from collections.abc import Iterator

from .buying import Terms
from .costing import Route, step_meter
from .job import Job
from .line_table import Line, doing_step
from .machines import Step
from .plant import Plant
from .stock import ParentSheet, Reel, Supply, terms_of
from .work import Charge

MIN_PER_HOUR = 60.0
STAGES = (
    "prepress",
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
    "binding",
    "packing",
)
_PLACES = {stage: place for place, stage in enumerate(STAGES)}
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
# The operation that a charge pays for, by its stage; the rest goes with the run.
DOING = {
    "carrier": "make_ready",
    "die": "make_ready",
    "make_ready": "make_ready",
    "wash_up": "wash_up",
}


def route_lines(number: int, route: Route, job: Job, plant: Plant) -> list[Line]:
    """Return every cost line of a route, in the order of production.

    Of several sections alike each is run, cut and folded; what the part pays for once stands on
    its leading route alone.
    """
    lines = [
        *_prepress(number, route, plant),
        *(_proof(number, route, job, plant) if route.leading and route.feeds is None else ()),
        *(() if route.on_shells else (_stock(number, route),)),
        *_press_time(number, route, plant),
        *(_drying_aid(number, route, plant) if job.drying_aid else ()),
        *(line for charge in route.charges for line in _charge(number, route, charge)),
        *_finishing(number, route, plant),
        *_gathering(number, route, plant),
    ]
    return sorted(lines, key=lambda line: place_of_stage(line.stage))


def place_of_stage(stage: str) -> int:
    """Return where a stage stands in production; a plug-in's own stages come with the run."""
    return _PLACES.get(stage, _PLACES["run"])


def _prepress(number: int, route: Route, plant: Plant) -> Iterator[Line]:
    """Minutes at the prepress desk: artwork and data once for a part, imposition form by form.

    Of what is kept from the last run nothing is imposed again.
    """
    desk = plant.prepress
    if desk is None:
        return

    def timed(label: str, minutes: float, meter: str, because: str) -> Line:
        rate, hours = plant.rate(desk.cost_centre), minutes / MIN_PER_HOUR
        where = (number, "prepress", label)
        doing = "imposition" if label == "imposition" else "artwork_check"
        line = Line(*where, "time", rate, hours, "hour", meter, because, desk.source)
        return line._replace(doing=doing)

    whole = route.leading and route.feeds is None
    if whole and desk.artwork_min_per_part:
        minutes = desk.artwork_min_per_part
        yield timed("artwork check", minutes, "job", f"{minutes:g} min for a part")
    forms = len(route.work.forms) * route.times if route.carriers else 1
    if desk.imposition_min_per_form and not route.keeps_carriers:
        minutes = desk.imposition_min_per_form * forms
        told = f"{forms} form(s) at {desk.imposition_min_per_form:g} min"
        yield timed("imposition", minutes, "job", told)
    if whole and route.of.variable_share:
        if desk.data_set_up_min:
            minutes = desk.data_set_up_min
            yield timed("data set-up", minutes, "job", f"{minutes:g} min to map the data")
        if desk.data_min_per_1000:
            told = f"{desk.data_min_per_1000:g} min for 1,000 pieces"
            yield timed("data", desk.data_min_per_1000 / 1000, "piece", told)


def _proof(number: int, route: Route, job: Job, plant: Plant) -> Iterator[Line]:
    """The lines of the proof: one for each printed side of a piece, for each page of a section."""
    if job.proof == "none":
        return
    proof, part, sides = plant.proofs[job.proof], route.of, len(route.of.sides)
    proofed, unit = (part.pages * sides // 2, "page") if part.kind == "section" else (sides, "side")
    where, source = (number, "proof"), proof.source
    if proof.material:
        label, because = f"{job.proof} proof", f"{proofed} {unit}(s) proofed"
        money = proof.material
        line = Line(*where, label, "material", money, proofed, unit, "job", because, source)
        yield line._replace(doing="proof")
    if proof.minutes:
        centre = proof.cost_centre or route.press.cost_centre
        label, because = f"{job.proof} proof, time", f"{proof.minutes:g} min a {unit} at {centre}"
        hours = proofed * proof.minutes / MIN_PER_HOUR
        rate = plant.rate(centre)
        line = Line(*where, label, "time", rate, hours, "hour", "job", because, source)
        yield line._replace(doing="proof")


def _stock(number: int, route: Route) -> Line:
    """What the part is printed on: parent sheets, square metres of web, or pieces.

    The terms of the merchant hold for the leading route; what smaller sections of the same part
    take is bought along with it, by the sheet.
    """
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
    return Line(
        number,
        "stock",
        route.work.part.stock.name,
        "material",
        price,
        amount * route.times,
        per,
        meter,
        _each(route, because),
        supply.source,
        lead_days=route.of.stock.lead_days,
        terms=_terms(supply) if route.leading else None,
        doing="stock",
    )


def _terms(supply: Supply) -> Terms | None:
    """How a supply is bought, None where any amount of it has one price."""
    terms = terms_of(supply)
    return terms if terms.lot > 1 or terms.least or len(terms.tiers) > 1 else None


def _each(route: Route, because: str) -> str:
    """Say that a figure counts for each of several sections alike."""
    if route.times == 1:
        return because
    return f"{because}; for each of {route.times} sections of {route.work.part.pages} pages"


def _press_time(number: int, route: Route, plant: Plant) -> Iterator[Line]:
    run, press = route.run, route.press
    centre = plant.cost_centres[press.cost_centre]

    def timed(stage: str, label: str, meter: str, hours: float, reason: str) -> Line:
        told = run.because.get(reason, "as the press model says")
        because = told if stage == "wash_up" else _each(route, told)  # washed once for them all
        if stage == "make_ready" and route.times > 1 and run.once_min:
            because = f"{because}, {run.once_min:g} min of it once for them all"
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
            doing=stage,
        )

    if run.make_ready_min:
        hours = run.make_ready_of(route.times) / MIN_PER_HOUR
        yield timed("make_ready", "make-ready", "job", hours, "make_ready_min")
    yield timed("run", "running", "run_hour", float(route.times), "cycles_per_hour")
    if run.wash_up_min and route.leading:
        hours = run.wash_up_min / MIN_PER_HOUR
        yield timed("wash_up", "wash-up", "job", hours, "wash_up_min")


def _drying_aid(number: int, route: Route, plant: Plant) -> Iterator[Line]:
    """What speeds up the drying of a run, where it has to dry and the plant has such a thing."""
    aid = plant.time.drying_aid
    if aid is None or not route.run.drying_h:
        return
    price = aid.price_per_1000_cycles
    told = f"{price:g} for 1,000 cycles; {aid.drying_share:.0%} of the drying is left"
    because = _each(route, told)
    where, times = (number, "run", "drying aid"), float(route.times)
    line = Line(*where, "material", price / 1000, times, "cycle", "cycle", because, aid.source)
    yield line._replace(doing="run")


def _charge(number: int, route: Route, charge: Charge) -> Iterator[Line]:
    """The line of a charge; of what is kept from the last run only what wears out later."""
    if charge.per == "job" and not route.leading:
        return
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
        charge.amount if charge.per == "job" else charge.amount * route.times,
        charge.per,
        "job" if sets and charge.life is None else CHARGE_METERS[charge.per],
        because,
        charge.source,
        scale=float(route.run.passes) if charge.per == "impression" else 1.0,
        divisor=float(charge.life) if sets and charge.life else 1.0,
        least=1.0 if sets else 0.0,
        held=1.0 if kept else 0.0,
        lead_days=charge.lead_days,
        doing=DOING.get(charge.stage, "run"),
    )


def _finishing(number: int, route: Route, plant: Plant) -> Iterator[Line]:
    places: dict[str, int] = {}
    for at, step in enumerate(route.steps):
        place = places.setdefault(step.unit, 0)
        places[step.unit] += 1
        meter = "parent" if step.unit == "parent" else step_meter(step.unit, place)
        kept, doing = route.keeps_carriers, doing_step("steps", at)
        lines = step_lines(number, step, meter, plant, tool_kept=kept, doing=doing)
        if route.times == 1:
            yield from lines
            continue
        for line in lines:
            # A machine is set once for sections alike; each of them runs through it.
            once = line.meter == "job" and line.stage != "die"
            times = 1 if once else route.times
            # The least minutes and the least money are for all of them together.
            amount, least = line.amount * times, line.least / times
            yield line._replace(amount=amount, least=least, because=_each(route, line.because))


def _gathering(number: int, route: Route, plant: Plant) -> Iterator[Line]:
    """The lines of gathering the sections of a part: counted in copies, all sections together."""
    for at, step in enumerate(route.gathering):
        doing = doing_step("gathering", at)
        yield from step_lines(number, step, "piece", plant, stage="binding", doing=doing)


def step_lines(
    number: int,
    step: Step,
    meter: str,
    plant: Plant,
    *,
    tool_kept: bool = False,
    stage: str = "finishing",
    doing: str = "",
) -> Iterator[Line]:
    """The lines of a step: its tool, its set-up and its running, in time and in money.

    tool_kept: whether its die is kept from the last run; doing: as of a line
    """
    name = step.name.replace("_", " ")
    if step.tool_price and not tool_kept:
        told = step.because, step.source
        of_die = number, "die", die_label(step), step.kind, step.tool_price
        lead = step.lead_days
        yield Line(*of_die, 1.0, "job", "job", *told, lead_days=lead, doing=doing)
    yield from _step_time((number, stage, doing), name, step, meter, plant)
    yield from _step_money((number, stage, doing), name, step, meter)


def die_label(step: Step) -> str:
    """Return what the line of a step's tool is called."""
    return f"{step.name.replace('_', ' ')}, die"


def _step_time(
    of: tuple[int, str, str], name: str, step: Step, meter: str, plant: Plant
) -> Iterator[Line]:
    """The hours of a step. of: number of the route, the stage, and what the lines pay for."""
    where, doing = of[:2], of[2]
    if step.set_up_min:
        rate, hours = plant.rate(step.cost_centre), step.set_up_min / MIN_PER_HOUR
        label, told = f"{name}, set-up", f"{step.set_up_min:g} min"
        line = Line(*where, label, "time", rate, hours, "hour", "job", told, step.source)
        yield line._replace(doing=doing)
    if step.minutes:
        yield Line(
            *where,
            name,
            "time",
            plant.rate(step.cost_centre),
            step.minutes / MIN_PER_HOUR,
            "hour",
            meter,
            step.because,
            step.source,
            divisor=float(step.per),
            least=step.least_min / step.minutes,
            doing=doing,
        )


def _step_money(of: tuple[int, str, str], name: str, step: Step, meter: str) -> Iterator[Line]:
    """What a step buys: its material, or the work itself. of: as above."""
    where, doing = of[:2], of[2]
    told = step.because, step.source
    if step.set_up_price:
        label, price = f"{name}, set-up bought out", step.set_up_price
        yield Line(*where, label, step.kind, price, 1.0, "job", "job", *told, doing=doing)
    if step.price:
        label = f"{name}, bought out" if step.kind == "outwork" else f"{name}, {step.material}"
        # The least price of a job has its set-up in it.
        least = max(0.0, step.least_price - step.set_up_price) / step.price
        yield Line(
            *where,
            label,
            step.kind,
            step.price,
            1.0,
            step.unit,
            meter,
            *told,
            divisor=float(step.per),
            least=least,
            lead_days=step.lead_days,
            doing=doing,
        )
