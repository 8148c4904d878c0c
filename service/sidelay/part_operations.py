"""The operations that a part asks for, each on the first machine of the plant that takes it."""

from __future__ import annotations

from .job import Operation, Part
from .machines import Step
from .operation_choice import choose_machine
from .operation_items import flat_item, folded_item, sheet_item
from .operations import FinishingMachine, Item, Stage, operation_step
from .plant import Plant
from .work import Finding, Layout


def scores(wish: Operation, plant: Plant) -> bool:
    """Whether an operation makes a line to fold along."""
    return any(each.scores for each in plant.operations if each.operation == wish.name)


def folding(plant: Plant) -> tuple[str, ...]:
    """Return the operations of a plant that fold pieces, so that no folder has to."""
    return tuple(sorted({each.operation for each in plant.operations if each.folds}))


def stage_of(wish: Operation, plant: Plant) -> Stage | None:
    """Return what an operation is done to, None where the plant does not know it."""
    return next((each.unit for each in plant.operations if each.operation == wish.name), None)


def operation_findings(part: Part, plant: Plant, *, in_sheets: bool) -> list[Finding]:
    """Return what stands against the operations of a part; those on sheets hang on the layout.

    in_sheets: whether the press delivers flat sheets of it
    """
    found = []
    for wish in part.operations:
        stage = stage_of(wish, plant)
        if not in_sheets:
            found.append(_comes_off_otherwise(wish))
        elif stage == "copy":
            found.append(_on_copies(wish))
        elif part.kind == "section" and stage != "sheet":
            found.append(_on_pages(wish))
        elif stage in ("flat", "piece"):
            found += _machine(wish, _item(part, stage), plant)[1]
    return found


def _comes_off_otherwise(wish: Operation) -> Finding:
    return Finding(
        "limit",
        "operation_needs_sheets",
        "the press delivers no flat sheets that this could be done to",
        wish.name,
        "sheets",
        "",
        "leave it out, or use a press that delivers sheets",
    )


def _on_copies(wish: Operation) -> Finding:
    return Finding(
        "limit",
        "operation_on_copies",
        "this is done to finished copies, not to one of their parts",
        wish.name,
        "copy",
        "",
        "ask for it in the operations of the job",
    )


def _on_pages(wish: Operation) -> Finding:
    return Finding(
        "limit",
        "operation_on_pages",
        "this is done to single pieces, and pages to be bound are none",
        wish.name,
        "sheet",
        "",
        "ask for it in the operations of the job, or of another part",
    )


def sheet_findings(part: Part, layout: Layout, plant: Plant) -> list[Finding]:
    """Return what stands against the operations on whole sheets that are laid out so."""
    return [
        finding
        for wish in part.operations
        if stage_of(wish, plant) == "sheet"
        for finding in _machine(wish, sheet_item(part, layout), plant)[1]
    ]


def _item(part: Part, stage: Stage) -> Item:
    return flat_item(part) if stage == "flat" else folded_item(part)


def _machine(
    wish: Operation, item: Item, plant: Plant
) -> tuple[FinishingMachine | None, list[Finding]]:
    return choose_machine(plant.operations, wish, item)


def _operations(
    part: Part, stage: Stage, layout: Layout, plant: Plant
) -> list[tuple[Operation, FinishingMachine | None, Item]]:
    """The operations of a part at one stage, each with the machine that does it and the item."""
    found = []
    for wish in part.operations:
        if stage_of(wish, plant) == stage:
            item = sheet_item(part, layout) if stage == "sheet" else _item(part, stage)
            found.append((wish, _machine(wish, item, plant)[0], item))
    return found


def operation_steps(part: Part, stage: Stage, layout: Layout, plant: Plant) -> list[Step]:
    """Return the steps that the operations of a part make at one stage, in the order asked."""
    return [
        operation_step(machine, wish, item)
        for wish, machine, item in _operations(part, stage, layout, plant)
        if machine is not None
    ]


def frees_pieces(part: Part, layout: Layout, plant: Plant) -> bool:
    """Whether an operation on the sheet frees the pieces, so that no knife has to."""
    return any(
        machine is not None and machine.frees_pieces
        for _, machine, _ in _operations(part, "sheet", layout, plant)
    )
