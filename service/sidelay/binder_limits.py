"""Which binder takes a book: what stands against each, and the first of a method that takes it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from .binders import Binder, Book, book_of, folds_sections
from .bookwork import PAGES_PER_FOLDED_SHEET, innermost_page_mm
from .job import Binding, BindingMethod, Part
from .work import Finding


class NoSuchBinder(LookupError):  # noqa: N818  (an answer to the caller, not a fault)
    """No binder of the plant does what was asked; the message says what there is."""


def choose_binder(
    binders: Sequence[Binder], book: Book, machine: str = ""
) -> tuple[Binder, list[Finding]]:
    """Return the binder for a book, and what stands against it or should be known.

    The first of the book's method, in the order of the plant, that takes the book; where none
    does, the one that comes nearest (fewest limits, then fewest pages out of its range) with its
    limits, whose remedies name what else in the plant would.
    machine: id of the one binder that was asked for; "" for any
    Raises NoSuchBinder where the plant has none of the method, or none of that id and method.
    """
    able = [each for each in binders if each.method == book.method and machine in ("", each.id)]
    if not able:
        raise NoSuchBinder(_what_there_is(binders, book.method, machine))
    found = [(binder, binder_findings(binder, book)) for binder in able]
    for binder, findings in found:
        if not _refused(findings):
            return binder, findings
    binder, findings = min(found, key=lambda each: _distance(each[0], each[1], book))
    others = _that_would(binders, book, binder)
    return binder, [_with_others(finding, others) for finding in findings]


def bound_parts(
    parts: Sequence[Part], binding: Binding, binders: Sequence[Binder]
) -> tuple[Part, ...]:
    """Return the parts as they are bound: covers at their flat size, spines with what is milled.

    Raises NoSuchBinder as choose_binder does.
    """
    binder, _ = choose_binder(binders, book_of(parts, binding), binding.machine)
    milled = [
        replace(
            part,
            bound_in=binding.method,
            bound_at=binding.edge,
            spine_trim_mm=binder.grind_off_mm,
        )
        if part.kind == "section"
        else part
        for part in parts
    ]
    book = book_of(milled, binding)
    return tuple(
        _sized(part, binder.cover_flat_mm(book)) if part.kind == "cover" else part
        for part in milled
    )


def _sized(cover: Part, flat: tuple[float, float]) -> Part:
    return replace(cover, flat_width_mm=round(flat[0], 3), flat_height_mm=round(flat[1], 3))


def binder_findings(binder: Binder, book: Book) -> list[Finding]:
    """Return what stands against binding a book on a binder: limits and cautions, [] for nothing.

    Pages that come in fours for folded methods are seen to where a job is read.
    """
    if binder.method != book.method:
        return [
            Finding(
                "limit",
                "bind_method",
                f"{binder.name} does not bind that way",
                book.method,
                binder.method,
                "",
                f"ask for {_said(binder.method)}, or for a binder that does {_said(book.method)}",
            )
        ]
    return [
        *_page_findings(binder, book),
        *_thickness_findings(binder, book),
        *_size_findings(binder, book),
        *_cover_findings(binder, book),
        *_creep_findings(binder, book),
    ]


def _page_findings(binder: Binder, book: Book) -> Iterator[Finding]:
    pages = book.counted_pages
    counted = ", the cover counted" if pages > book.pages else ""
    if pages > binder.max_pages:
        yield Finding(
            "limit",
            "bind_too_many_pages",
            f"{_said(binder.method)} on {binder.name} does not hold that many pages{counted}",
            pages,
            binder.max_pages,
            "pages",
            f"use at most {binder.max_pages} pages{counted}",
        )
    if pages < binder.min_pages:
        yield Finding(
            "limit",
            "bind_too_few_pages",
            f"{binder.name} needs more pages to bind{counted}",
            pages,
            binder.min_pages,
            "pages",
            f"use at least {binder.min_pages} pages{counted}",
        )


def _thickness_findings(binder: Binder, book: Book) -> Iterator[Finding]:
    block = round(book.block_mm, 2)
    if book.block_mm > binder.max_block_mm:
        yield Finding(
            "limit",
            "bind_block_thick",
            f"the block is thicker than {binder.name} takes",
            block,
            binder.max_block_mm,
            "mm",
            "use fewer pages or a thinner stock, or make it in two volumes",
        )
    if book.block_mm < binder.min_block_mm:
        glued = binder.method == "perfect_bind"
        yield Finding(
            "limit",
            "bind_block_thin",
            "the spine is too thin to hold the glue"
            if glued
            else f"the block is thinner than {binder.name} takes",
            block,
            binder.min_block_mm,
            "mm",
            "use more pages or a bulkier stock",
        )


def _size_findings(binder: Binder, book: Book) -> Iterator[Finding]:
    asked = f"{book.across_mm:g} x {book.along_mm:g}"
    most, least = (
        (binder.max_width_mm, binder.max_height_mm),
        (binder.min_width_mm, binder.min_height_mm),
    )
    if book.across_mm > most[0] or book.along_mm > most[1]:
        yield Finding(
            "limit",
            "bind_size_large",
            f"the page, from spine to face and along the spine, is larger than {binder.name} takes",
            asked,
            f"{most[0]:g} x {most[1]:g}",
            "mm",
            f"bind a page up to {most[0]:g} mm from spine to face and {most[1]:g} mm along it",
        )
    if book.across_mm < least[0] or book.along_mm < least[1]:
        yield Finding(
            "limit",
            "bind_size_small",
            f"the page, from spine to face and along the spine, is smaller than {binder.name} "
            "takes",
            asked,
            f"{least[0]:g} x {least[1]:g}",
            "mm",
            f"bind a page of at least {least[0]:g} mm from spine to face and {least[1]:g} mm along "
            "it, or bind two up and cut them apart",
        )


def _cover_findings(binder: Binder, book: Book) -> Iterator[Finding]:
    if binder.needs_cover and not book.has_cover:
        yield Finding(
            "limit",
            "bind_no_cover",
            f"{_said(binder.method)} needs a cover to hold the block",
            "none",
            "cover",
            "",
            "add a part of the kind cover",
        )
    heaviest = binder.score_cover_above_gsm
    if heaviest is None or book.cover_gsm is None or book.cover_scored:
        return
    if book.cover_gsm > heaviest:
        yield Finding(
            "limit",
            "bind_cover_unscored",
            "a cover this heavy cracks where it is folded, unless it is scored first",
            book.cover_gsm,
            heaviest,
            "g/m2",
            f"have the cover creased or scored, or choose a cover up to {heaviest:g} g/m2",
        )


def _creep_findings(binder: Binder, book: Book) -> Iterator[Finding]:
    lost = binder.creep_mm(book)
    if lost <= binder.creep_caution_mm:
        return
    left = innermost_page_mm(book.across_mm, lost)
    told = "nothing is left of the innermost pages"
    if left:
        told = f"the innermost pages lose {lost:.1f} mm at the face and keep {left:.1f} mm"
    yield Finding(
        "limit" if not left else "caution",
        "bind_creep",
        f"nested sheets creep: {told}",
        round(lost, 2),
        binder.creep_caution_mm,
        "mm",
        "move the pages in towards the spine as they lie further in, keep margins at the face wide "
        "or use a thinner stock",
    )


def _refused(findings: Sequence[Finding]) -> bool:
    return any(finding.severity == "limit" for finding in findings)


def _distance(binder: Binder, findings: Sequence[Finding], book: Book) -> tuple[int, int]:
    """How far a book is from what a binder takes: limits broken, then pages too many or too few."""
    limits = sum(finding.severity == "limit" for finding in findings)
    pages = book.counted_pages
    return limits, max(pages - binder.max_pages, binder.min_pages - pages, 0)


def _that_would(binders: Sequence[Binder], book: Book, but: Binder) -> str:
    """Say what else in the plant binds such a book: another binder of the method, other methods."""
    said: dict[str, None] = {}
    for other in binders:
        with_it = [told for told, tried in _tried(book) if _takes(other, tried)]
        if other is but or not with_it:
            continue
        name = other.id if other.method == book.method else _said(other.method)
        said[f"{name}{with_it[0]}"] = None
    return ", ".join(said)


def _tried(book: Book) -> Iterator[tuple[str, Book]]:
    """Yield a book as it is, and as a cover would help it, each with how to say so."""
    yield "", book
    if not book.has_cover:
        yield " with a cover", replace(book, has_cover=True)
    elif not book.cover_scored:
        yield " with the cover scored", replace(book, cover_scored=True)


def _takes(binder: Binder, book: Book) -> bool:
    """Whether a binder would take the book by its own method.

    A pad is for leaves that are torn off, so it stands in for no book, and no book for it.
    """
    if binder.method != book.method and "pad" in (binder.method, book.method):
        return False
    if folds_sections(binder.method) and book.pages % PAGES_PER_FOLDED_SHEET:
        return False
    return not _refused(binder_findings(binder, replace(book, method=binder.method)))


def _with_others(finding: Finding, others: str) -> Finding:
    if finding.severity != "limit" or not others:
        return finding
    return replace(finding, remedy=f"{finding.remedy}; or have it bound by {others}")


def _said(method: BindingMethod) -> str:
    return method.replace("_", " ")


def _what_there_is(binders: Sequence[Binder], method: BindingMethod, machine: str) -> str:
    if machine:
        ids = ", ".join(each.id for each in binders if each.method == method) or "none"
        return f"no binder {machine!r} for {_said(method)} in this plant; there is {ids}"
    methods = ", ".join(dict.fromkeys(each.method for each in binders)) or "none"
    return f"this plant does no {_said(method)}; it binds by {methods}"
