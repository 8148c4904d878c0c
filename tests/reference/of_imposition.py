"""Adapters for what comes out of a sheet."""

from typing import Any

from reference.agreement import AtMost, Reaches
from reference.given import Inputs, mm
from reference.register import Figures, answers
from sidelay import ink, paper, paper_sizes, spoilage
from sidelay.imposition import grid_up, most_up
from sidelay.imposition.sections import bound_pages, count_forms, split_pages, web_page


@answers("identical rectangles in a rectangle (n-up)")
def identical_rectangles(inputs: Inputs) -> Figures:
    sheet, (length, width) = (inputs["L"], inputs["W"]), (inputs["l"], inputs["w"])
    rotation = inputs.get("rotation", True)
    up = most_up(*sheet, length, width, rotate=rotation).up
    grids = [grid_up(*sheet, length, width)] + [grid_up(*sheet, width, length)] * rotation
    return {
        "guillotine_optimum": up,
        "best_one_orientation": max(grids),
        "area_bound": int(paper_sizes.area_ratio(*sheet, length, width)),
        "tight_bound": AtMost(up),
        "optimum": AtMost(up),
        "optimum_between": AtMost(up),
        "guillotine_reaches_optimum": Reaches(up, "optimum"),
    }


@answers(
    "imposition.n_up",
    "imposition.n_up_remainder_strip",
    "imposition.n_up_grain_fixed",
    "imposition.n_up_mixed",
    "imposition.cut_out",
)
def n_up(inputs: Inputs) -> Figures:
    sheet, (width, height) = mm(inputs, "sheet", "parent"), mm(inputs, "piece", "page")
    up = most_up(*sheet, width, height, rotate=inputs.get("grain") != "fixed").up
    figures: dict[str, Any] = {
        "up": up,
        "out": up,
        "as_given": grid_up(*sheet, width, height),
        "turned": grid_up(*sheet, height, width),
        "as_given_plus_strip": _one_strip_up(*sheet, width, height),
        "turned_plus_strip": _one_strip_up(*sheet, height, width),
        "waste_pct": 100 * paper_sizes.offcut_share(*sheet, width, height, up),
    }
    if "copies" in inputs:
        figures["sheets"] = spoilage.sheets_for_copies(inputs["copies"], up)
    return figures


def _one_strip_up(
    sheet_width: float, sheet_height: float, piece_width: float, piece_height: float
) -> int:
    """Handbook method: one straight grid, then turned pieces in the better remaining strip."""
    columns = grid_up(sheet_width, piece_height, piece_width, piece_height)
    rows = grid_up(piece_width, sheet_height, piece_width, piece_height)
    beside = sheet_width - columns * piece_width, sheet_height
    below = sheet_width, sheet_height - rows * piece_height
    return columns * rows + max(
        grid_up(*strip, piece_height, piece_width) for strip in (beside, below)
    )


@answers("imposition.pages_per_sheet")
def pages_per_sheet(inputs: Inputs) -> Figures:
    up = most_up(*mm(inputs, "sheet"), *mm(inputs, "page")).up
    return {"pages_one_side": up, "pages_both_sides": 2 * up}


@answers("imposition.waste_area")
def waste_area(inputs: Inputs) -> Figures:
    piece = mm(inputs, "piece")
    names = next(sizes for key, sizes in inputs.items() if key.startswith("sheets_"))
    figures: dict[str, Any] = {}
    for (w, h), sheet in zip(names, mm(inputs, "sheets"), strict=True):
        up = most_up(*sheet, *piece).up
        offcut = paper_sizes.offcut_share(*sheet, *piece, up)
        figures[f"up_{w:g}x{h:g}"] = up
        figures[f"waste_m2_{w:g}x{h:g}"] = offcut * ink.printed_area(*sheet) / 1e6
    return figures


@answers("imposition.kaiben")
def kaiben(inputs: Inputs) -> Figures:
    ratio = paper_sizes.area_ratio(*mm(inputs, "sheet"), *mm(inputs, "page"))
    return {"area_ratio": ratio, "format": int(ratio)}


@answers("imposition.sheets_for_book")
def sheets_for_book(inputs: Inputs) -> Figures:
    copies, per_sheet = inputs["copies"], inputs["pages_per_sheet"]
    return {
        "sheets": spoilage.edition_sheets(copies, inputs["pages"], per_sheet),
        "cover_sheets": spoilage.edition_sheets(copies, inputs.get("cover_pages", 4), per_sheet),
    }


@answers("imposition.press_comparison")
def press_comparison(inputs: Inputs) -> Figures:
    flat, sides = mm(inputs, "flat"), sum(side != "0" for side in inputs["colours"].split("/"))
    figures: dict[str, Any] = {}
    for press, sheet in inputs["presses_in"].items():
        up = most_up(*(side * paper.MM_PER_INCH for side in sheet), *flat).up
        sheets = spoilage.sheets_for_copies(inputs["copies"], up)
        figures[f"imps_press{press}"] = sheets * sides
        figures[f"cutoffs_{press}"] = sheets  # a web press perfects: one cut-off, both sides
    return figures


@answers("imposition.signature_split")
def signature_split(inputs: Inputs) -> Figures:
    sections = split_pages(inputs["pages"], inputs.get("allowed", (16, 8, 4)))
    return {f"sig{pages}": count for pages, count in sections.items()}


@answers("imposition.plates", "imposition.press_runs")
def plates(inputs: Inputs) -> Figures:
    style = inputs.get("method", "sheetwise").replace("-", "_")
    per_section, colours = inputs["pages_per_signature"], inputs.get("colours_each_side", 1)
    count = count_forms(inputs["pages"], per_section, colours, style)
    return {
        "signatures": count.sections,
        "plates": count.carriers,
        "makereadies": count.forms,
        "press_runs": count.passes,
        "pages_per_run": per_section // 2,  # the pages that lie on one side
    }


@answers("imposition.saddle_pages")
def saddle_pages(inputs: Inputs) -> Figures:
    pages = bound_pages(inputs["content_pages"])
    return {"pages": pages, "folded_sheets": split_pages(pages, (4,))[4]}


@answers("imposition.web_pages")
def web_pages(inputs: Inputs) -> Figures:
    return {"broadsheet_page_in": list(web_page(inputs["web_width_in"], inputs["cutoff_in"]))}
