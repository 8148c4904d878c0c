"""The machines of a plant that jobs queue at, by their ids."""

from __future__ import annotations

from collections.abc import Iterator

from .plant import Plant

PREPRESS, GUILLOTINE, FOLDER = "prepress", "guillotine", "folder"
SLITTER, TABLE_CUTTER = "slitter", "table_cutter"


def machine_ids(plant: Plant) -> tuple[str, ...]:
    """Return the id of everything that a job queues at: the desk, presses, finishing, binders.

    In the order of production. What is bought out has no queue, its lead days have it in them. Each
    operation of the plant file is a machine of its own, also where one could do the work of two. A
    plant file in which two of different kinds share an id is refused.
    """
    return tuple(_machines(plant))


def _machines(plant: Plant) -> Iterator[str]:
    if plant.prepress is not None:
        yield PREPRESS
    for installed in plant.presses:
        yield installed.press.id
    bindery = plant.bindery
    for name, machine in (
        (GUILLOTINE, bindery.guillotine),
        (FOLDER, bindery.folder),
        (SLITTER, bindery.slitter),
        (TABLE_CUTTER, bindery.table_cutter),
    ):
        if machine is not None:
            yield name
    for operation in plant.operations:
        if not operation.bought_out:
            yield operation.id
    for binder in plant.binders:
        if not binder.bought_out:
            yield binder.id
