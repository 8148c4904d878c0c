"""What makes parts into one job: their names, their binding, their cover, and operations."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from operator import gt
from typing import Any

from ..binder_limits import NoSuchBinder, bound_parts
from ..binders import folds_sections
from ..job import LEAF_METHODS, Binding, Operation, Part
from ..operation_choice import contradictions
from ..operations import known_operations
from ..plant import Plant
from .faults import Faults, Path, sentence

# What a carton goes through where the job does not say. Common practice, no source.
CARTON = (Operation("die_cut"), Operation("strip"), Operation("glue"))
# Methods whose cover is one sheet around the copy; on wire and coil it is a leaf, or two.
WRAPPED = ("saddle_stitch", "side_stitch", "perfect_bind", "thread_sewn", "case")
Given = Mapping[str, Any]


def read_operations(
    tables: Sequence[Given | None], plant: Plant | None, faults: Faults, path: Path
) -> tuple[Operation, ...]:
    """Return operations asked for, those with a fault left out."""
    found: list[Operation] = []
    for index, given in enumerate(tables):
        where = (*path, index)
        if not given or not faults.clear_of(where):
            continue
        wish = _operation(given)
        found.append(wish)
        if plant is not None:
            _check_operation(wish, plant, faults, where)
    if plant is not None and faults.clear_of(path):
        for index, why in contradictions(found, plant.operations):
            faults.add((*path, index), "conflicting_operations", sentence(why))
    return tuple(found)


def _operation(given: Given) -> Operation:
    return Operation(
        name=given["operation"],
        machine=given.get("machine", ""),
        sides=given["sides"],
        finish=given.get("finish", ""),
        count=given["count"],
        per=given.get("per"),
        area_share=given["area_share"],
    )


def check_carton(
    operations: Sequence[Operation], plant: Plant | None, faults: Faults, path: Path
) -> None:
    """A carton has to be cut out of its sheet by an operation."""
    if plant is None:
        return
    freeing = sorted({each.operation for each in plant.operations if each.frees_pieces})
    if not any(wish.name in freeing for wish in operations):
        detail = f"A carton is cut out of its sheet: add {' or '.join(freeing) or 'what cuts it'}."
        faults.add(path, "carton_uncut", detail)


def _check_operation(wish: Operation, plant: Plant, faults: Faults, where: Path) -> None:
    known = known_operations(plant.operations)
    if wish.name not in known:
        detail = f"Nobody does it for this plant; there is {_list(known)}."
        faults.add((*where, "operation"), "unknown_operation", detail)
        return
    able = [machine for machine in plant.operations if machine.operation == wish.name]
    if wish.machine and wish.machine not in [machine.id for machine in able]:
        detail = f"No such machine does it; there is {_list([machine.id for machine in able])}."
        faults.add((*where, "machine"), "unknown_machine", detail)
    finishes = sorted({name for machine in able for name in machine.finishes})
    if wish.finish and wish.finish not in finishes:
        detail = "It has no finish to choose: leave it out."
        if finishes:
            detail = f"Nobody does this finish; there is {_list(finishes)}."
        faults.add((*where, "finish"), "unknown_finish", detail)


def read_binding(given: Given | None, plant: Plant | None, faults: Faults) -> Binding | None:
    """Return the binding asked for, None where there is none or where it has a fault."""
    path: Path = ("job", "binding")
    if not given or not faults.clear_of(path):
        return None
    binding = Binding(given["method"], given["edge"], given.get("machine", ""))
    if plant is None:
        return binding
    methods = list(dict.fromkeys(binder.method for binder in plant.binders))
    able = [binder.id for binder in plant.binders if binder.method == binding.method]
    if not able:
        detail = f"Nobody binds so for this plant; there is {_list(methods) or 'no binder'}."
        faults.add((*path, "method"), "unknown_method", detail)
    elif binding.machine and binding.machine not in able:
        detail = f"No such binder does it; there is {_list(able)}."
        faults.add((*path, "machine"), "unknown_machine", detail)
    return binding if faults.clear_of(path) else None


def check_pages(pages: int | None, binding: Given | None, faults: Faults, path: Path) -> bool:
    """Whether pages to be bound come in whole leaves or folded sheets; add the fault if not."""
    method = (binding or {}).get("method")
    least = 4 if method and folds_sections(method) else 2
    if pages is None:
        faults.add((*path, "pages"), "required", "A section to be bound needs its pages.")
        return False
    if pages % least:
        fitting = -(-pages // least) * least
        detail = (
            f"Expected a multiple of {least}, as {str(method).replace('_', ' ')} binds them: "
            f"{fitting}, or bind single leaves ({_list(sorted(LEAF_METHODS))})."
        )
        faults.add((*path, "pages"), "pages_multiple", detail)
        return False
    return True


def check_names(parts: Sequence[tuple[int, Part]], faults: Faults) -> None:
    """Every part has a name of its own."""
    seen: set[str] = set()
    for index, part in parts:
        if part.name in seen:
            where = ("job", "parts", index, "name")
            faults.add(where, "same_name_twice", "A part before has this name: choose another.")
        seen.add(part.name)


def bind(
    parts: Sequence[tuple[int, Part]], binding: Binding | None, plant: Plant, faults: Faults
) -> tuple[Part, ...]:
    """Return the parts as they are bound: covers at their flat size, spines with what is milled.

    parts: each with its index in the request
    """
    _check_bound(parts, binding, faults)
    if binding is None or not faults.clear_of(("job",)):
        return tuple(part for _, part in parts)
    try:
        return bound_parts([part for _, part in parts], binding, plant.binders)
    except NoSuchBinder as fault:
        faults.add(("job", "binding", "method"), "unknown_method", sentence(str(fault)))
        return ()


def _check_bound(
    parts: Sequence[tuple[int, Part]], binding: Binding | None, faults: Faults
) -> None:
    covers = [index for index, part in parts if part.kind == "cover"]
    if covers and binding is None:
        detail = "A cover goes around what is bound: give the job a binding, or make it a leaf."
        faults.add(("job", "parts", covers[0], "kind"), "cover_unbound", detail)
    for index, part in parts:
        if part.kind == "cover" and part.per_copy > 1 and binding and binding.method in WRAPPED:
            detail = "A copy has one cover: leave it out."
            faults.add(("job", "parts", index, "per_copy"), "second_cover", detail)
    if binding is None and parts and all(part.kind == "insert" for _, part in parts):
        detail = "An insert is laid into something: add that, or make it a leaf."
        faults.add(("job", "parts", 0, "kind"), "nothing_to_bind", detail)
        return
    for index in covers[1:]:
        detail = "A copy has one cover: make this one an insert or a section."
        faults.add(("job", "parts", index, "kind"), "second_cover", detail)
    if binding is None:
        return
    inner = [(index, part) for index, part in parts if part.kind in ("section", "leaf")]
    if not inner:
        detail = "There is nothing to bind: add a section, or leaves; or leave the binding out."
        faults.add(("job", "binding"), "nothing_to_bind", detail)
        return
    for index, part in inner:
        if binding.method == "saddle_stitch" and part.kind == "leaf" and part.pages % 4:
            detail = "A leaf without a fold cannot be stitched in: fold it, or make it an insert."
            faults.add(("job", "parts", index, "pages"), "pages_multiple", detail)
    _check_sizes(parts, inner, faults)


def _check_sizes(
    parts: Sequence[tuple[int, Part]], inner: Sequence[tuple[int, Part]], faults: Faults
) -> None:
    """What is bound has one size, and an insert goes into it."""
    size = inner[0][1].width_mm, inner[0][1].height_mm
    for index, part in [*inner[1:], *((n, p) for n, p in parts if p.kind == "cover")]:
        if (part.width_mm, part.height_mm) != size:
            first = f"{size[0]:g} x {size[1]:g} mm"
            detail = f"What is bound together has one size; the first is {first}."
            faults.add(("job", "parts", index, "size"), "sizes_differ", detail)
    for index, part in parts:
        sides = sorted((part.width_mm, part.height_mm))
        if part.kind == "insert" and any(map(gt, sides, sorted(size))):
            detail = f"An insert lies in the copy: at most {size[0]:g} x {size[1]:g} mm, folded."
            faults.add(("job", "parts", index, "size"), "sizes_differ", detail)


def _list(names: Sequence[str]) -> str:
    return ", ".join(names)
