"""Where the money of an offer goes, stage by stage of production."""

from __future__ import annotations

from .job_table import JobCosts, JobTable
from .lines import STAGES, place_of_stage
from .offers import Offer


def stage_costs(offer: Offer, costs: JobCosts, table: JobTable) -> dict[str, int]:
    """Return what each stage of an offer costs [minor units]; together they are its cost.

    Stages are sums of rounded lines, in the order of production: those of STAGES, and those that a
    plug-in names itself right after the run. A stage that costs nothing is left out.
    """
    found, tables = costs.makeups[offer.makeup], table.makeups[offer.makeup]
    summed: dict[str, int] = {}

    def add(stage: str, money: int) -> None:
        summed[stage] = summed.get(stage, 0) + money

    for made, part, of_part in zip(offer.parts, tables.parts, found.parts, strict=True):
        for number in made.routes:
            first = part.table.first_line(number)
            for row, line in enumerate(part.table.lines_of(number), first):
                add(line.stage, int(of_part.costs.lines[row, offer.column]))
    for row, line in enumerate(tables.assembly.lines):
        add(line.stage, int(found.assembly.bill.lines[row, offer.column]))
    summed["overtime"] = offer.overtime_cost
    ordered = sorted(summed, key=lambda s: (place_of_stage(s), s not in STAGES, s))
    return {stage: summed[stage] for stage in ordered if summed[stage]}
