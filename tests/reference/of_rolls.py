"""Adapters for reels: length, mass and what a running web uses."""

from reference import given
from reference.given import Inputs, inches, kg, lb, mm
from reference.register import Figures, answers
from sidelay import paper, paper_rolls


@answers("paper.roll_length")
def roll_length(inputs: Inputs) -> Figures:
    if given.has(inputs, "outer", "roll_diameter"):
        outer, core = mm(inputs, "outer", "roll_diameter"), mm(inputs, "core", "core_diameter")
        metres = paper_rolls.roll_length_from_diameter_m(outer, core, given.caliper_um(inputs))
    elif "basis_lb" in inputs:
        weight, width = lb(inputs, "roll_weight", "roll"), inches(inputs, "roll_width", "width")
        # The source's rounded 500/12 is part of its printed answer, so it is passed on.
        feet = paper_rolls.roll_length_ft(
            weight,
            width,
            inputs["basis_lb"],
            given.basis(inputs),
            constant=inputs.get("factor", 500 / 12),
        )
        metres = feet * given.MM_PER["ft"] / 1000
    else:
        mass, width = kg(inputs, "roll_weight", "roll", "reel"), mm(inputs, "roll_width", "width")
        metres = paper_rolls.roll_length_m(mass, width, given.gsm(inputs))
    feet = metres * 1000 / given.MM_PER["ft"]
    return {"linear_ft": feet, "length_ft": feet, "linear_m": metres, "length_m": metres}


@answers("paper.roll_weight")
def roll_weight(inputs: Inputs) -> Figures:
    # Where a source's formula has no core term its case says `core_in`, for the record only.
    core = inputs.get("core_diameter_in", 0.0)
    sizes = inches(inputs, "roll_diameter"), inches(inputs, "roll_width", "width")
    weight = paper_rolls.roll_weight_by_factor_lb(*sizes, inputs["factor"], core_in=core)
    return {"roll_lb": weight}


@answers("paper.roll_weight_from_caliper")
def roll_weight_from_caliper(inputs: Inputs) -> Figures:
    mass = paper_rolls.roll_mass_from_caliper_kg(
        mm(inputs, "outer", "roll_diameter"),
        mm(inputs, "core", "core_diameter"),
        mm(inputs, "width", "roll_width"),
        given.gsm(inputs),
        given.caliper_um(inputs),
    )
    return {"weight_kg": mass, "weight_lb": mass / paper.KG_PER_LB}


@answers("paper.machine_output")
def machine_output(inputs: Inputs) -> Figures:
    key = next(key for key in inputs if key.startswith("substance_lb_"))  # substance_lb_20x30_480
    size, ream = key.removeprefix("substance_lb_").split("_")
    width, height = (float(side) for side in size.split("x"))
    grammage = paper.grammage_from_basis_weight(inputs[key], (width, height), ream_sheets=int(ream))
    metres_per_min = inputs["speed_fpm"] * given.MM_PER["ft"] / 1000
    mass = paper_rolls.web_mass_kg_per_hour(mm(inputs, "deckle"), metres_per_min, grammage)
    return {"kg_per_hour": mass, "lb_per_hour": mass / paper.KG_PER_LB}
