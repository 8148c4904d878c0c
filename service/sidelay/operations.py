"""Finishing operations as data: what goes into a machine, the machine, and the step it makes.

A plant file lists its machines in the order in which it would use them. Nothing here knows what an
operation is: to drill, to laminate and to pack differ only in the figures of their machines.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil
from typing import Literal

from .job import Operation
from .machines import MM_PER_M, Step, Unit
from .operation_items import Item as Item
from .paper import whole_down
from .spoilage import begun

# What goes in: printed sheets before they are cut apart; flat pieces before folding; folded pieces
# of a part; finished copies of the job.
Stage = Literal["sheet", "flat", "piece", "copy"]
RATES = ("units_per_hour", "m_per_min", "lifts_per_hour", "packs_per_hour")
STEP_UNIT: dict[Stage, Unit] = {"sheet": "sheet", "flat": "piece", "piece": "piece", "copy": "copy"}
CM2_PER_M2 = 10_000.0


@dataclass(frozen=True, slots=True)
class FinishingMachine:
    """One way to do one operation, on a machine of the plant or bought out.

    operation: the name a job asks by; finishes: what of, where the job may choose ("gloss", ...)
    unit: what goes in; counts: what a job's count counts ("hole", "line", ...), "" for nothing
    set_up_min, set_up_min_per_count: minutes once, and for each count on what goes in

    One rate of four, none where bought out:
    units_per_hour; m_per_min with gap_share, the space behind each unit as a share of its length;
    lifts_per_hour, of lift_mm each; packs_per_hour

    sides_per_pass, counts_per_pass: what one pass does, more takes more passes; None for all
    set_up_waste, running_waste: units spoiled in each pass, fixed and as a share
    crew, least_min: people at it, least minutes charged
    tool_price: money for a tool, whatever its size; tool_price_per_cm2 of what the operation
        covers, and tool_price_per_m of the outline of the pieces, at least_tool_price together
    material_per_m2: film, varnish, foil, by area covered; material_per_unit; material_per_pack
    default_per: units in a pack where the job does not say, as far as max_pack_kg and max_pack_mm
        (height) allow; pack_width_mm, pack_length_mm: inside, where stacks stand side by side
    price_set_up, price_per_1000, price_per_m2, least_price: money for work bought out, the first
        for each side where sides take passes, the second for each pass
    lead_days: working days until bought-out work is back, or until the tool is there
    min_..., max_...: sizes, stocks, thicknesses and counts it takes; 0 or None for no limit
    grades: stock grades it takes, () for any; excluded_grades, excluded_stock_finishes: it does not
    flat_only: takes nothing folded or bound
    frees_pieces: what it does frees the pieces from the sheet; scores: it clears the need to score
    folds: it folds the pieces, so that no folder has to
    one_finish: two finishes of it on one part contradict each other
    excludes: operations that cannot be on the same part
    """

    id: str
    name: str
    operation: str
    unit: Stage
    bought_out: bool = False
    cost_centre: str = ""
    finishes: tuple[str, ...] = ()
    counts: str = ""
    set_up_min: float = 0.0
    set_up_min_per_count: float = 0.0
    units_per_hour: float | None = None
    m_per_min: float | None = None
    gap_share: float = 0.0
    lifts_per_hour: float | None = None
    lift_mm: float = 0.0
    packs_per_hour: float | None = None
    sides_per_pass: int = 2
    counts_per_pass: int | None = None
    set_up_waste: int = 0
    running_waste: float = 0.0
    crew: float = 1.0
    least_min: float = 0.0
    tool_price: float = 0.0
    tool_price_per_cm2: float = 0.0
    tool_price_per_m: float = 0.0
    least_tool_price: float = 0.0
    material_per_m2: float = 0.0
    material_per_unit: float = 0.0
    material_per_pack: float = 0.0
    default_per: int | None = None
    max_pack_kg: float | None = None
    max_pack_mm: float | None = None
    pack_width_mm: float | None = None
    pack_length_mm: float | None = None
    price_set_up: float = 0.0
    price_per_1000: float = 0.0
    price_per_m2: float = 0.0
    least_price: float = 0.0
    lead_days: float = 0.0
    min_width_mm: float = 0.0
    max_width_mm: float | None = None
    min_length_mm: float = 0.0
    max_length_mm: float | None = None
    min_grammage_gsm: float = 0.0
    max_grammage_gsm: float | None = None
    min_caliper_um: float = 0.0
    max_caliper_um: float | None = None
    max_count: int | None = None
    grades: tuple[str, ...] = ()
    excluded_grades: tuple[str, ...] = ()
    excluded_stock_finishes: tuple[str, ...] = ()
    flat_only: bool = False
    frees_pieces: bool = False
    scores: bool = False
    folds: bool = False
    one_finish: bool = True
    excludes: tuple[str, ...] = ()
    source: str = "plant file"

    @property
    def packs(self) -> bool:
        """Whether it puts units into packs."""
        return self.packs_per_hour is not None

    def side_passes(self, wish: Operation) -> int:
        """Passes that the sides of a unit take."""
        return ceil(wish.sides / self.sides_per_pass)

    def passes(self, wish: Operation, item: Item) -> int:
        """Times that one unit (or one lift) goes through, all sides and counts together."""
        if self.counts_per_pass is None:
            return self.side_passes(wish)
        return self.side_passes(wish) * ceil(counted(wish, item) / self.counts_per_pass)

    def units_per_lift(self, item: Item) -> int:
        """Whole units in one lift, at least one."""
        return max(1, whole_down(self.lift_mm * 1000 / item.caliper_um))

    def most_per_pack(self, item: Item) -> int | None:
        """Units that a pack may hold by weight and by height; None where neither is limited.

        Never less than one: a unit too heavy for any pack is a finding (`machine_findings`).
        """
        by_weight = self._times(self.max_pack_kg, item.mass_kg)
        by_height = self._times(self.max_pack_mm, item.caliper_um / 1000)
        most = [by_weight] if by_weight is not None else []
        if by_height is not None:
            most.append(by_height * self._stacks(item))
        return max(1, min(most)) if most else None

    @staticmethod
    def _times(limit: float | None, of_one: float) -> int | None:
        return None if limit is None else whole_down(limit / of_one)

    def _stacks(self, item: Item) -> int:
        """Stacks of units side by side in a pack, the better of two straight ways to lay them."""
        if self.pack_width_mm is None or self.pack_length_mm is None:
            return 1
        ways = ((item.width_mm, item.length_mm), (item.length_mm, item.width_mm))
        across, along = self.pack_width_mm, self.pack_length_mm
        return max(1, *(whole_down(across / w) * whole_down(along / le) for w, le in ways))

    def per_pack(self, wish: Operation, item: Item) -> int:
        """Units in one pack: what the job asks, else what is usual and neither too heavy nor high.

        What the job asks is not made smaller here: that it is too much is a finding.
        """
        if wish.per is not None:
            return wish.per
        most = self.most_per_pack(item)
        usual = self.default_per or most or 1
        return usual if most is None else min(usual, most)

    def hourly(self, wish: Operation, item: Item) -> float:
        """Units an hour on a long run, all passes; infinite where the work is bought out.

        A lift is taken by its height here, as the trade rates drills and punches; the step counts
        whole units in it, at most one fewer. Folding form of m_per_min: sidelay.machines.Folder.
        Source: American Printer, "Punching & drilling", Mar 2005 (tests/reference, case FN04).
        """
        if self.units_per_hour is not None:
            rate = self.units_per_hour
        elif self.m_per_min is not None:
            rate = self.m_per_min * 60 * MM_PER_M / (item.length_mm * (1 + self.gap_share))
        elif self.lifts_per_hour is not None:
            rate = self.lifts_per_hour * max(1.0, self.lift_mm * 1000 / item.caliper_um)
        elif self.packs_per_hour is not None:
            rate = self.packs_per_hour * self.per_pack(wish, item)
        else:
            return float("inf")
        return rate / self.passes(wish, item)

    def tool_money(self, wish: Operation, item: Item) -> float:
        """Money for dies and tools: one for each piece on the sheet, and for each side it takes."""
        area_cm2 = item.piece_area_m2 * CM2_PER_M2 * wish.area_share * item.pieces
        outline_m = item.piece_perimeter_mm / MM_PER_M * item.pieces
        sized = self.tool_price_per_cm2 * area_cm2 + self.tool_price_per_m * outline_m
        least = self.least_tool_price if sized else 0.0
        return self.tool_price + max(sized, least) * self.side_passes(wish)

    def covered_m2(self, wish: Operation, item: Item) -> float:
        """Area that film, varnish or foil covers on one unit, all its sides together [m2]."""
        return item.area_m2 * wish.sides * wish.area_share


def counted(wish: Operation, item: Item) -> int:
    """Lines, holes, numbers on what goes in: those of one piece times the pieces on it."""
    return wish.count * item.pieces


def known_operations(machines: Iterable[FinishingMachine]) -> tuple[str, ...]:
    """Return the operations that the machines do, each once, in the order of the plant."""
    return tuple(dict.fromkeys(machine.operation for machine in machines))


def lots(step: Step, units: int) -> int:
    """Lifts or packs that so many units make, a begun one counted whole."""
    return int(begun(units / step.per))


def operation_step(machine: FinishingMachine, wish: Operation, item: Item) -> Step:
    """Return the step that does a wish to an item, on a machine that takes it.

    Its minutes and its price are those of one lot: a lift, a pack, or one unit. What a machine of
    the plant uses is bought material; of work bought out, all money is outwork.
    """
    per, minutes, price = 1, 0.0, 0.0
    passes = machine.passes(wish, item)
    if machine.bought_out:
        price = machine.price_per_1000 / 1000 * passes
        price += machine.price_per_m2 * machine.covered_m2(wish, item)
    elif machine.lifts_per_hour is not None:
        per, minutes = machine.units_per_lift(item), passes * 60 / machine.lifts_per_hour
    elif machine.packs_per_hour is not None:
        per, minutes = machine.per_pack(wish, item), 60 / machine.packs_per_hour
        price = machine.material_per_pack
    else:
        minutes = 60 / machine.hourly(wish, item)
        price = machine.material_per_m2 * machine.covered_m2(wish, item) + machine.material_per_unit
    return Step(
        machine.operation,
        STEP_UNIT[machine.unit],
        machine.cost_centre,
        machine.set_up_min + machine.set_up_min_per_count * counted(wish, item),
        minutes,
        per,
        machine.set_up_waste * passes,
        machine.running_waste * passes,
        _because(machine, wish, item),
        machine.source,
        tool_price=machine.tool_money(wish, item),
        set_up_price=machine.price_set_up * machine.side_passes(wish),
        price=price,
        kind="outwork" if machine.bought_out else "material",
        machine=machine.id,
        crew=machine.crew,
        least_min=machine.least_min,
        least_price=machine.least_price,
        lead_days=machine.lead_days,
    )


def _because(machine: FinishingMachine, wish: Operation, item: Item) -> str:
    """Say how the rate of a step came about."""
    told = []
    if machine.counts:
        told.append(_number(counted(wish, item), machine.counts))
    if machine.sides_per_pass < 2 and wish.sides > 1:
        told.append(_number(wish.sides, "side"))
    passes = machine.passes(wish, item)
    if passes > 1:
        told.append(_number(passes, "pass"))
    told.append(_rate(machine, wish, item))
    tool = machine.tool_money(wish, item)
    if tool:
        told.append(f"tool {tool:.2f}")
    if machine.material_per_m2 or machine.price_per_m2:
        told.append(f"{machine.covered_m2(wish, item):.4f} m2 covered on each")
    return ", ".join(told)


def _rate(machine: FinishingMachine, wish: Operation, item: Item) -> str:
    if machine.bought_out:
        back = f", back in {machine.lead_days:g} working days" if machine.lead_days else ""
        return f"bought out{back}"
    if machine.lifts_per_hour is not None:
        per = machine.units_per_lift(item)
        return f"{_pace(machine.lifts_per_hour, 'lifts', per)}"
    if machine.packs_per_hour is not None:
        return _pace(machine.packs_per_hour, "packs", machine.per_pack(wish, item))
    speed = f" at {machine.m_per_min:g} m/min" if machine.m_per_min is not None else ""
    return f"{machine.hourly(wish, item):,.0f} an hour{speed}"


def _pace(an_hour: float, what: str, per: int) -> str:
    """A pace in lots: by the minute where there is at least one in it."""
    if an_hour >= 60:
        return f"{an_hour / 60:.3g} {what} of {per:,} a minute"
    return f"{an_hour:.4g} {what} of {per:,} an hour"


def _number(number: int, what: str) -> str:
    """A number and its word, in the plural where it is not one."""
    plural = f"{what}es" if what.endswith("s") else f"{what}s"
    return f"{number:,} {what if number == 1 else plural}"
