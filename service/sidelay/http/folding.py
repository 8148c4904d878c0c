"""Whether sizes, pages and folds of a leaf fit together, and what follows from them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from ..imposition.sections import section_size

Size = tuple[float, float]

# Trimming is not more exact than this [mm].
TOLERANCE_MM = 0.5
# Panels that tuck in are cut a little shorter; the flat piece may be so much larger than its folds
# could make it.
AREA_TOLERANCE = 1.02


class FoldMismatch(ValueError):  # noqa: N818  (an answer to the caller, not a fault)
    """Sizes, pages and folds that do not fit together. member: the one to look at first."""

    def __init__(self, member: str, detail: str) -> None:
        super().__init__(detail)
        self.member = member


class Flat(NamedTuple):
    """A piece before folding: its trimmed size [mm], its pages, two a panel, and its folds."""

    width_mm: float
    height_mm: float
    pages: int
    folds: int


def flat_piece(size: Size, flat_size: Size | None, pages: int | None, folds: int) -> Flat:
    """Return the flat piece of a finished size [mm]. Raises FoldMismatch.

    Without a flat size the panels lie side by side: width x panels. pages: None to work them out
    """
    if flat_size is None:
        return _from_pages(size, pages or 2, folds)
    return _from_flat_size(size, flat_size, pages, folds)


def flat_section(size: Size, given: Mapping[str, Any], pages: int | None, bleed_mm: float) -> Flat:
    """Return a section as one sheet would hold it, unfolded [mm]. Raises FoldMismatch.

    Half its pages lie on a side, in columns and rows as near to a square as they come; pairs of
    columns share an untrimmed spine, rows are trimmed at head and foot. Folds are counted, so none
    is to be given; nor is a flat size.
    """
    _refuse(given, "section", "flat_size", "folds")
    if pages is None or pages % 4:
        raise FoldMismatch("pages", "A section has a multiple of four pages: 4, 8, 16, 24, 32, ...")
    width, height, folds = section_size(pages, *size, bleed_mm)
    return Flat(width, height, pages, folds)


def flat_bound(size: Size, given: Mapping[str, Any], pages: int | None, kind: str) -> Flat:
    """Return pages to be bound, or their cover: laid out when it is known how they are bound.

    Raises FoldMismatch for members that follow from the binding.
    """
    _refuse(given, kind, "flat_size", "folds")
    if kind == "cover" and pages not in (None, 2, 4):
        raise FoldMismatch("pages", "A cover has four pages: leave them out.")
    return Flat(*size, pages or 4, 0)


def flat_one(size: Size, given: Mapping[str, Any], pages: int | None) -> Flat:
    """Return a label, panel or single piece: nothing about it folds. Raises FoldMismatch."""
    _refuse(given, given["kind"], "flat_size", "folds")
    if pages not in (None, 2):
        raise FoldMismatch("pages", f"A {given['kind']} has no pages: leave them out.")
    return Flat(*size, 2, 0)


def _refuse(given: Mapping[str, Any], kind: str, *members: str) -> None:
    for member in members:
        if given.get(member):
            told = f"The part is a {kind}, which has no {member}: leave it out."
            raise FoldMismatch(member, told)


def _from_pages(size: Size, pages: int, folds: int) -> Flat:
    panels = pages // 2
    if not folds + 1 <= panels <= 2**folds:
        least, most = 2 * (folds + 1), 2 * 2**folds
        fitting = f"{least} to {most}" if folds > 1 else f"{least}"
        raise FoldMismatch(
            "folds",
            f"{pages} pages are {panels} panel(s), which {folds} fold(s) do not make: expected "
            f"{fitting} pages, or other folds.",
        )
    return Flat(round(size[0] * panels, 4), size[1], pages, folds)


def _from_flat_size(size: Size, flat_size: Size, pages: int | None, folds: int) -> Flat:
    spare = [large - small for large, small in zip(sorted(flat_size), sorted(size), strict=True)]
    if min(spare) < -TOLERANCE_MM:
        raise FoldMismatch("flat_size", "The flat size is smaller than the finished size.")
    ratio = flat_size[0] * flat_size[1] / (size[0] * size[1])
    _check_folds(max(spare) > TOLERANCE_MM, ratio, folds)
    if pages is not None and abs(pages / 2 - ratio) >= 1:
        raise FoldMismatch(
            "pages",
            f"{pages} pages are {pages // 2} panel(s), but the flat size holds {ratio:.2f} "
            "finished pieces.",
        )
    return Flat(*flat_size, pages or max(2, 2 * round(ratio)), folds)


def _check_folds(larger: bool, ratio: float, folds: int) -> None:
    if not larger and folds:
        raise FoldMismatch("folds", "The flat size is the finished size: there is nothing to fold.")
    if larger and not folds:
        raise FoldMismatch("folds", "The flat size is larger than the finished size: fold it.")
    if ratio > 2**folds * AREA_TOLERANCE:
        raise FoldMismatch(
            "folds",
            f"{folds} fold(s) bring {ratio:.2f} finished pieces at most to 1/{2**folds} of the "
            "flat size.",
        )
