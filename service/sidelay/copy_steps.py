"""What is done to copies: inserts laid in, binding, and the operations that the job asks for."""

from __future__ import annotations

from dataclasses import replace

from .assembly import PACKING
from .binder_limits import binder_findings, choose_binder
from .binders import Binder, Book, Bound, book_of
from .job import Job, Operation
from .machines import Step
from .operation_choice import choose_machine
from .operation_items import copy_item
from .operations import FinishingMachine, Item, operation_step
from .part_operations import stage_of
from .plant import Plant
from .work import Finding

FINISHING = "finishing"
INSERTING = "insert"
StagedStep = tuple[Step, str]


def bound_of(job: Job, plant: Plant) -> tuple[Bound, ...]:
    """Return the binders that take the book of a job, in the order of the plant, with the book.

    Where none takes it, the one that comes nearest, with what stands against it; none where nothing
    is bound. Those compete that mill as much off the spine as the first, and take a cover of the
    same size: pages and cover are laid out for that.
    """
    if job.binding is None:
        return ()
    book, wanted = book_of(job.parts, job.binding), job.binding.machine
    first, found = choose_binder(plant.binders, book, wanted)
    bound = [Bound(first, book, tuple(found), _leaves_differ(job))]
    for binder in plant.binders:
        if _laid_out_alike(binder, first, book) and binder != first and wanted in ("", binder.id):
            findings = tuple(binder_findings(binder, book))
            if not any(finding.severity == "limit" for finding in findings):
                bound.append(Bound(binder, book, findings, _leaves_differ(job)))
    return tuple(bound)


def _laid_out_alike(binder: Binder, first: Binder, book: Book) -> bool:
    """Whether pages and cover that are laid out for one binder fit another."""
    if binder.method != book.method or binder.grind_off_mm != first.grind_off_mm:
        return False
    return not book.has_cover or binder.cover_flat_mm(book) == first.cover_flat_mm(book)


def _leaves_differ(job: Job) -> bool:
    """Whether a copy is put together from different loose leaves."""
    return sum(part.kind == "leaf" for part in job.parts) > 1


def copy_steps(job: Job, plant: Plant) -> tuple[list[StagedStep], list[Finding]]:
    """Return the steps on bound copies in the order of production, with their stages; findings."""
    steps: list[StagedStep] = []
    found: list[Finding] = []
    item, packed = copy_item(job.parts), 1
    for wish in (*_inserting(job), *job.operations):
        unit = stage_of(wish, plant)
        if unit in ("sheet", "flat"):
            found.append(_not_on_copies(wish, unit))
            continue
        machine, against = choose_machine(plant.operations, wish, item)
        if machine is None:
            found += against
            continue
        if machine.packs:
            wish = _whole_packs(machine, wish, item, packed)
            packed = machine.per_pack(wish, item)
        # A drill takes a bound copy as it takes a folded piece.
        step = replace(operation_step(machine, wish, item), unit="copy")
        steps.append((step, PACKING if machine.packs else FINISHING))
    return steps, found


def _whole_packs(
    machine: FinishingMachine, wish: Operation, item: Item, packed: int
) -> Operation:
    """Fill a pack with whole packs of what was packed before, where the job does not say."""
    usual = machine.per_pack(wish, item)
    if wish.per is not None or usual < packed:
        return wish
    return replace(wish, per=usual // packed * packed)


def _inserting(job: Job) -> list[Operation]:
    """One inserting for each insert, unless the job asks for it itself."""
    if any(wish.name == INSERTING for wish in job.operations):
        return []
    loose = sum(part.per_copy for part in job.parts if part.kind == "insert")
    return [Operation(INSERTING, count=loose)] if loose else []


def _not_on_copies(wish: Operation, unit: str) -> Finding:
    return Finding(
        "limit",
        "operation_on_parts",
        "this is done to the sheets or flat pieces of a part, not to finished copies",
        wish.name,
        unit,
        "",
        "ask for it in the operations of the part",
    )
