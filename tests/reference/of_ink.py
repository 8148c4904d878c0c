"""Adapters for ink."""

from reference import given
from reference.given import Inputs, inches, mm, share
from reference.register import Figures, answers
from sidelay import ink, paper


@answers("ink.catalogue_gsm")
def catalogue_ink(inputs: Inputs) -> Figures:
    width, height = (side / 1000 for side in mm(inputs, "open_page_with_bleed", "page"))
    # The exercise rounds the area of a copy to 0.01 m2 and goes on from there; so does this
    # adapter, since its printed mass hangs on it. The model itself rounds nothing (test_ink.py).
    area = round(ink.printed_area(width, height, inputs["pages"]), 2)
    coverage = share(inputs, "coverage")
    return {
        "area_m2": area,
        "ink_kg": ink.ink_mass_kg(area * inputs["copies"], coverage, inputs["gsm"]),
    }


@answers("ink.lump_rate")
def ink_lump_rate(inputs: Inputs) -> Figures:
    rates = {key.removeprefix("g_per_1000_"): key for key in inputs if key.startswith("g_per_1000")}
    return {
        f"{name.split('_')[0]}_kg": ink.ink_mass_by_rate_kg(inputs["gross_sheets"], inputs[key])
        for name, key in rates.items()
    }


@answers("ink.coverage_area")
def ink_coverage_area(inputs: Inputs) -> Figures:
    width, height = inches(inputs, "page")
    surface = ink.printed_area(width, height, inputs["pages"])
    return {
        "page_area": ink.printed_area(width, height),
        "surface": surface,
        "covered": ink.covered_area(surface, share(inputs, "coverage")),
    }


@answers("ink.flexo_mileage")
def flexo_mileage(inputs: Inputs) -> Figures:
    area, mileage = inputs["coverage_in2"], inputs["mileage_in2_per_lb"]
    press = {"pan_lb": inputs.get("pan_lb", 0.0), "set_up_lb": inputs.get("setup_lb", 0.0)}
    return {
        "run_lb": ink.ink_mass_by_mileage_lb(area, mileage),
        "total_lb": ink.ink_mass_by_mileage_lb(area, mileage, **press),
    }


@answers("ink.offset_rule")
def offset_rule(inputs: Inputs) -> Figures:
    solid = ink.covered_area(given.area_in2(inputs, "sheet"), share(inputs, "coverage"))
    return {
        f"mileage_{key.removesuffix('_lb')}": ink.mileage_in2_per_lb(
            solid, inputs["impressions"], inputs[key]
        )
        for key in inputs
        if key.endswith("_lb")
    }


@answers("ink.newspaper_use")
def newspaper_ink(inputs: Inputs) -> Figures:
    area = inputs["pages"] * inputs["page_m2"]
    film_gsm = 1 / inputs["mileage_m2_per_g"]
    return {"ink_g": 1000 * ink.ink_mass_kg(area, 1.0, film_gsm)}


@answers("ink.gravure_flexible")
def gravure_ink(inputs: Inputs) -> Figures:
    area = paper.area_m2_from_mass(inputs["film_kg"], inputs["film_gsm"])
    dry = inputs["ink_gsm_dry"]
    return {
        "dry_kg": ink.ink_mass_kg(area, 1.0, dry),
        "liquid_kg": ink.ink_mass_kg(area, 1.0, ink.wet_film_gsm(dry, inputs["solids"])),
    }


@answers("ink.screen_deposit")
def screen_deposit(inputs: Inputs) -> Figures:
    mesh = inputs["mesh_per_cm"]
    thread, fabric = inputs.get("thread_um"), inputs.get("fabric_um")
    weave = inputs.get("weave", "plain")
    deposit = ink.screen_deposit_um(mesh, thread_um=thread, fabric_um=fabric, weave=weave)
    return {"deposit_um": deposit}
