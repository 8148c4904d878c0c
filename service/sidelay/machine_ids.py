"""What a job can queue at in a plant, by id."""

from __future__ import annotations

from .plant import Plant


def machine_ids(plant: Plant) -> tuple[str, ...]:
    """Return the ids of the desk, of presses, and of what finishes in the house, in that order.

    What is bought out queues somewhere else, and takes its working days.
    """
    bindery = plant.bindery
    return (
        *(("prepress",) if plant.prepress else ()),
        *(each.press.id for each in plant.presses),
        "guillotine",
        "folder",
        *(("slitter",) if bindery.slitter else ()),
        *(("table_cutter",) if bindery.table_cutter else ()),
        *(each.id for each in plant.operations if not each.bought_out),
        *(each.id for each in plant.binders if not each.bought_out),
    )
