"""What is bought for an offer, or drawn from stock: every cost line of it that is not hours.

    cost lines of parts and copies, at one quantity -> purchases, a line each
    (what several runs of a part take of one stock, at one price, is bought together)

With the hours of the works order (works_order.py) purchases are the whole cost; the premium for
overtime alone stands by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Literal

from .buying import Terms, buy
from .costing import Route
from .curve import Array
from .job_table import JobCosts, JobTable
from .line_table import Line, doing_step, paid_unit
from .lines import STAGES
from .machines import Step
from .money import Cents
from .named_lines import NamedLine, lines_of_copies, lines_of_part, slug
from .offers import Offer
from .route_times import ONE_MACHINE
from .spoilage import begun
from .stock import Blank, Grain, ParentSheet, Reel, Supply, sold_in

PurchaseKind = Literal["stock", "carrier", "tool", "ink", "consumable", "click", "outwork", "other"]
KIND_OF_STAGE: Mapping[str, PurchaseKind] = {
    "stock": "stock",
    "carrier": "carrier",
    "die": "tool",
    "ink": "ink",
    "click": "click",
}
MM_PER_M = 1000.0
PRICE_DIGITS = 10
SETS = ("form", "carrier")
# Operations that press models charge for, and what they charge by whose amount has no unit told.
MODELLED = ("make_ready", "run", "wash_up")
COUNTED = ("job", "cycle", "impression", "piece", "hour")
# Less of a unit than this is the noise of binary fractions.
NOISE = 1e-9


@dataclass(frozen=True, slots=True)
class Packs:
    """How more is paid for than is needed, or could be.

    pack: units in a pack, None where there is none; packs: of these bought, None where the merchant
        opens them and sells any number
    least_order: the least that is sold, None where there is none
    paid_for: units that money is paid for
    """

    pack: float | None
    packs: int | None
    least_order: float | None
    paid_for: float


@dataclass(frozen=True, slots=True)
class ReelSize:
    """A reel as the merchant sells it, and how much of it is needed.

    width_mm, length_m: of the web on a full reel; run_m: needed; reels: begun ones counted
    """

    width_mm: float
    length_m: float
    run_m: float
    reels: int


@dataclass(frozen=True, slots=True)
class Purchase:
    """One thing bought or drawn from stock; money in minor units.

    id: that of its first cost line
    part: name of the part, None for copies; operation: id of that of the works order it is for
    item: id of the stock, of the machine that uses it or of what is bought out, else a stable word
    size_mm: short and long side of a sheet, width and height of a piece; None elsewhere
    amount: what is needed, in `unit`; packs: where more may be paid for than that
    unit_price: money for one unit, not rounded
    cost: of all its lines, each rounded: unit_price x what is paid for
    lead_days: working days until it is there; lines: ids of its cost lines
    """

    id: str
    kind: PurchaseKind
    part: str | None
    operation: str | None
    item: str
    name: str
    size_mm: tuple[float, float] | None
    grain: Grain | None
    reel: ReelSize | None
    amount: float
    unit: str
    packs: Packs | None
    unit_price: float
    cost: int
    lead_days: float
    lines: tuple[str, ...]
    because: str


@dataclass(frozen=True)
class _Costed:
    """Where the lines of a part or of the copies are costed, at one quantity.

    into: what each meter counts, by route
    """

    lines: Cents
    counts: Array
    paid: Mapping[int, Array]
    into: Mapping[str, Array]
    column: int

    def need(self, line: Line) -> float:
        """Units that a line would pay for if any number of them were sold."""
        metered = float(self.into[line.meter][line.route, self.column]) * line.scale
        if line.terms is None and line.divisor != 1.0:
            metered = float(begun(metered / line.divisor))
        if line.per in SETS:  # the first set is needed for no sheet, too
            metered = max(metered, line.least)
        return max(metered - line.held, 0.0) * _in_units(line)

    def paid_for(self, row: int, line: Line) -> float:
        """Units that it does pay for."""
        count = float(self.counts[row, self.column])
        return count if line.terms is not None else count * _in_units(line)

    def unit_price(self, row: int, line: Line) -> float:
        """Money for one unit, without the noise of binary fractions."""
        price = float(self.paid[row][self.column]) if row in self.paid else line.unit_cost
        if line.terms is None and line.amount:
            price *= line.amount / _in_units(line)
        return float(f"{price:.{PRICE_DIGITS}g}")


def _in_units(line: Line) -> float:
    """Units that are bought for each thing counted.

    Of what a press model charges by the cycle, the hour or the job, only the model knows what its
    amount is in (litres, kilowatts): it is bought for so many cycles, hours or jobs.
    """
    modelled = line.stage != "click" and line.doing in MODELLED and line.per in COUNTED
    return 1.0 if modelled else line.amount


def purchases(
    table: JobTable,
    costs: JobCosts,
    offer: Offer,
    parts: Sequence[str],
    operation_of: Mapping[str, str | None],
) -> list[Purchase]:
    """Return what is bought for an offer, part after part, then for the copies.

    parts: names of the parts; operation_of: what each line is for, by its id (WorksOrder)
    """
    makeup, found = table.makeups[offer.makeup], costs.makeups[offer.makeup]
    bought: list[Purchase] = []
    for number, name in enumerate(parts):
        of_part, made = makeup.parts[number], offer.parts[number]
        part_costs = found.parts[number].costs
        costed = _Costed(
            part_costs.lines, part_costs.counts, part_costs.paid, part_costs.into, offer.column
        )
        own: list[Purchase] = []
        for each in _bought(lines_of_part(of_part, made, name)):
            route = of_part.routes[each.line.route]
            one = _purchase(each, costed, name, _step_of(route, each.line.doing), route)
            own.append(replace(one, operation=operation_of[each.id]))
        bought += _together(own)
    assembly, bill = makeup.assembly, found.assembly.bill
    into = assembly.into(found.assembly)
    costed = _Costed(bill.lines, bill.counts, bill.paid, into, offer.column)
    for each in _bought(lines_of_copies(assembly)):
        step = assembly.steps[assembly.step_of_line[each.row]]
        one = _purchase(each, costed, None, step, None)
        bought.append(replace(one, operation=operation_of[each.id]))
    return bought


def _bought(named: Iterable[NamedLine]) -> list[NamedLine]:
    return [each for each in named if each.line.kind != "time"]


def _step_of(route: Route, doing: str) -> Step | None:
    """Return the step that a line pays for, None where it pays for none."""
    steps = {doing_step("steps", place): step for place, step in enumerate(route.steps)}
    steps |= {doing_step("gathering", place): step for place, step in enumerate(route.gathering)}
    return steps.get(doing)


def _purchase(
    named: NamedLine, costed: _Costed, part: str | None, step: Step | None, route: Route | None
) -> Purchase:
    """Return what one line buys. step: that it is for, None for none; route: of a part"""
    row, line = named.row, named.line
    need, paid_for = costed.need(line), costed.paid_for(row, line)
    supply = route.work.layout.supply if route is not None and line.stage == "stock" else None
    because = line.because
    if line.terms is not None and supply is not None:
        because += f"; bought: {buy(need, line.terms, sold_in(supply)).words}"
    return Purchase(
        id=named.id,
        kind=_kind(line),
        part=part,
        operation=None,
        item=_item(line, step, route),
        name=line.label,
        size_mm=_size_mm(supply),
        grain=supply.grain if isinstance(supply, ParentSheet) else None,
        reel=_reel(supply, need) if isinstance(supply, Reel) else None,
        amount=need,
        unit=_unit(line),
        packs=_packs(line, supply.terms if supply else None, need, paid_for),
        unit_price=costed.unit_price(row, line),
        cost=int(costed.lines[row, costed.column]),
        lead_days=float(line.lead_days) if paid_for else 0.0,
        lines=(named.id,),
        because=because,
    )


def _kind(line: Line) -> PurchaseKind:
    if line.stage in KIND_OF_STAGE:
        return KIND_OF_STAGE[line.stage]
    if line.kind == "outwork":
        return "outwork"
    return "consumable" if line.stage in STAGES else "other"


def _item(line: Line, step: Step | None, route: Route | None) -> str:
    if line.stage == "stock" and route is not None:
        return route.of.stock.id
    if step is not None:
        return step.machine or ONE_MACHINE.get(step.name, step.name)
    return slug(line.label) or line.stage


def _unit(line: Line) -> str:
    """What is counted, UCUM style; what a step takes in lots by its lots."""
    if line.stage == "die" and line.per == "job":
        return "{die}"
    if line.divisor != 1.0 and line.per not in SETS:
        return "{pack}" if line.stage == "packing" else "{lot}"
    return paid_unit(line)


def _packs(line: Line, terms: Terms | None, need: float, paid_for: float) -> Packs | None:
    """How it is sold; None where any number is, and what is needed is paid for.

    terms: of a stock. What smaller sections of a part take is bought along, by the sheet.
    """
    if terms is not None and (terms.pack > 1 or terms.least):
        whole = line.terms is not None and terms.lot > 1
        return Packs(
            pack=terms.pack if terms.pack > 1 else None,
            packs=round(paid_for / terms.lot) if whole else None,
            least_order=terms.least or None,
            paid_for=paid_for,
        )
    if paid_for <= need + NOISE:
        return None
    if terms is not None:  # more for less money: up to where a price begins
        return Packs(None, None, None, paid_for)
    return Packs(None, None, line.least * line.amount, paid_for)


def _size_mm(supply: Supply | None) -> tuple[float, float] | None:
    if isinstance(supply, ParentSheet | Blank):
        return supply.width_mm, supply.height_mm
    return None


def _reel(reel: Reel, need_m2: float) -> ReelSize:
    run_m = need_m2 * MM_PER_M / reel.width_mm
    return ReelSize(reel.width_mm, reel.length_m, run_m, ceil(run_m / reel.length_m - NOISE))


def _together(bought: Sequence[Purchase]) -> list[Purchase]:
    """Put together what the runs of a part take of one stock at one price, in its first place."""
    found: dict[tuple[object, ...], Purchase] = {}
    for each in bought:
        key: tuple[object, ...] = (each.id,)
        if each.kind == "stock":
            width = each.reel.width_mm if each.reel else None
            key = (each.item, each.name, each.size_mm, each.grain, width, each.unit_price)
        found[key] = _added(found[key], each) if key in found else each
    return list(found.values())


def _added(one: Purchase, other: Purchase) -> Purchase:
    """Two purchases of the same at one price as one; it is for what the first is for."""
    amount, packs, reel = one.amount + other.amount, None, None
    if one.packs or other.packs:
        paid = [each.packs.paid_for if each.packs else each.amount for each in (one, other)]
        sold = one.packs or other.packs
        assert sold is not None  # noqa: S101  one of them has packs
        packs = replace(sold, paid_for=sum(paid))
    if one.reel and other.reel:
        run_m = one.reel.run_m + other.reel.run_m
        reel = replace(one.reel, run_m=run_m, reels=ceil(run_m / one.reel.length_m - NOISE))
    return replace(
        one,
        amount=amount,
        packs=packs,
        reel=reel,
        cost=one.cost + other.cost,
        lines=(*one.lines, *other.lines),
        because=f"{one.because}; {other.because}",
    )
