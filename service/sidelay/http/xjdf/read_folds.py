"""Pages, folds and kind of a part: what LayoutIntent and FoldingIntent say together."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ...job import LEAF_METHODS
from ..faults import Path
from .notes import Node
from .product import Product
from .words import (
    FOLDS_BY_NAME,
    FOLDS_FROM,
    FOLDS_TO,
    KINDS,
    SHEETS,
    SINGLE_COVERS,
    SURE_PANELS,
)

_FOLD_NAME = re.compile(r"F([0-9]{1,4})-(?:[0-9]{1,4}|X)")
# Pages that are folded, not bound: more are read as a section that folds together.
MOST_FOLDED = 8


@dataclass
class Paging:
    """Kind, pages and folds of a part; 0 pages: not told. Each with where it is told."""

    kind: str
    pages: int = 0
    pages_at: Path = ()
    folds: int = 0
    folds_at: Path = ()


def read_paging(
    product: Product, layout: Node | None, material: object, method: str | None
) -> Paging:
    """Return kind, pages and folds of a product.

    layout: the LayoutIntent that holds for it; material: its MediaType; method: how it is bound
    """
    paging = Paging("leaf", pages_at=layout.at("Pages") if layout else product.node.path)
    paging.folds_at = paging.pages_at
    if layout:
        paging.pages = layout.amount("Pages") or 0
    folding = product.own("FoldingIntent")
    folded = folding is not None and (folding.has("FoldCatalog") or folding.has("Fold"))
    paging.kind = _kind(product, paging.pages, material, method, folded=folded)
    if paging.kind in ("leaf", "insert"):
        if folding is not None and folded:
            _read_folds(folding, paging)
        elif paging.pages > 2:
            _assume_folds(product, paging)
    if paging.pages == 1:
        detail = "One page is one side of a leaf, which has two pages here."
        product.node.notes.warn(paging.pages_at, "assumed", detail)
        paging.pages = 2
    return paging


def _kind(
    product: Product, pages: int, material: object, method: str | None, *, folded: bool
) -> str:
    told = product.node.text("ProductType")
    single = method in LEAF_METHODS
    if told is not None and told in KINDS:
        return "leaf" if single and told in SINGLE_COVERS else KINDS[told]
    if told is not None and told not in SHEETS:
        detail = "Not a type of product that is known here: read by its pages, folds and binding."
        product.node.warn("ProductType", "unknown_value", detail)
    if told not in SHEETS and material == "SelfAdhesive":
        return "label"
    if told not in SHEETS and material == "Textile":
        return "piece"
    if folded or pages <= 2:
        return "leaf"
    together = pages > MOST_FOLDED and pages % 4 == 0
    return "section" if method is not None or together else "leaf"


def _read_folds(folding: Node, paging: Paging) -> None:
    """Read pages and folds of a leaf from the name of its fold, and from folds told singly."""
    panels = 0
    name = folding.text("FoldCatalog")
    if name is not None:
        paging.folds_at = folding.at("FoldCatalog")
        match = _FOLD_NAME.fullmatch(name)
        if match is None:
            folding.fault("FoldCatalog", "unknown_value", "Expected a name like F6-4 or F6-X.")
            return
        pages = int(match[1])
        if paging.pages and paging.pages != pages:
            detail = f"The fold is one of {pages} pages, and LayoutIntent tells {paging.pages}."
            folding.fault("FoldCatalog", "fold_mismatch", detail)
            return
        if not paging.pages:
            paging.pages, paging.pages_at = pages, paging.folds_at
        panels = pages // 2
    singly = _single_folds(folding)
    if singly:
        paging.folds, paging.folds_at = singly, folding.at("Fold")
    elif name is not None:
        paging.folds = FOLDS_BY_NAME.get(name, least_folds(panels))
        if name not in FOLDS_BY_NAME and panels > SURE_PANELS:
            detail = f"Read as {paging.folds} folds, the least that make so many pages."
            folding.warn("FoldCatalog", "assumed", detail)


def _single_folds(folding: Node) -> int:
    """Return the number of folds that are told one by one."""
    folds = folding.children("Fold")
    for fold in folds:
        fold.word("From", FOLDS_FROM, required=True)
        fold.word("To", FOLDS_TO, required=True)
    if folds:
        detail = "The folds are counted; where they lie and which way has no bearing here."
        folding.warn("Fold", "ignored", detail, whole=True)
    return len(folds)


def _assume_folds(product: Product, paging: Paging) -> None:
    paging.folds = least_folds(paging.pages // 2)
    detail = f"No fold is told: read as {paging.folds}, the least that make so many pages."
    product.node.notes.warn(paging.pages_at, "assumed", detail)


def least_folds(panels: int) -> int:
    """Return the least number of folds that make so many panels: each doubles them at most."""
    return max(0, panels - 1).bit_length()
