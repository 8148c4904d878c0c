"""Adapters for the arithmetic of books: block, spine, creep, mass of a copy."""

from reference import given
from reference.given import Inputs, has, mm
from reference.register import Figures, answers
from sidelay import bookwork, paper


@answers("binding.spine", "binding.block")
def spine(inputs: Inputs) -> Figures:
    pages, cover_um = _pages(inputs), _cover_um(inputs)
    leaves = inputs.get("cover_leaves", 2)
    allowance = mm(inputs, *ALLOWANCES) if has(inputs, *ALLOWANCES) else 0.0
    block = bookwork.block_mm(pages, _caliper_um(inputs))
    total = bookwork.spine_mm(
        block, cover_caliper_um=cover_um, cover_leaves=leaves, allowance_mm=allowance
    )
    # Where a source allows for the score, its block has the allowance in it already (SW04).
    without_cover = bookwork.spine_mm(block, allowance_mm=allowance)
    return {
        "leaves": bookwork.leaves_of(pages),
        "block_mm": without_cover,
        "block_in": without_cover / paper.MM_PER_INCH,
        "spine_mm": total,
        "spine_in": total / paper.MM_PER_INCH,
        "nearest_32nd_in": bookwork.spine_32nds_in(total),
    }


@answers("binding.creep")
def creep(inputs: Inputs) -> Figures:
    sheets = inputs.get("sheets") or bookwork.folded_sheets_of(_pages(inputs))
    cover_um = _cover_um(inputs)
    pushed = bookwork.creep_mm(
        _caliper_um(inputs), sheets, around_um=cover_um, factor=inputs.get("factor", 1.0)
    )
    return {"creep_mm": pushed, "creep_in": pushed / paper.MM_PER_INCH, "sheets": sheets}


@answers("paper.product_weight")
def product_weight(inputs: Inputs) -> Figures:
    mass = bookwork.copy_mass_kg(
        inputs["pages"],
        *mm(inputs, "page"),
        given.gsm(inputs),
        cover_gsm=inputs.get("cover_gsm"),
        cover_pages=inputs.get("cover_pages", 4),
    )
    return {"weight_g": mass * 1000, "weight_kg": mass}


ALLOWANCES = ("score_allow", "allowance", "allow", "glue")


def _pages(inputs: Inputs) -> int:
    return int(inputs["pages"]) if "pages" in inputs else 2 * int(inputs["leaves"])


def _caliper_um(inputs: Inputs) -> float:
    for key in ("ppi", "pages_per_inch"):
        if key in inputs:
            return paper.pages_per_inch(float(inputs[key]))  # the rule is its own inverse
    bulk = {"volume": inputs["bulk"]} if "bulk" in inputs else {}
    return given.caliper_um({**inputs, **bulk})


def _cover_um(inputs: Inputs) -> float:
    if has(inputs, "cover_caliper", "cover_thickness"):
        return float(mm(inputs, "cover_caliper", "cover_thickness") * 1000)
    if "cover_gsm" in inputs:
        return paper.caliper_um(inputs["cover_gsm"], inputs.get("cover_volume", 1.0))
    return 0.0
