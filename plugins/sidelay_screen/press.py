"""A screen press: its figures, what they make of its feed, and the class of machine it is."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sidelay.plugin import Feed, LimitedPress, PieceFeed, SheetFeed

MACHINES = ("manual_carousel", "automatic_carousel", "flatbed", "cylinder")
LEAST_IMAGE_MM = 1.0  # of a frame with no room for an image, so that nothing fits it
CAROUSELS = frozenset(("manual_carousel", "automatic_carousel"))


@dataclass(frozen=True, kw_only=True)
class ScreenPress(LimitedPress):
    """A screen press; the units and meanings of its figures are in ScreenPressSchema.

    Its feed is cut down to the image that the frame holds: the squeegee needs room at its ends and
    a run-off before and behind the image.
    """

    machine: str
    stations: int
    ink: str
    ink_kinds: tuple[str, ...]
    dark_inks: tuple[str, ...]
    standing_inks: tuple[str, ...]
    max_passes_per_side: int
    frame_width_mm: float
    frame_length_mm: float
    frame_margin_mm: float
    run_off_mm: float
    min_tint_pct: float
    max_tint_pct: float
    trap_pt: float
    film_dpi: float
    mesh_fabric_um: tuple[tuple[float, float], ...]
    mesh_thread_um: tuple[tuple[float, float], ...]
    weave: str
    mesh_threads_per_line: float
    solid_mesh_per_cm: float
    screen_price: float
    reused_share: float
    stencil_price: float
    screen_labour_min: float
    screen_labour_rate_per_hour: float
    screen_lead_days: float
    stencil_life_pulls: float
    squeegee_price: float
    squeegee_life_impressions: float
    rated_per_hour: float
    running_share: float
    load_s: float
    stroke_s: float
    flash_s: float
    flash_stations: int
    cool_down_stations: int
    thin_below_um: float
    thin_speed: float
    thick_above_um: float
    thick_speed: float
    large_above_m2: float
    large_speed: float
    dryer_s: float
    dryer_places: float
    rack_h: float
    stock_set_up_min: float
    make_ready_min_per_screen: float
    make_ready_pieces_per_screen: int
    running_waste: float
    tear_down_min_per_screen: float
    ink_wash_min: float
    light_after_dark_min: float
    wash_price_per_screen: float
    ink_density_g_per_cm3: float
    ink_price_per_kg: float
    special_ink_price_per_kg: float
    ink_left_kg: float
    dryer_kw: float
    power_price_per_kwh: float

    def __post_init__(self) -> None:
        """Cut the feed down to the image that the frame holds."""
        object.__setattr__(self, "feed", self._framed())

    def _framed(self) -> Feed:
        width = max(LEAST_IMAGE_MM, self.frame_width_mm - 2 * self.frame_margin_mm)
        length = max(LEAST_IMAGE_MM, self.frame_length_mm - 2 * self.run_off_mm)
        match self.feed:
            case SheetFeed() as sheet:
                return replace(
                    sheet,
                    image_width_mm=min(width, sheet.image_width_mm or width),
                    image_length_mm=min(length, sheet.image_length_mm or length),
                )
            case PieceFeed() as piece:
                return replace(
                    piece,
                    max_width_mm=min(width, piece.max_width_mm),
                    max_length_mm=min(length, piece.max_length_mm),
                )
            case other:
                return other

    @property
    def carousel(self) -> bool:
        """Whether garments go round it, all colours of a side in one pass."""
        return self.machine in CAROUSELS

    @property
    def finest_mesh_per_cm(self) -> float:
        """Finest mesh in stock [threads/cm]."""
        return self.mesh_fabric_um[-1][0]
