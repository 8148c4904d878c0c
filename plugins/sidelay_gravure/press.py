"""A gravure press: what is known of it; units, ranges and sources are in `schema`."""

from __future__ import annotations

from dataclasses import dataclass

from sidelay.plugin import LimitedPress


@dataclass(frozen=True, kw_only=True)
class GravurePress(LimitedPress):
    """A gravure press; the units and meanings of its figures are in GravurePressSchema."""

    units: int
    ink: str
    standing_inks: tuple[str, ...]
    corona_treater: bool
    electrostatic_assist: bool
    serrated_below_pt: float
    tone_levels: int
    rated_m_per_min: float
    running_share: float
    heavy_coverage_pct: float
    heavy_coverage_speed: float
    thin_below_um: float
    thin_speed: float
    thick_above_um: float
    thick_speed: float
    tight_register_mm: float
    tight_register_speed: float
    splices: bool
    reel_change_min: float
    reel_change_m: float
    stock_change_min: float
    make_ready_min_per_cylinder: float
    make_ready_m_per_job: float
    make_ready_m_per_cylinder: float
    running_waste: float
    wash_min_per_unit: float
    light_after_dark_min: float
    wash_price_per_unit: float
    drying_h: float
    bases: str
    base_price_per_m2: float
    copper_price_per_m2: float
    handling_price_per_cylinder: float
    engraver: str
    engraving_heads: int
    stylus_cells_per_s: float
    laser_cells_per_s: float
    engraving_rate_per_hour: float
    usual_lines_per_cm: float
    least_lines_per_cm: float
    coarse_lines_per_cm: float
    cell_wall_um: float
    stylus_angle_deg: float
    chrome_price_per_m2: float
    chrome_um: float
    chrome_reject_um: float
    chrome_wear_um_per_100k: float
    chromings_per_engraving: int
    new_cylinder_lead_days: float
    re_engraving_lead_days: float
    transfer_share: float
    ink_density_g_per_cm3: float
    solids_share: float
    supplied_solids_share: float
    solvent_make_up_share: float
    ink_left_kg: float
    process_ink_price_per_kg: float
    special_ink_price_per_kg: float
    white_ink_price_per_kg: float
    varnish_price_per_kg: float
    solvent_price_per_kg: float
    solvent_recovered_share: float
    solvent_controlled_share: float
    max_voc_share: float
    drying_energy_wh_per_m2: float
    energy_price_per_kwh: float
