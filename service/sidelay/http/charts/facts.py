"""What a picture shows, as plain figures: read from a comparison, nothing of it drawn yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...compare import Comparison, PressCurve, press_curves
from ...crossovers import find_crossovers, stretches_of
from ...job_table import JobTable
from ...offers import Offer
from ...stages import stage_costs
from ..asked import Asked
from ..shown import Shown

# Bands of a job whose presses take turns may be many; a curve does not bend at more ends of them.
MOST_BENDS = 100
MARK_UP = "mark_up"


@dataclass(frozen=True, slots=True)
class Head:
    """What stands on every picture.

    key: tells this picture from others on the same page
    chart, measure: as asked; digits: decimals of the currency
    """

    key: str
    title: str
    plant: str
    currency: str
    digits: int
    chart: str
    measure: str


@dataclass(frozen=True, slots=True)
class ProcessLine:
    """What a process takes on its cheapest press: money [minor units] by rising quantity.

    style: number of the process among those of the plant
    """

    name: str
    style: int
    money: dict[int, int]


@dataclass(frozen=True, slots=True)
class Won:
    """Whole quantities, both ends included, at which a process is the cheapest."""

    name: str
    style: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class CurveFacts:
    """Processes over quantity, between two bounds.

    asked: quantities of the job; all have their money in the lines, whether between the bounds or
        not
    swaps: first quantities at which one process is cheaper than that before, for the first part
    """

    head: Head
    start: int
    up_to: int
    asked: tuple[int, ...]
    lines: tuple[ProcessLine, ...]
    won: tuple[Won, ...]
    swaps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """What one press takes for all pieces, stage by stage [minor units]."""

    process: str
    press: str
    stages: dict[str, int]

    @property
    def total(self) -> int:
        """All of it."""
        return sum(self.stages.values())


@dataclass(frozen=True, slots=True)
class MoneyFacts:
    """Where the money goes at one quantity, the cheapest press first."""

    head: Head
    quantity: int
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Reason:
    """Why presses are left out: in a few words, how many, and what is said of one of them."""

    words: str
    presses: int
    one: str
    message: str


@dataclass(frozen=True, slots=True)
class NothingFacts:
    """No press can make the job.

    presses: how many are left out; reasons: why, that which keeps out the most first
    findings: what stands in the way whatever the press
    """

    head: Head
    presses: int
    reasons: tuple[Reason, ...]
    findings: tuple[str, ...]


Facts = CurveFacts | MoneyFacts | NothingFacts


def read_facts(result: Comparison, asked: Asked, shown: Shown) -> Facts:
    """Return what the picture asked for shows."""
    head = Head(
        key=f"{asked.fingerprint}-{shown.chart}-{shown.measure}",
        title=asked.job.title,
        plant=asked.plant.name,
        currency=asked.plant.currency,
        digits=asked.plant.digits,
        chart=shown.chart,
        measure=shown.measure,
    )
    table = result.plan.job_table
    if table is None:
        return _nothing(result, head)
    if shown.chart == "money":
        return _money(result, table, head, asked.job.quantities[shown.quantity], shown.quantity)
    return _curves(result, table, head, asked)


def _nothing(result: Comparison, head: Head) -> NothingFacts:
    names = {installed.press.id: installed.press.name for installed in result.plant.presses}
    found: dict[str, dict[str, str]] = {}
    for each in result.plan.excluded:
        for finding in each.findings:
            found.setdefault(finding.code, {}).setdefault(each.press, finding.message)
    reasons = [
        Reason(code.replace("_", " "), len(said), names[press], said[press])
        for code, said in found.items()
        for press in list(said)[:1]
    ]
    return NothingFacts(
        head,
        presses=len({each.press for each in result.plan.excluded}),
        reasons=tuple(sorted(reasons, key=lambda reason: (-reason.presses, reason.words))),
        findings=tuple(dict.fromkeys(finding.message for finding in result.plan.findings)),
    )


def _money(
    result: Comparison, table: JobTable, head: Head, quantity: int, place: int
) -> MoneyFacts:
    assert result.costs is not None  # noqa: S101  there are where there is a table
    names = {row.process.id: row.process.name for row in result.characteristics}
    presses = {installed.press.id: installed.press.name for installed in result.plant.presses}
    bars = []
    for offer in result.choices[place]:
        way = table.first.ways[offer.parts[0].way]
        stages = stage_costs(offer, result.costs, table) | _mark_up(offer, head)
        bars.append(Bar(names[way.process], presses[way.press], stages))
    return MoneyFacts(head, quantity, tuple(sorted(bars, key=lambda bar: bar.total)))


def _mark_up(offer: Offer, head: Head) -> dict[str, int]:
    """What the customer pays beyond the cost, where the price is looked at."""
    return {MARK_UP: offer.price - offer.cost} if head.measure == "price" else {}


def _curves(result: Comparison, table: JobTable, head: Head, asked: Asked) -> CurveFacts:
    priced, bands = table, result.bands
    if head.measure == "cost":
        assert result.cost_bands is not None  # noqa: S101  asked for wherever costs are drawn
        priced, bands = table.at_cost(), result.cost_bands
    styles = {row.process.id: number for number, row in enumerate(result.characteristics)}
    names = {row.process.id: row.process.name for row in result.characteristics}
    won = tuple(
        Won(names[process], styles[process], first, last)
        for first, last, process in stretches_of(bands)
    )
    ends = [quantity for each in won for quantity in (each.first, each.last)][:MOST_BENDS]
    curves = press_curves(priced, asked.start, asked.up_to, [*asked.job.quantities, *ends])
    by_process: dict[str, list[PressCurve]] = {}
    for curve in curves:
        by_process.setdefault(curve.process, []).append(curve)
    lines = [
        ProcessLine(names[process], styles[process], _least(of_process))
        for process, of_process in by_process.items()
    ]
    return CurveFacts(
        head,
        asked.start,
        asked.up_to,
        asked.job.quantities,
        tuple(lines),
        won,
        tuple(sorted({swap.first_at for swap in find_crossovers(bands) if swap.part == 0})),
    )


def _least(curves: Sequence[PressCurve]) -> dict[int, int]:
    """Return the least price of some presses at each quantity.

    Of a job priced at its cost it is the cost.
    """
    columns = zip(*(curve.price for curve in curves), strict=True)
    return dict(zip(curves[0].quantities, map(min, columns), strict=True))
