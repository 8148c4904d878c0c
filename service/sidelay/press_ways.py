"""What one press can do about one part: why it cannot, or every way it can, ready to be costed.

A part that is bound is split: a press with image carriers prints section by section, each from
carriers of its own; a plateless press prints the sheets of a copy one after the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from .asked_once import Models
from .asking import Asked, Draft
from .binders import Bound
from .bookwork import PAGES_PER_FOLDED_SHEET
from .costing import Route
from .feeds import SheetFeed, WebFeed
from .imposition.refusals import (
    NO_WAY_TO_RUN,
    pages_left,
    sections_folded,
    unfit_carriers,
    unfit_findings,
)
from .imposition.sections import (
    PAGES_PER_LEAF,
    SHEET_SECTIONS,
    WEB_SECTIONS,
    cuts_to_sheets,
    leaf,
    section,
    side_by_side,
    splits,
)
from .job import LEAF_METHODS, Job, Part
from .machines import Step
from .plant import InstalledPress, Plant
from .work import Finding, Layout, Work

# Folded sheets of a collated copy are nested to sections of so many pages where they are sewn.
# Common practice, no source.
PAGES_NESTED = 16
# A sheet whose leaves differ is turned over whole.
_STYLES_OF_LEAVES = ("one_side", "sheetwise", "perfecting")


def ways_on(
    installed: InstalledPress,
    part: Part,
    job: Job,
    plant: Plant,
    processes: Models,
    bound: Bound | None = None,
) -> tuple[list[Finding], list[Draft]]:
    """Return the findings on one press, and its ways: none when a finding is a limit.

    bound: how the copies of the job are bound, None where they are not
    Raises PressUnavailable when the press model fails.
    """
    unfit = unfit_findings(part, installed.press.feed)
    if unfit:
        return unfit, []  # another kind of press: what else stands against it is of no use
    asked = Asked(installed, part, job, plant, processes, bound)
    if part.bound_in is None:
        found, drafts = _whole(asked)
    elif asked.plateless:
        found, drafts = _collated(asked)
    elif part.bound_in in LEAF_METHODS:
        found, drafts = _in_leaves(asked)
    else:
        found, drafts = _in_sections(asked)
    if not drafts and not _limits(found):
        found.append(NO_WAY_TO_RUN)
    elif drafts and _keeps_unfit_carriers(part, drafts):
        found.append(unfit_carriers(part))
    return found, drafts


def _limits(found: Sequence[Finding]) -> bool:
    return any(finding.severity == "limit" for finding in found)


def _whole(asked: Asked) -> tuple[list[Finding], list[Draft]]:
    """The part as it is, one piece after the other."""
    found = asked.findings()
    if _limits(found):
        return found, []
    able, against = asked.works()
    routes = asked.routes(able, asked.part, of=asked.part, gathering=asked.collating(1))
    return [*found, *against], _draft(routes, "")


def _in_sections(asked: Asked) -> tuple[list[Finding], list[Draft]]:
    """Folded sections, each size of them printed from forms of its own."""
    sizes = WEB_SECTIONS if isinstance(asked.installed.press.feed, WebFeed) else SHEET_SECTIONS
    by_size: dict[int, tuple[Asked, list[Work]]] = {}
    first: list[Finding] | None = None
    refused: list[Finding] = []
    for pages in sizes:
        if pages > asked.part.pages:
            continue
        of_size = asked.of(section(asked.part, pages))
        found = of_size.findings()
        able, against = of_size.works() if not _limits(found) else ([], [])
        if able:
            by_size[pages] = of_size, able
            first = found if first is None else first
        else:
            refused = [*found, *against]  # of the smallest in the end: at best it could be that
    ways = splits(asked.part.pages, list(by_size))
    drafts = [draft for split in ways if (draft := _split(asked, split, by_size))]
    if by_size and not ways:
        return [pages_left(asked.part, list(by_size))], []
    return (refused if first is None else first), drafts


def _split(
    asked: Asked, split: dict[int, int], by_size: dict[int, tuple[Asked, list[Work]]]
) -> Draft | None:
    """One split of the pages: so many sections of each size, the largest first."""
    stretches: list[tuple[Route, ...]] = []
    before = 0
    for pages, times in split.items():
        of_size, able = by_size[pages]
        cut_as, inner_cuts, gathered = of_size.part, 0, times
        if asked.in_flat_sheets:
            # Cut to sheets of four pages instead of folded; each is gathered on its own.
            cut_as, inner_cuts = replace(cut_as, folds=0), cuts_to_sheets(cut_as)
            gathered = times * pages // PAGES_PER_FOLDED_SHEET
        routes = of_size.routes(
            able,
            cut_as,
            inner_cuts,
            of=asked.part,
            times=times,
            leading=not stretches,
            gathering=asked.gathering(gathered, before),
        )
        if not routes:
            return None
        before += gathered
        stretches.append(tuple(_set_once(route) for route in routes))
    told = " + ".join(f"{times} x {pages}" for pages, times in split.items())
    folded = any(r.work.layout.delivery == "copy" for stretch in stretches for r in stretch)
    return Draft(
        tuple(stretches),
        f"{asked.part.pages} pages in sections of {told}",
        barred=asked.in_flat_sheets and folded,
    )


def _set_once(route: Route) -> Route:
    """Share what is spoiled when a machine is set among the sections that run through it alike."""
    steps = tuple(
        replace(step, set_up_waste=-(-step.set_up_waste // route.times)) for step in route.steps
    )
    return replace(route, steps=steps)


def _in_leaves(asked: Asked) -> tuple[list[Finding], list[Draft]]:
    """Single leaves, different ones beside each other on a sheet, which is cut apart."""
    one = asked.of(leaf(asked.part))
    found = one.findings()
    if _limits(found):
        return found, []
    leaves = asked.part.pages // PAGES_PER_LEAF
    able, against = one.works()
    flat = [work for work in able if work.layout.delivery == "sheet"]
    if able and not flat and asked.bound is not None:
        against = [sections_folded(asked.part, asked.bound.binder.name)]
    drafts = [
        draft
        for work in flat
        if work.layout.style in _STYLES_OF_LEAVES and (draft := _leaves(asked, one, work, leaves))
    ]
    return [*found, *against], drafts


def _leaves(asked: Asked, one: Asked, work: Work, leaves: int) -> Draft | None:
    """One layout of leaves: full sheets, and one with the leaves that are left."""
    full, left = divmod(leaves, work.layout.up)
    stretches: list[tuple[Route, ...]] = []
    for count, times in ((work.layout.up, full), (left, 1)):
        if not (count and times):
            continue
        layout = replace(work.layout, up=max(1, work.layout.up // count))
        held = side_by_side(one.part, count, count * PAGES_PER_LEAF)
        routes = asked.of(held).routes(
            [replace(work, part=held, layout=layout)],
            one.part,
            of=asked.part,
            times=times,
            leading=not stretches,
            gathering=asked.collating(count * times),
        )
        if not routes:
            return None
        stretches.append(tuple(_set_once(route) for route in routes))
    told = f"{leaves} leaves, {work.layout.up} different ones on a sheet"
    return Draft(tuple(stretches), told)


def _collated(asked: Asked) -> tuple[list[Finding], list[Draft]]:
    """A copy printed sheet after sheet: nothing to gather, but sections to sew where it is sewn."""
    if not isinstance(asked.installed.press.feed, SheetFeed):
        return _collated_on_web(asked)
    part = asked.part
    piece = leaf(part) if _in_single_leaves(part) else section(part, PAGES_PER_FOLDED_SHEET)
    sheets = part.pages // piece.pages
    of_piece = asked.of(piece)
    found = of_piece.findings()
    if _limits(found):
        return found, []
    held = side_by_side(piece, sheets, part.pages)
    able, against = of_piece.works()
    works_of_copies = [
        replace(work, part=held, layout=_turned_to_copies(work.layout, sheets)) for work in able
    ]
    routes = [
        replace(route, steps=_of_copies(asked, route.steps, sheets))
        for route in of_piece.routes(works_of_copies, piece, of=part, gathering=_sewn(asked))
    ]
    told = f"a copy of {sheets} {'leaves' if piece.pages == 2 else 'folded sheets'} in turn"
    return [*found, *against], _draft(routes, told)


def _collated_on_web(asked: Asked) -> tuple[list[Finding], list[Draft]]:
    """All pages of a copy one after the other on a web; in pairs, where sheets are to be folded."""
    pages = asked.part.pages
    whole = asked.of(side_by_side(leaf(asked.part), pages // PAGES_PER_LEAF, pages))
    found = whole.findings()
    if _limits(found):
        return found, []
    able, against = whole.works()
    if not _in_single_leaves(asked.part):
        able = [work for work in able if work.layout.across % 2 == 0]
    routes = whole.routes(able, whole.part, of=asked.part, gathering=_sewn(asked))
    return [*found, *against], _draft(routes, "a copy printed page after page")


def _in_single_leaves(part: Part) -> bool:
    """Whether a collated copy is bound as single leaves: so is what is milled at the spine."""
    return part.bound_in in LEAF_METHODS or part.bound_in == "perfect_bind"


def _sewn(asked: Asked) -> tuple[Step, ...]:
    """The sewing of a collated copy, its sheets nested to sections; nothing where none is sewn."""
    if asked.bound is None or not asked.bound.binder.sews:
        return ()
    return asked.gathering(ceil(asked.part.pages / PAGES_NESTED))


def _draft(routes: Sequence[Route], because: str) -> list[Draft]:
    return [Draft((tuple(routes),), because)] if routes else []


def _turned_to_copies(layout: Layout, sheets: int) -> Layout:
    because = f"{layout.because}; {sheets} of them make a copy"
    return replace(layout, cycles_per_piece=sheets, because=because)


def _of_copies(asked: Asked, steps: Sequence[Step], sheets: int) -> tuple[Step, ...]:
    """Steps on single sheets of a copy, counted in copies; a binder may fold them itself.

    What is spoiled in setting is single sheets, of which a copy has many.
    """
    folds = asked.bound is not None and asked.bound.binder.folds_sheets
    return tuple(
        replace(
            step,
            minutes=step.minutes * sheets,
            price=step.price * sheets,
            set_up_waste=-(-step.set_up_waste // sheets),
        )
        if step.unit == "piece"
        else step
        for step in steps
        if not (folds and step.name == "fold")
    )


def _keeps_unfit_carriers(part: Part, drafts: Sequence[Draft]) -> bool:
    """Whether carriers of this press are kept, but none that any layout could use."""
    routes = [route for draft in drafts for stretch in draft.stretches for route in stretch]
    press = routes[0].press.id
    named = any(kept.partition(":")[0] == press for kept in part.kept_carriers)
    return named and not any(route.keeps_carriers for route in routes)
