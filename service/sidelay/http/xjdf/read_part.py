"""One part of the job from one product, and from the root where the product is silent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from ...paper_sizes import UnknownSize, named_size
from ...stock import Stock
from ..faults import Path
from .draft import Draft, Wish
from .notes import Node
from .points import exact, mm_of, plain
from .product import Product
from .read_colours import read_colours
from .read_folds import Paging, read_paging
from .read_operations import Size, read_operations
from .read_stock import read_stock
from .read_variable import read_variable
from .words import BLANK, BLANK_BOX, BOX, DIE_CUT, GRAINS, SPREADS

_FLAT_KINDS = ("leaf", "insert")


class Context(NamedTuple):
    """What holds for all parts. root: the product that binds them, None where it is the part."""

    stocks: Mapping[str, Stock]
    root: Product | None = None
    method: str | None = None


def read_part(product: Product, part: Draft, context: Context) -> list[Wish]:
    """Put a part of the job; return the operations asked for."""
    media = _intent("MediaIntent", product, context)
    layout = product.own("LayoutIntent")
    material = media.value.get("MediaType") if media else None
    paging = read_paging(product, layout, material, context.method)
    if paging.kind != "leaf":
        source = product.node.path
        if product.node.has("ProductType"):
            source = product.node.at("ProductType")
        part.put("kind", paging.kind, source)
    _put_paging(part, paging)
    size = _put_size(product, part, context, paging)
    _put_bleed(product, part, context)
    if media:
        read_stock(media, part, context.stocks)
        _put_grain(media, part, paging)
    else:
        part.expect("stock", product.node.at("Intent"))
    colour = _intent("ColorIntent", product, context)
    wishes = read_operations(product, size, paging.folds)
    if colour:
        wishes += read_colours(colour, layout, part)
    else:
        part.expect("front", product.node.at("Intent"))
    read_variable(product, part)
    return _made_up(product, wishes) if paging.kind == "carton" else wishes


def _made_up(product: Product, wishes: list[Wish]) -> list[Wish]:
    """Return what is done to a box: its cutting, stripping and gluing beside what is asked."""
    blank = product.node.value.get("ProductType") == BLANK_BOX
    others = [wish for wish in wishes if wish.operation["operation"] != DIE_CUT]
    for wish in wishes:
        if wish not in others:
            detail = "A box is cut by one die, whatever its shapes."
            product.node.notes.warn(wish.source, "assumed", detail)
    if not others and not blank:
        return []  # a carton is made so unless told otherwise
    where = product.node.at("ProductType")
    return others + [Wish({"operation": name}, where) for name in (BLANK if blank else BOX)]


def _intent(name: str, product: Product, context: Context) -> Node | None:
    """Return an intent of the product, that of the root where it has none."""
    own = product.own(name)
    if own is not None or context.root is None:
        return own
    common = context.root.own(name)
    if common is not None:
        detail = f"It has no {name} of its own: that of the root is taken."
        product.node.notes.warn(product.node.path, "assumed", detail)
    return common


def _put_paging(part: Draft, paging: Paging) -> None:
    part.expect("pages", paging.pages_at)
    part.expect("folds", paging.folds_at)
    paged = paging.kind in ("leaf", "insert", "section", "cover")
    if paging.pages > 2 or (paging.pages and paged):
        part.put("pages", paging.pages, paging.pages_at)
    if paging.folds:
        part.put("folds", paging.folds, paging.folds_at)


def _layout_with(name: str, product: Product, context: Context) -> Node | None:
    """Return the LayoutIntent that tells a member: the product's own, else the root's."""
    own = product.own("LayoutIntent")
    if own is not None and own.has(name):
        return own
    common = context.root.own("LayoutIntent") if context.root else None
    if common is None or not common.has(name):
        return None
    detail = f"It has no {name} of its own: that of the root is taken."
    product.node.notes.warn(product.node.path, "assumed", detail)
    return common


def _put_size(
    product: Product, part: Draft, context: Context, paging: Paging
) -> Size | None:
    """Put finished and flat size; return the finished one [mm], None where it is not told."""
    own = product.own("LayoutIntent")
    if own and own.word("SpreadType", SPREADS) == "Spread":
        own.warn("SpreadType", "assumed", "Pages are taken as told: single ones, finished.")
    finished = _layout_with("FinishedDimensions", product, context)
    flat = own if own and own.has("Dimensions") else None
    if paging.kind == "carton":
        finished = None
    if finished is not None:
        sides = finished.numbers("FinishedDimensions", 3)
        where = finished.at("FinishedDimensions")
        if sides and sides[2]:
            detail = "The depth follows from stock and pages."
            finished.notes.warn((*where, 2), "ignored", detail)
        if flat is not None and paging.kind in _FLAT_KINDS:
            _put_sides(part, "flat_size", flat.numbers("Dimensions", 2), flat.at("Dimensions"))
        return _put_sides(part, "size", sides, where)
    if flat is not None and not paging.folds:
        return _put_sides(part, "size", flat.numbers("Dimensions", 2), flat.at("Dimensions"))
    if own is not None and flat is None and own.has("NamedDimensions"):
        return _put_named(part, own)
    missing = own.at("FinishedDimensions") if own else product.node.at("Intent")
    part.expect("size", missing)
    return None


def _put_named(part: Draft, layout: Node) -> Size | None:
    """Put a size that is told by its name, portrait."""
    where = layout.at("NamedDimensions")
    part.expect("size", where)
    name = layout.text("NamedDimensions")
    if name is None:
        return None
    try:
        width, height = named_size(name)
    except UnknownSize:
        layout.warn("NamedDimensions", "unknown_value", "No size is known by this name.")
        return None
    sides = {"width": plain(exact(width), 4), "height": plain(exact(height), 4)}
    part.put("size", sides, where)
    return width, height


def _put_sides(
    part: Draft, name: str, sides: tuple[float, ...] | None, where: Path
) -> Size | None:
    part.expect(name, where)
    if sides is None:
        return None
    size = part.draft(name, where)
    width, height = mm_of(sides[0]), mm_of(sides[1])
    size.put("width", width, (*where, 0))
    size.put("height", height, (*where, 1))
    return width, height


def _put_bleed(product: Product, part: Draft, context: Context) -> None:
    layout = _layout_with("Bleed", product, context)
    bleed = layout.number("Bleed") if layout else None
    if layout and bleed is not None and bleed < 0:  # says that it is needed, and not how much
        layout.warn("Bleed", "assumed", "Bleed of no known width: read as what is usual.")
    elif layout and bleed is not None:
        part.put("bleed_mm", mm_of(bleed), layout.at("Bleed"))


def _put_grain(media: Node, part: Draft, paging: Paging) -> None:
    """Put which side of the flat piece the grain follows; directions are those of its width."""
    direction = media.word("GrainDirection", GRAINS)
    if direction is None:
        return
    where = media.at("GrainDirection")
    if direction == "Any":
        part.put("grain", "any", where)
        return
    size = part.members.get("flat_size") or part.members.get("size")
    if direction == "SameDirection" or not size:
        media.warn("GrainDirection", "ignored", "Which way it runs cannot be told from this.")
        return
    finished = part.members.get("size") or size
    flat = part.members.get("flat_size")
    long_is_width = grain_along(
        paging.kind,
        (finished["width"], finished["height"]),
        flat and (flat["width"], flat["height"]),
        paging.pages,
    )
    along = direction == "XDirection"
    part.put("grain", "long" if along == long_is_width else "short", where)


def grain_along(kind: str, size: Size, flat: Size | None, pages: int) -> bool:
    """Whether the long side of a piece before folding is its width. Sizes in mm."""
    width, height = flat or size
    panels = max(1, pages // 2) if kind in _FLAT_KINDS and flat is None else 1
    return width * panels >= height
