"""Shells: what is the same on all pieces printed before, by a press with image carriers.

What differs from piece to piece is then overprinted by a plateless press, one ready-made piece at a
time. That competes with printing all of it in one go.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from .asked_once import Models
from .asking import Draft
from .binders import Bound
from .costing import Route
from .job import Job, Part, Side
from .part_operations import stage_of
from .plant import InstalledPress, Plant
from .press_ways import ways_on
from .processes import PressUnavailable
from .stock import ParentSheet, Stock
from .work import Layout

_TOLD = "shells printed before, then overprinted one at a time"
Failed = tuple[str, str, str]  # process, press, reference


def in_one_go(part: Part) -> Part:
    """Return a part with its overprint printed together with the rest; itself without one."""
    if part.overprint is None:
        return part
    front, back = part.overprint
    return replace(
        part, front=_together(part.front, front), back=_together(part.back, back), overprint=None
    )


def _together(first: Side, second: Side) -> Side:
    """Return two sides printed on one; where both have an ink, their coverages add up."""
    if not second.inks:
        return first
    inks = tuple(dict.fromkeys((*first.inks, *second.inks)))
    covered = {
        ink.name: min(1.0, sum(side.covered(ink) for side in (first, second) if ink in side.inks))
        for ink in inks
    }
    heaviest = None
    if first.heaviest_pct is not None:
        heaviest = first.heaviest_pct + second.total_coverage_pct
    return Side(inks, max(first.coverage, second.coverage), heaviest, tuple(covered.items()))


def shell_ways(
    part: Part,
    chosen: Sequence[InstalledPress],
    job: Job,
    plant: Plant,
    processes: Models,
    bound: Bound | None = None,
) -> tuple[list[tuple[InstalledPress, Draft]], list[Failed]]:
    """Return the ways to print shells and to overprint them, by the press that overprints.

    bound: how the copies of the job are bound, None where they are not
    Also what failed: process, press and reference. None where the part has no overprint, or where
    an operation on whole sheets would have to stand between the two.
    """
    if part.overprint is None or any(
        stage_of(wish, plant) == "sheet" for wish in part.operations
    ):
        return [], []
    failed: list[Failed] = []
    shell = replace(part, overprint=None, variable_share=0.0, folds=0, operations=())
    shells = [
        route
        for installed in chosen
        if not processes.about[installed.process].variable_data
        for route in _routes(installed, shell, job, plant, processes, failed)
    ]
    ways = []
    over_job = replace(job, quality=part.overprint_quality or job.quality)
    if shells:
        for installed in chosen:
            if processes.about[installed.process].variable_data:
                # Pieces are put in order once, when they are whole.
                over = _routes(
                    installed, _overprinted(part), over_job, plant, processes, failed, bound
                )
                ways += [(installed, draft) for draft in _drafts(over, shells, part)]
    return ways, failed


def _routes(
    installed: InstalledPress,
    part: Part,
    job: Job,
    plant: Plant,
    processes: Models,
    failed: list[Failed],
    bound: Bound | None = None,
) -> list[Route]:
    try:
        _, drafts = ways_on(installed, part, job, plant, processes, bound)
    except PressUnavailable as fault:
        failed.append((installed.process, installed.press.id, fault.reference))
        return []
    return [route for draft in drafts for stretch in draft.stretches for route in stretch]


def _overprinted(part: Part) -> Part:
    """The part as the overprinting press sees it: ready-made pieces, flat and trimmed."""
    assert part.overprint is not None  # noqa: S101  asked for parts that have one
    front, back = part.overprint
    return replace(
        part,
        front=front,
        back=back,
        overprint=None,
        bleed_mm=0.0,
        gutter_mm=0.0,
        grain="any",
        ruling_lpi=0.0,
        ready_made=True,
        stock=_shell_stock(part),
    )


def _shell_stock(part: Part) -> Stock:
    short, long = sorted((part.flat_width_mm, part.flat_height_mm))
    sheet = ParentSheet(short, long, "long", 0.0, "printed here before")
    return replace(part.stock, sheets=(sheet,), reels=(), blanks=())


def _drafts(over: Sequence[Route], shells: Sequence[Route], part: Part) -> Iterator[Draft]:
    """The overprint in its shortest layout, fed by the shells of each press that prints them."""
    if not over:
        return
    shortest = min(over, key=lambda route: _length(route.work.layout))
    whole = in_one_go(part)  # every side that is printed in the end is proofed
    first = replace(shortest, of=whole, on_shells=True)
    by_press: dict[tuple[str, str], list[Route]] = {}
    for route in shells:
        feeding = replace(route, of=whole, feeds=0)
        by_press.setdefault((route.process, route.press.id), []).append(feeding)
    for shell, routes in by_press.items():
        yield Draft(((first,), tuple(routes)), _TOLD, shell)


def _length(layout: Layout) -> float:
    return layout.length_mm
