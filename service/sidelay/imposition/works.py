"""Every way to lay a part on what a press takes: sheets, a cut-off web, a reel, single pieces."""

from __future__ import annotations

from typing import Literal

from ..feeds import Feed, PieceFeed, ReelFeed, SheetFeed, WebFeed, WorkStyle
from ..job import Ink, Part, Previous
from ..work import Form, Layout, Work
from .pieces import piece_layouts
from .reels import reel_layouts
from .sheets import holds_a_piece, sheet_layouts
from .webs import web_layouts


def works(
    part: Part,
    feed: Feed,
    layouts: tuple[Layout, ...] | None = None,
    previous: Previous | None = None,
) -> tuple[Work, ...]:
    """Return the works to cost for a part on a feed; none when nothing it takes can hold it.

    layouts: those of the press model where it brings its own, else the core's
    previous: what the press printed last, where that is known
    """
    found = layouts_for(part, feed) if layouts is None else layouts
    return tuple(
        Work(part, layout, forms(part, layout.style, layout.webs), previous) for layout in found
    )


def layouts_for(part: Part, feed: Feed) -> tuple[Layout, ...]:
    """Return the core's layouts of a part on a feed, in a fixed order."""
    if part.kind not in feed.makes:
        return ()
    match feed:
        case SheetFeed():
            return sheet_layouts(part, feed)
        case WebFeed():
            return web_layouts(part, feed)
        case ReelFeed():
            return reel_layouts(part, feed)
        case PieceFeed():
            return piece_layouts(part, feed)


def lies_on(part: Part, feed: Feed) -> bool:
    """Whether the core has any layout of a part on a feed; told sooner than which."""
    if isinstance(feed, SheetFeed) and part.kind in feed.makes:
        return holds_a_piece(part, feed)
    return bool(layouts_for(part, feed))


def forms(part: Part, style: WorkStyle, webs: int = 1) -> tuple[Form, ...]:
    """Return the forms that a work style needs: what is on each set of image carriers.

    On a web, one for each printed side of each web that runs into the copy.
    """
    if style in ("work_and_turn", "work_and_tumble"):
        return (Form("both", part.inks),)
    pairs: tuple[tuple[Literal["front", "back"], tuple[Ink, ...]], ...] = (
        ("front", part.front.inks),
        ("back", part.back.inks),
    )
    return tuple(Form(prints, inks) for prints, inks in pairs if inks) * webs
