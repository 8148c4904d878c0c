"""Why a press cannot take a part, before or after laying it out, and what would let it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..feeds import Feed, FeedKind, PieceFeed, ReelFeed, SheetFeed, WebFeed
from ..job import Kind, Part
from ..stock import Reel, Stock
from ..work import ANOTHER_STOCK, Finding
from . import most_up
from .sheets import rooms_on_sheets
from .works import lies_on

WANTED: dict[Kind, str] = {
    "leaf": "sheets",
    "section": "folded sections",
    "cover": "covers in sheets",
    "insert": "inserts in sheets",
    "envelope": "ready-made envelopes",
    "carton": "carton blanks in sheets",
    "label": "labels on reels",
    "web": "printed web on reels",
    "piece": "single pieces",
}
BOUGHT: dict[FeedKind, str] = {
    "sheet": "sheets",
    "web": "reels",
    "reel": "reels",
    "piece": "single pieces",
}


def unfit_findings(part: Part, feed: Feed) -> list[Finding]:
    """Return why a press is of the wrong kind altogether: what it delivers, what it is fed."""
    if part.kind not in feed.makes:
        delivers = ", ".join(WANTED[kind] for kind in feed.makes)
        return [
            Finding(
                "limit",
                "kind_not_made",
                f"the press delivers {delivers}, and the part is wanted as {WANTED[part.kind]}",
                part.kind,
                ", ".join(feed.makes),
                "",
                "use another press",
            )
        ]
    if not _supplies(part.stock, feed.kind):
        return [
            Finding(
                "limit",
                "stock_form",
                f"the press is fed with {BOUGHT[feed.kind]}; {part.stock.name} is not bought so",
                ", ".join(_forms(part.stock)),
                BOUGHT[feed.kind],
                "",
                f"choose a stock that is bought in {BOUGHT[feed.kind]}",
                ANOTHER_STOCK,
            )
        ]
    return []


def _supplies(stock: Stock, kind: FeedKind) -> bool:
    return BOUGHT[kind] in _forms(stock)


def _forms(stock: Stock) -> list[str]:
    forms = {"sheets": stock.sheets, "reels": stock.reels, "single pieces": stock.blanks}
    return [name for name, supplies in forms.items() if supplies]


def no_layout(part: Part, feed: Feed) -> Finding:
    """Say why a part has no layout on a feed that is of the right kind, and what would give one."""
    if len(part.sides) == 2 and not _both_sides(feed):
        return Finding(
            "limit",
            "one_side_only",
            "the press prints one side only",
            2,
            1,
            "sides",
            "leave the back blank, or use a press that prints both sides",
        )
    if part.grain != "any" and lies_on(replace(part, grain="any"), feed):
        return Finding(
            "limit",
            "grain_unmet",
            "with the grain as asked nothing that this press takes holds the piece",
            part.grain,
            None,
            "",
            "let the grain run either way",
            {"grain": "any"},
        )
    match feed:
        case SheetFeed():
            return _no_sheet(part, feed)
        case WebFeed():
            return _no_web(part, feed)
        case ReelFeed():
            return _no_repeat(part, feed)
        case PieceFeed():
            return _no_blank(part, feed)


def _both_sides(feed: Feed) -> bool:
    if isinstance(feed, SheetFeed):
        return bool(set(feed.work_styles) - {"one_side"})
    return feed.both_sides


def _with_bleed(part: Part) -> tuple[float, float]:
    bleed = 2 * part.bleed_mm
    return part.flat_width_mm + bleed, part.flat_height_mm + bleed


def _no_sheet(part: Part, feed: SheetFeed) -> Finding:
    printable = feed.printable_mm(feed.max_width_mm, feed.max_length_mm, two_grippers=False)
    # What the sheets of this stock hold on the press; the press itself where it takes none of them.
    rooms = rooms_on_sheets(part, feed)
    limit = "{:g} x {:g}".format(*max(rooms or [printable], key=lambda room: room[0] * room[1]))
    width, height = _with_bleed(part)
    if most_up(*printable, width, height).up:
        within = f", or keep the piece with its bleed within {limit} mm" if rooms else ""
        return Finding(
            "limit",
            "no_sheet",
            f"no sheet of {part.stock.name} that this press takes holds the piece",
            ", ".join(sheet.name for sheet in part.stock.sheets),
            limit,
            "mm",
            f"choose a stock sold in a sheet that fits this press{within}",
            ANOTHER_STOCK,
        )
    return _size_above(f"{width:g} x {height:g}", limit)


def _size_above(asked: str, limit: str) -> Finding:
    return Finding(
        "limit",
        "size_above",
        "the piece, bleed included, is larger than this press prints",
        asked,
        limit,
        "mm",
        f"keep the flat piece with its bleed within {limit} mm",
    )


def _no_web(part: Part, feed: WebFeed) -> Finding:
    reels = [reel for reel in part.stock.reels if feed.takes(reel)]
    if not reels:
        return _no_reel(part, feed)
    if part.kind == "section":
        more = (part.pages + filled for filled in (4, 8, 12))
        for pages in (*more, *range(part.pages - 4, 3, -4)):  # a section has a multiple of four
            if lies_on(replace(part, pages=pages), feed):
                return Finding(
                    "limit",
                    "pages_unfit",
                    "so many pages of this size make no whole cut-offs on the webs of the press",
                    part.pages,
                    pages,
                    "pages",
                    f"make it a section of {pages} pages",
                )
    return _no_room(part, reels, feed, feed.max_cutoff_mm - feed.gap_mm)


def _no_repeat(part: Part, feed: ReelFeed) -> Finding:
    reels = [reel for reel in part.stock.reels if feed.takes(reel)]
    if not reels:
        return _no_reel(part, feed)
    return _no_room(part, reels, feed, max(feed.repeats_mm, default=feed.max_repeat_mm))


def _no_room(
    part: Part, reels: list[Reel], feed: WebFeed | ReelFeed, longest_mm: float
) -> Finding:
    bleed = 0.0 if part.kind == "web" else 2 * part.bleed_mm  # panels of a web share their edges
    width = part.flat_width_mm + bleed
    height = part.flat_height_mm + bleed
    # Along the web the space behind the last piece has to fit too.
    longest_mm -= part.gutter_mm if part.kind != "section" else 0.0
    room = max(reel.width_mm for reel in reels) - 2 * feed.side_mm
    widest = feed.max_width_mm - 2 * feed.side_mm
    wider = room < widest and any(
        across <= widest and along <= longest_mm
        for across, along in ((width, height), (height, width))
    )
    found = _size_above(f"{width:g} x {height:g}", f"{room:g} x {longest_mm:g}")
    return replace(found, change=ANOTHER_STOCK) if wider else found


def _no_reel(part: Part, feed: WebFeed | ReelFeed) -> Finding:
    return Finding(
        "limit",
        "no_reel",
        f"no reel of {part.stock.name} has a width and a length that this press takes",
        ", ".join(reel.name for reel in part.stock.reels),
        f"{feed.min_width_mm:g} to {feed.max_width_mm:g} mm wide, "
        f"{feed.min_reel_m:,.0f} to {feed.max_reel_m:,.0f} m long",
        "",
        "choose a stock sold in a reel that fits this press",
        ANOTHER_STOCK,
    )


def _no_blank(part: Part, feed: PieceFeed) -> Finding:
    asked = f"{part.flat_width_mm:g} x {part.flat_height_mm:g}"
    room = [
        (min(blank.width_mm, feed.max_width_mm), min(blank.height_mm, feed.max_length_mm))
        for blank in part.stock.blanks
    ]
    widest = max(room)
    return _size_above(asked, f"{widest[0]:g} x {widest[1]:g}")


NO_WAY_TO_RUN = Finding(
    "limit",
    "no_way_to_run",
    "the press can run none of the layouts",
    remedy="choose another press, or fewer inks a side",
)


def pages_left(part: Part, sizes: Sequence[int]) -> Finding:
    """Say that sections of these sizes leave pages over."""
    least = min(sizes)
    fitting = -(-part.pages // least) * least
    return Finding(
        "limit",
        "pages_left_over",
        "the sections that this press can make leave pages over",
        part.pages,
        ", ".join(str(size) for size in sorted(sizes)),
        "pages",
        f"make it {fitting} pages, or print it on another press",
    )


def unfit_carriers(part: Part) -> Finding:
    """Say that carriers kept from the last run cannot be used again."""
    return Finding(
        "caution",
        "kept_carriers_unfit",
        "the carriers kept from the last run fit none of the layouts: new ones are priced",
        ", ".join(part.kept_carriers),
        None,
        "",
        "name the carriers_id that the last answer gave, for the same size and inks",
    )


def sections_folded(part: Part, binder: str) -> Finding:
    """Say that a press delivers folded sections, and the binder takes flat sheets only."""
    return Finding(
        "limit",
        "sections_folded",
        f"the press delivers folded sections, and {binder} takes flat sheets only",
        part.pages,
        None,
        "",
        "have it bound by a machine that takes sections, or use a press that delivers sheets",
    )
