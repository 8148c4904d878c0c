"""Which machine does an operation: what stands against each, and which wishes contradict others."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from .job import Operation
from .limits import above
from .operations import FinishingMachine, Item, counted, known_operations
from .work import ANOTHER_STOCK, Finding


def machine_findings(machine: FinishingMachine, wish: Operation, item: Item) -> list[Finding]:
    """Return what stands against doing a wish to an item on a machine; all of it are limits."""
    return [
        *_finish(machine, wish),
        *_size(machine, item),
        *_stock(machine, item),
        *_weight(machine, item),
        *_thickness(machine, item),
        *_count(machine, wish, item),
        *_pack(machine, wish, item),
        *_flat(machine, item),
    ]


def choose_machine(
    machines: Sequence[FinishingMachine], wish: Operation, item: Item
) -> tuple[FinishingMachine | None, list[Finding]]:
    """Return the first machine, in the order of the plant, that does a wish to an item.

    Where the wish names a machine or a finish, only those are asked. Where none takes the item:
    None, and what stands against the first, with a remedy that names any other machine that would
    do it.
    """
    able = [machine for machine in machines if machine.operation == wish.name]
    if not able:
        return None, [_unknown(machines, wish)]
    named = [machine for machine in able if wish.machine in ("", machine.id)]
    if not named:
        return None, [_not_its_machine(able, wish)]
    # A machine without the finish asked is passed over while there is one that offers it.
    asked = [machine for machine in named if _offers(machine, wish)] or named
    for machine in asked:
        if not machine_findings(machine, wish, item):
            return machine, []
    against = machine_findings(asked[0], wish, item)
    others = [
        other.name for other in able if other not in asked and not _against(other, wish, item)
    ]
    return None, [_or_on(finding, others, _finishes(able)) for finding in against]


def _against(machine: FinishingMachine, wish: Operation, item: Item) -> bool:
    return bool(machine_findings(machine, wish, item))


def _or_on(finding: Finding, others: list[str], finishes: list[str]) -> Finding:
    """The finding with what else the plant has in its remedy."""
    remedy, limit = finding.remedy, finding.limit
    if finding.code == "finish_not_offered" and finishes:
        limit = ", ".join(finishes)
        remedy = f"ask for one of these: {limit}"
    if others:
        remedy = f"{remedy}, or have it done on {' or '.join(others)}"
    return replace(finding, limit=limit, remedy=remedy)


def _finishes(machines: Iterable[FinishingMachine]) -> list[str]:
    return list(dict.fromkeys(name for machine in machines for name in machine.finishes))


def _offers(machine: FinishingMachine, wish: Operation) -> bool:
    return not wish.finish or wish.finish in machine.finishes


def _unknown(machines: Iterable[FinishingMachine], wish: Operation) -> Finding:
    known = ", ".join(known_operations(machines)) or "nothing"
    return Finding(
        "limit",
        "operation_unknown",
        "the plant does not do this and does not buy it out",
        wish.name,
        known,
        "",
        f"ask for one of these: {known}",
    )


def _not_its_machine(able: Iterable[FinishingMachine], wish: Operation) -> Finding:
    known = ", ".join(machine.id for machine in able)
    return Finding(
        "limit",
        "operation_machine",
        f"no machine of this id does this: {wish.name}",
        wish.machine,
        known,
        "",
        f"name one of these, or none: {known}",
    )


def _finish(machine: FinishingMachine, wish: Operation) -> list[Finding]:
    if _offers(machine, wish):
        return []
    known = ", ".join(machine.finishes)
    return [
        Finding(
            "limit",
            "finish_not_offered",
            f"{machine.name} does not do this finish",
            wish.finish,
            known or "none",
            "",
            f"ask for one of these: {known}" if known else "ask for it without a finish",
        )
    ]


def _size(machine: FinishingMachine, item: Item) -> list[Finding]:
    """Sides in either order: what does not go in one way is turned."""
    least = machine.min_width_mm, machine.min_length_mm
    no_end = float("inf")
    most = machine.max_width_mm or no_end, machine.max_length_mm or no_end
    size = item.width_mm, item.length_mm
    ways = (size, size[::-1])
    if any(_within(way, least, most) for way in ways):
        return []
    too_large = not any(_within(way, (0, 0), most) for way in ways)
    limit = most if too_large else least
    told = " x ".join("any" if side in (0, no_end) else f"{side:g}" for side in limit)
    word, up = ("large", "up to") if too_large else ("small", "of at least")
    return [
        Finding(
            "limit",
            "operation_size",
            f"this is too {word} for {machine.name}",
            f"{size[0]:g} x {size[1]:g}",
            told,
            "mm",
            f"make it {up} {told} mm",
        )
    ]


def _within(
    size: tuple[float, ...], least: tuple[float, float], most: tuple[float, float]
) -> bool:
    return all(low <= side <= high for low, side, high in zip(least, size, most, strict=True))


def _stock(machine: FinishingMachine, item: Item) -> list[Finding]:
    found = []
    wrong = bool(machine.grades) and item.grade not in machine.grades
    if wrong or item.grade in machine.excluded_grades:
        taken = ", ".join(machine.grades)
        refused = ", ".join(machine.excluded_grades)
        found.append(
            Finding(
                "limit",
                "operation_grade",
                f"{machine.name} does not take {item.grade.replace('_', ' ')}",
                item.grade,
                taken or f"not {refused}",
                "",
                f"choose a stock of one of these grades: {taken}"
                if taken
                else f"choose a stock of none of these grades: {refused}",
                ANOTHER_STOCK,
            )
        )
    if item.finish in machine.excluded_stock_finishes:
        refused = ", ".join(machine.excluded_stock_finishes)
        found.append(
            Finding(
                "limit",
                "operation_surface",
                f"{machine.name} does not work on this surface",
                item.finish,
                f"not {refused}",
                "",
                f"choose a stock with none of these surfaces: {refused}",
                ANOTHER_STOCK,
            )
        )
    return found


def _weight(machine: FinishingMachine, item: Item) -> list[Finding]:
    window = _left(item.grammage_gsm, machine.min_grammage_gsm, machine.max_grammage_gsm)
    if window is None:
        return []
    return [
        Finding(
            "limit",
            "operation_grammage",
            f"{machine.name} does not take stock of this weight",
            item.grammage_gsm,
            window,
            "g/m2",
            f"choose a stock of {window} g/m2",
            ANOTHER_STOCK,
        )
    ]


def _thickness(machine: FinishingMachine, item: Item) -> list[Finding]:
    window = _left(item.caliper_um, machine.min_caliper_um, machine.max_caliper_um)
    if window is None:
        return []
    return [
        Finding(
            "limit",
            "operation_caliper",
            f"{machine.name} does not take anything of this thickness",
            item.caliper_um,
            window,
            "um",
            f"choose stock and pages that are {window} um thick together",
            ANOTHER_STOCK,
        )
    ]


def _left(asked: float, low: float, high: float | None) -> str | None:
    """The window in words, where a figure lies outside it."""
    if low <= asked and (high is None or asked <= high):
        return None
    if high is None:
        return f"at least {low:g}"
    return f"{low:g} to {high:g}" if low else f"at most {high:g}"


def _count(machine: FinishingMachine, wish: Operation, item: Item) -> list[Finding]:
    if machine.max_count is None:
        return []
    what, on_it = f"{machine.counts or 'count'}s", counted(wish, item)
    allowed = machine.max_count // item.pieces
    return above(
        "operation_count",
        f"{machine.name} does not do that many {what} on what goes in",
        on_it,
        machine.max_count,
        what,
        f"ask for at most {allowed} on each piece" if allowed else "have fewer pieces on the sheet",
    )


def _pack(machine: FinishingMachine, wish: Operation, item: Item) -> list[Finding]:
    if not machine.packs:
        return []
    heaviest = machine.max_pack_kg
    if heaviest is not None and item.mass_kg > heaviest:
        return above(
            "pack_too_heavy",
            f"one alone is heavier than a pack of {machine.name} may be",
            item.mass_kg,
            heaviest,
            "kg",
            "pack it another way",
        )
    return above(
        "pack_too_large",
        f"a pack of {machine.name} would be too heavy or too high",
        machine.per_pack(wish, item),
        machine.most_per_pack(item) or machine.per_pack(wish, item),
        "in a pack",
        f"ask for at most {machine.most_per_pack(item)} in a pack",
    )


def _flat(machine: FinishingMachine, item: Item) -> list[Finding]:
    if not machine.flat_only or item.leaves == 1:
        return []
    return [
        Finding(
            "limit",
            "not_flat",
            f"{machine.name} takes flat work only",
            item.leaves,
            1,
            "leaves",
            "have it done before folding, or leave it out",
        )
    ]


def contradictions(
    wishes: Sequence[Operation], machines: Iterable[FinishingMachine]
) -> list[tuple[int, str]]:
    """Return the wishes for one part that an earlier one of them rules out: index, and why.

    Two wishes exclude each other where a machine that may do the one rules out what may do the
    other, unless they name a finish or a machine that goes with it; so do two finishes of an
    operation that a part can have but one of.
    """
    machines = tuple(machines)
    able = [[m for m in machines if _may_do(m, wish)] for wish in wishes]
    found = []
    for at, wish in enumerate(wishes):
        for before in range(at):
            why = _clash(wishes[before], wish, able[before], able[at])
            if why:
                found.append((at, why))
                break
    return found


def _may_do(machine: FinishingMachine, wish: Operation) -> bool:
    named = wish.machine in ("", machine.id)
    return machine.operation == wish.name and named and _offers(machine, wish)


def _clash(
    first: Operation,
    second: Operation,
    firsts: list[FinishingMachine],
    seconds: list[FinishingMachine],
) -> str:
    if not firsts or not seconds:
        return ""
    if first.name == second.name:
        once = all(machine.one_finish for machine in (*firsts, *seconds))
        if once and first.finish != second.finish:
            finishes = f"{first.finish or 'any'} and {second.finish or 'any'}"
            return f"{second.name} is asked twice on the same part, {finishes}: keep one"
        return ""
    pairs = [_exclude(one, other) for one in firsts for other in seconds]
    if not any(pairs):
        return ""
    said = f"{second.name} cannot be on the same part as {first.name}"
    if all(pairs):
        return f"{said}: leave one of them out"
    return f"{said}, unless you name a finish or a machine that can"


def _exclude(one: FinishingMachine, other: FinishingMachine) -> bool:
    return other.operation in one.excludes or one.operation in other.excludes
