"""A flexo press: what is known of it; units, ranges and sources are in `schema`."""

from __future__ import annotations

from dataclasses import dataclass

from sidelay.plugin import LimitedPress


@dataclass(frozen=True, kw_only=True)
class FlexoPress(LimitedPress):
    """A flexo press; the units and meanings of its figures are in FlexoPressSchema."""

    web: str
    units: int
    ink: str
    plates: str
    corona_treater: bool
    standing_inks: tuple[str, ...]
    max_colours_in_type: int
    min_tint_pct: float
    plate_dpi: float
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
    die_m_per_min: float
    splices: bool
    reel_change_min: float
    reel_change_m: float
    stock_change_min: float
    make_ready_min_per_plate: float
    mounting_min_per_plate: float
    mounting_price_per_plate: float
    make_ready_m_per_job: float
    make_ready_m_per_plate: float
    running_waste: float
    wash_min_per_deck: float
    light_after_dark_min: float
    wash_price_per_deck: float
    drying_h: float
    plate_price_per_cm2: float
    plate_life_repeats: float
    plate_lead_days: float
    plate_runs: int
    plate_gap_mm: float
    plate_thickness_mm: float
    plate_base_mm: float
    sleeve_price_times: float
    sleeve_lead_days: float
    die_price_per_cm2: float
    die_life_repeats: float
    die_lead_days: float
    anilox_process_bcm: float
    anilox_solid_bcm: float
    anilox_white_bcm: float
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
    drying_energy_wh_per_m2: float
    energy_price_per_kwh: float

    @property
    def seamless(self) -> bool:
        """Whether the image goes round the cylinder without a gap."""
        return self.plates == "sleeves"
