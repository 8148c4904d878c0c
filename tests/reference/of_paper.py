"""Adapters for grammage, caliper, mass and reams of paper."""

from reference import given
from reference.given import Inputs, inches, kg, mm
from reference.register import Figures, answers
from sidelay import paper, paper_reams


@answers("paper.basis_to_gsm")
def basis_to_gsm(inputs: Inputs) -> Figures:
    # A source's own `constant` (1406.5) is left aside: the exact one must agree within tolerance.
    weight = inputs.get("basis_lb")
    if "factor" in inputs:
        factor = inputs["factor"]  # g/m2 per lb; below 1 it is lb per g/m2
        return {"gsm": paper.grammage_by_factor(weight, factor if factor > 1 else 1 / factor)}
    if "lb_per_msf" in inputs:
        return {"gsm": paper.board_grammage_gsm(inputs["lb_per_msf"])}
    return {"gsm": paper.grammage_from_basis_weight(weight, given.basis(inputs))}


@answers("paper.gsm_to_basis")
def gsm_to_basis(inputs: Inputs) -> Figures:
    grammage = given.gsm(inputs)
    if "factor" in inputs:
        factor = inputs["factor"]
        factor = factor if factor < 1 else 1 / factor
        return {"basis_lb": paper.basis_weight_by_factor(grammage, factor)}
    return {"basis_lb": paper.basis_weight_from_grammage(grammage, given.basis(inputs))}


@answers("paper.thickness")
def thickness(inputs: Inputs) -> Figures:
    sheets, grammage = inputs.get("sheets", 1), given.gsm(inputs)
    figures = {}
    for key, bulk in inputs.items():
        if key.startswith("volume"):
            name = key.removeprefix("volume").strip("_")
            caliper = paper.caliper_um(grammage, bulk)
            figures[f"{name}_mm".strip("_")] = paper.stack_thickness_mm(sheets, caliper)
    return figures


@answers("paper.stack_count_and_weight")
def stack_count_and_weight(inputs: Inputs) -> Figures:
    width, height = mm(inputs, "sheet")
    grammage = given.gsm(inputs)
    caliper = paper.caliper_um(grammage, inputs["volume"])
    sheets = paper.sheets_in_stack(mm(inputs, "stack"), caliper)
    per_1000 = paper.mass_per_1000_kg(width, height, grammage)
    return {
        "sheet_mm": paper.stack_thickness_mm(1, caliper),
        "sheets": sheets,
        "weight_kg": paper.order_weight(per_1000, sheets),
    }


@answers("paper.m_weight")
def m_weight(inputs: Inputs) -> Figures:
    return _m_weight(inputs, "exact")


@answers("paper.m_weight_rounding", "paper.m_weight_trade")
def m_weight_as_listed(inputs: Inputs) -> Figures:
    return _m_weight(inputs, "by_area")


def _m_weight(inputs: Inputs, rounding: paper_reams.ReamRounding) -> Figures:
    known = (*inches(inputs, "sheet"), inputs["basis_lb"], given.basis(inputs))
    return {
        "ream_lb": paper_reams.ream_weight_lb(*known, rounding=rounding),
        "m_weight_lb": paper_reams.m_weight_lb(*known, rounding=rounding),
    }


@answers("paper.board_m_weight")
def board_m_weight(inputs: Inputs) -> Figures:
    size = inches(inputs, "sheet")
    return {"m_weight_lb": paper_reams.board_m_weight_lb(*size, inputs["factor_lb_per_msf"])}


@answers("paper.ream_weight_total")
def ream_weight_total(inputs: Inputs) -> Figures:
    return {"weight_lb": paper.order_weight(inputs["m_weight_lb"], inputs["sheets"])}


@answers("paper.basis_from_ream")
def basis_from_ream(inputs: Inputs) -> Figures:
    basic, sheet = paper.basic_area_in2(given.basis(inputs)), given.area_in2(inputs, "sheet")
    return {"basis_lb": paper_reams.equivalent_ream_weight(inputs["ream_lb"], sheet, basic)}


@answers("paper.equivalent_ream_weight")
def equivalent_ream_weight(inputs: Inputs) -> Figures:
    known, sheet = given.area_in2(inputs, "known_sheet"), given.area_in2(inputs, "sheet")
    weight = paper_reams.equivalent_ream_weight(
        inputs["known_lb"],
        known,
        sheet,
        known_sheets=inputs.get("known_sheets", 500),
        sheets=inputs.get("sheets", 500),
    )
    return {"ream_lb": weight}


@answers("paper.ream_factor")
def ream_factor(inputs: Inputs) -> Figures:
    counts = {"known_sheets": inputs["from_sheets"], "sheets": inputs["to_sheets"]}
    return {"factor": paper_reams.equivalent_ream_weight(1, 1, 1, **counts)}


@answers("paper.renryo_equivalents")
def renryo_equivalents(inputs: Inputs) -> Figures:
    key = next(key for key in inputs if key.startswith("kg_"))  # kg_788x1091
    width, height = (float(side) for side in key.removeprefix("kg_").split("x"))
    grammage = paper.grammage_from_sheets(inputs[key], 1000, width, height)
    return {
        f"kg_{w:g}x{h:g}": paper.mass_per_1000_kg(w, h, grammage) for w, h in inputs["targets_mm"]
    }


@answers("paper.sheets_from_weight", "paper.sheets_from_reel")
def sheets_from_mass(inputs: Inputs) -> Figures:
    mass = kg(inputs, "reel", "weight", "mass")
    return {"sheets": paper.sheets_from_mass(mass, *mm(inputs, "sheet"), given.gsm(inputs))}


@answers("paper.cost_by_weight")
def cost_by_weight(inputs: Inputs) -> Figures:
    per_1000 = inputs["renryo_kg_per_1000"]
    return {"cost": paper.cost_by_weight(per_1000, inputs["sheets"], inputs["price_per_kg"])}


@answers("paper.cost_by_ream")
def cost_by_ream(inputs: Inputs) -> Figures:
    ream = inputs["ream_sheets"]
    counted = inputs["reams"], inputs.get("quires", 0), inputs.get("sheets", 0)
    sheets = paper_reams.sheets_counted(*counted, ream_sheets=ream)
    pounds_sterling = inputs["price_s"] / 20
    return {
        "reams_decimal": paper_reams.reams(sheets, ream_sheets=ream),
        "cost_pounds": paper_reams.cost_by_ream(sheets, pounds_sterling, ream_sheets=ream),
    }
