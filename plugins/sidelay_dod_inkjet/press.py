"""An inkjet press: what is known of it; units, ranges and sources are in `schema`."""

from __future__ import annotations

from dataclasses import dataclass

from sidelay.plugin import LimitedPress, PieceFeed, ReelFeed, SheetFeed, Stock, WebFeed

from .heads import largest_drop_pl, laydown_ml_per_m2

Steps = tuple[tuple[float, float], ...]
CLEAR_FINISHES = ("clear", "transparent")


@dataclass(frozen=True, kw_only=True)
class InkjetPress(LimitedPress):
    """A drop-on-demand press; the units and meanings of its figures are in InkjetPressSchema."""

    heads: str
    ink: str
    lamps: str
    corona_treater: bool
    channels: tuple[str, ...]
    dpi_across: float
    dpi_along: float
    base_drop_pl: float
    grey_levels: int
    ink_limit_share: float
    jetting_khz: float
    drops_per_pixel: float
    rated_m_per_min: float
    rated_sheets_per_hour: float
    second_side_speed: float
    drying_speed_by_coverage: Steps
    speed_by_grammage: Steps
    one_pass_m2_per_hour: float
    passes_by_ruling: Steps
    white_speed: float
    load_s: float
    running_share: float
    pile_mm: float
    pile_change_min: float
    reel_change_min: float
    make_ready_min: float
    stock_change_min: float
    make_ready_cycles: int
    make_ready_m: float
    running_waste: float
    drying_h: float
    drying_untreated_h: float
    untreated_coverage_pct: float
    heavy_coverage_pct: float
    primer_gsm: float
    primer_price_per_kg: float
    pretreat_gsm: float
    pretreat_price_per_kg: float
    ink_price_per_l: float
    white_ink_price_per_l: float
    varnish_price_per_l: float
    white_times: float
    purge_ml: float
    click_price: float
    click_area_m2: float
    click_covers_ink: bool
    dryer_kw: float
    energy_price_per_kwh: float

    @property
    def single_pass(self) -> bool:
        """Whether the heads stand across the whole width and the stock passes once."""
        return self.heads == "single_pass"

    @property
    def aqueous(self) -> bool:
        """Whether its ink is carried in water and needs a surface that takes it."""
        return self.ink == "aqueous"

    @property
    def solid_ml_per_m2(self) -> float:
        """Liquid ink of one colour in a solid [ml/m2], the profile's ink limit taken off."""
        drop_pl = largest_drop_pl(self.base_drop_pl, self.grey_levels) * self.ink_limit_share
        return laydown_ml_per_m2(self.dpi_across, self.dpi_along, drop_pl)

    @property
    def takes_sheets(self) -> bool:
        """Whether it is fed with cut sheets or boards."""
        return isinstance(self.feed, SheetFeed)

    @property
    def takes_pieces(self) -> bool:
        """Whether it is fed with single pieces: garments."""
        return isinstance(self.feed, PieceFeed)

    @property
    def takes_reels(self) -> bool:
        """Whether it is fed from a reel."""
        return isinstance(self.feed, WebFeed | ReelFeed)

    def primes(self, stock: Stock, coverage_pct: float) -> bool:
        """Whether the press lays primer under the ink: untreated stock that would not take it.

        coverage_pct: average total coverage of the heavier side [%]
        """
        if not self.primer_gsm or not self._unready(stock):
            return False
        return stock.coated or coverage_pct > self.untreated_coverage_pct

    def pretreats(self, stock: Stock) -> bool:
        """Whether a garment is sprayed first, so that white ink stays on top of the fibres."""
        return self.takes_pieces and self._unready(stock) and stock.tone == "dark"

    def _unready(self, stock: Stock) -> bool:
        return self.aqueous and not stock.treated
