"""The finishing of a part: its steps in the order of production, and what stands against them.

A step is one operation on one unit (a parent sheet, a press sheet, a piece). Waste chains
backwards: what goes in is what must come out, plus a running share of it, plus a fixed set-up.
"""

from __future__ import annotations

from math import ceil

from .feeds import Feed, ReelFeed, WebFeed
from .fold_limits import fold_findings, folded_by_hand
from .job import Part
from .machines import (
    Bindery,
    Deboss,
    Folder,
    Guillotine,
    Slitter,
    Step,
    TableCutter,
    crosses,
)
from .part_operations import (
    frees_pieces,
    operation_findings,
    operation_steps,
    sheet_findings,
)
from .plant import Plant
from .work import ANOTHER_STOCK, Finding, Layout


def findings(part: Part, feed: Feed, impresses: bool, plant: Plant) -> list[Finding]:
    """Return what stands against finishing a part that comes off such a press.

    impresses: whether the process presses the image into the stock itself
    """
    bindery = plant.bindery
    found = operation_findings(part, plant, in_sheets=_in_sheets(part, feed))
    if part.folds and not folded_in_line(part, feed):
        found += fold_findings(part, plant)
    if part.kind in ("label", "web") and isinstance(feed, ReelFeed) and bindery.slitter is None:
        found.append(
            Finding(
                "limit",
                "no_slitter",
                "there is no slitter to make finished reels",
                part.kind,
                None,
                "",
                "ask for sheets, or have the plant file name a slitter",
            )
        )
    if part.impression == "deep" and not impresses:
        found.append(_impression(part, bindery.deboss))
    return found


def folded_in_line(part: Part, feed: Feed) -> bool:
    """Whether the press delivers the part folded."""
    return part.kind == "section" and isinstance(feed, WebFeed) and feed.folds


def _in_sheets(part: Part, feed: Feed) -> bool:
    """Whether the press delivers flat sheets of the part."""
    return part.kind not in ("label", "web", "piece") and not folded_in_line(part, feed)


def _impression(part: Part, deboss: Deboss | None) -> Finding:
    holds = deboss is not None and (
        part.kind == "leaf"
        and part.stock.grade in deboss.grades
        and part.stock.caliper_um >= deboss.min_caliper_um
    )
    if not holds:
        return Finding(
            "limit",
            "flat_print",
            "the process does not press the image into the stock, and this stock is not debossed",
            "deep",
            "flat",
            "",
            'ask for impression "flat", or print it by letterpress on thick soft stock',
            {"impression": "flat"},
        )
    return Finding(
        "caution",
        "debossed_after",
        "the process prints flat: the impression is debossed afterwards, and its fit to the print "
        "may wander",
        "deep",
        "flat",
        "",
        "print it by letterpress for an impression that fits the print exactly",
    )


def steps(
    part: Part,
    layout: Layout,
    feed: Feed,
    impresses: bool,
    plant: Plant,
    inner_cuts: int = 0,
) -> tuple[Step, ...]:
    """Return the steps of a part on a layout, in the order of production.

    inner_cuts: cuts that part a piece further, into the sheets of a section
    """
    found, bindery = [], plant.bindery
    if layout.delivery == "sheet":
        if layout.out > 1:
            found.append(_cut_parents(part, layout, bindery.guillotine))
        found += operation_steps(part, "sheet", layout, plant)
        if _needs_cutting(part, layout) and not frees_pieces(part, layout, plant):
            found.append(_cut_pieces(part, layout, feed, bindery, inner_cuts))
        found += operation_steps(part, "flat", layout, plant)
    if layout.delivery == "reel" and bindery.slitter is not None:
        dies = part.kind == "label" and not (isinstance(feed, ReelFeed) and feed.dies_in_line)
        found += _slit(part, layout, bindery.slitter, dies)
    if part.impression == "deep" and not impresses and bindery.deboss is not None:
        found.append(_deboss(part, bindery.deboss))
    if layout.delivery == "sheet" and part.folds and not folded_by_hand(part, plant):
        found.append(_fold(part, bindery.folder))
    if layout.delivery == "sheet":
        found += operation_steps(part, "piece", layout, plant)
    return tuple(found)


def unfinishable(part: Part, layout: Layout, feed: Feed, plant: Plant) -> list[Finding]:
    """Return why sheets laid out so cannot be finished: nobody cuts them, no machine takes them."""
    if layout.delivery != "sheet":
        return []
    found = sheet_findings(part, layout, plant)
    if not _can_cut(part, layout, feed, plant):
        found.append(_UNCUT)
    return found


_UNCUT = Finding(
    "limit",
    "no_cutter",
    "no cutter of the plant takes the sheets",
    remedy="choose a thinner stock, or a sheet that is not cut",
    change=ANOTHER_STOCK,
)


def _can_cut(part: Part, layout: Layout, feed: Feed, plant: Plant) -> bool:
    """Whether a cutter of the plant takes what has to be cut: parents, and sheets to pieces."""
    caliper, parent, bindery = part.stock.caliper_um, layout.sheet, plant.bindery
    if layout.out > 1 and parent is not None:
        return bindery.guillotine.takes(parent.width_mm, parent.height_mm, caliper)
    if not _needs_cutting(part, layout) or frees_pieces(part, layout, plant):
        return True
    if not _to_the_table(part, layout, feed, bindery):
        return True
    return bindery.table_cutter is not None


def _to_the_table(part: Part, layout: Layout, feed: Feed, bindery: Bindery) -> bool:
    """Whether sheets are cut on the table: rows off a roll, and what is too large or too thick."""
    knife = bindery.guillotine
    taken = knife.takes(layout.width_mm, layout.length_mm, part.stock.caliper_um)
    return isinstance(feed, ReelFeed) or not taken


def _needs_cutting(part: Part, layout: Layout) -> bool:
    sheet = sorted((layout.width_mm, layout.length_mm))
    piece = sorted((part.flat_width_mm, part.flat_height_mm))
    return layout.up > 1 or sheet != piece


def _cut_parents(part: Part, layout: Layout, cutter: Guillotine) -> Step:
    cuts = layout.parts_across + layout.parts_along - 2
    lift = cutter.sheets_per_lift(part.stock.caliper_um)
    because = f"{layout.out} press sheets out of each parent in {cuts} cuts, {lift} parents a lift"
    return Step(
        "cut_parents",
        "parent",
        cutter.cost_centre,
        cutter.set_up_min,
        cutter.minutes_per_lift(cuts),
        lift,
        0,
        0.0,
        because,
        cutter.source,
    )


def _cut_pieces(
    part: Part, layout: Layout, feed: Feed, bindery: Bindery, inner_cuts: int
) -> Step:
    table = bindery.table_cutter
    if table is not None and _to_the_table(part, layout, feed, bindery):
        return _cut_on_table(part, layout, table)
    cutter = bindery.guillotine
    cuts = layout.cuts(gutter_between=part.bleed_mm > 0 or part.gutter_mm > 0) + inner_cuts
    lift = cutter.sheets_per_lift(part.stock.caliper_um)
    because = f"{layout.up} up in {cuts} cuts, {lift} sheets a lift"
    return Step(
        "cut",
        "sheet",
        cutter.cost_centre,
        cutter.set_up_min,
        cutter.minutes_per_lift(cuts),
        lift,
        cutter.set_up_waste_sheets,
        cutter.running_waste,
        because,
        cutter.source,
    )


def _cut_on_table(part: Part, layout: Layout, table: TableCutter) -> Step:
    """Every piece is cut round: nothing is spoiled, since each sheet is laid by its marks."""
    metres = layout.up * 2 * (part.flat_width_mm + part.flat_height_mm) / 1000
    return Step(
        "cut_on_table",
        "sheet",
        table.cost_centre,
        table.set_up_min,
        table.min_per_sheet + metres / table.m_per_min,
        1,
        0,
        0.0,
        f"{metres:.2f} m of cut a sheet at {table.m_per_min:g} m/min, "
        f"{table.min_per_sheet:g} min to lay it",
        table.source,
    )


def _fold(part: Part, folder: Folder) -> Step:
    rate = folder.pieces_per_hour(part)
    kind = "crossing" if crosses(part) else "parallel"
    because = f"{part.folds} {kind} fold(s) at {rate:,.0f} pieces an hour"
    return Step(
        "fold",
        "piece",
        folder.cost_centre,
        folder.set_up_min + part.folds * folder.set_up_min_per_fold,
        60 / rate,
        1,
        part.folds * folder.set_up_waste_pieces_per_fold,
        folder.running_waste,
        because,
        folder.source,
    )


def _slit(part: Part, layout: Layout, slitter: Slitter, dies: bool) -> list[Step]:
    """Slit the web to lanes, cutting labels where the press did not; wind finished reels."""
    m_per_min = slitter.die_m_per_min if dies else slitter.m_per_min
    name = "die_cut_and_slit" if dies else "slit"
    lanes = f"{layout.across} lane(s) slit at {m_per_min:g} m/min"
    found = [
        Step(
            name,
            "sheet",
            slitter.cost_centre,
            slitter.set_up_min + (slitter.die_set_up_min if dies else 0.0),
            layout.length_m / m_per_min,
            1,
            ceil(slitter.set_up_waste_m / layout.length_m),
            slitter.running_waste,
            f"{lanes}, dies cut off the press" if dies else lanes,
            slitter.source,
            tool_price=slitter.die_price if dies else 0.0,
        )
    ]
    if part.pieces_per_reel:
        found.append(
            Step(
                "wind_reels",
                "piece",
                slitter.cost_centre,
                0.0,
                slitter.min_per_reel,
                part.pieces_per_reel,
                0,
                0.0,
                f"{part.pieces_per_reel:,} on each finished reel, {slitter.min_per_reel:g} min and "
                "a core for each",
                slitter.source,
                price=slitter.core_price,
                material="cores",
            )
        )
    return found


def _deboss(part: Part, deboss: Deboss) -> Step:
    sides = len(part.sides)
    area_cm2 = part.flat_width_mm * part.flat_height_mm / 100 * deboss.die_share
    die = max(deboss.least_die_price, deboss.die_price_per_cm2 * area_cm2)
    return Step(
        "deboss",
        "piece",
        "",
        0.0,
        0.0,
        1,
        0,
        deboss.running_waste,
        f"bought out, {sides} side(s): a die of {area_cm2:.0f} cm2 at {die:.2f}, set-up "
        f"{deboss.price_set_up:.2f}, {deboss.price_per_1000:.2f} for 1,000",
        deboss.source,
        tool_price=die * sides,
        set_up_price=deboss.price_set_up * sides,
        price=deboss.price_per_1000 / 1000 * sides,
        kind="outwork",
    )
