"""What heads can do: speed from jetting, ink from drops, pages a minute. Plain arithmetic."""

from __future__ import annotations

METRES_PER_INCH = 0.0254
PL_PER_ML = 1e9


def jetting_m_per_min(jetting_khz: float, dpi_along: float, drops_per_pixel: float = 1) -> float:
    """Speed [m/min] at which single-pass heads still reach every pixel: v = f / dpi.

    jetting_khz: drops a second from one nozzle, in thousands
    dpi_along: pixels an inch in the direction of travel
    drops_per_pixel: drops fired one after another into one pixel
    Source: v = f / dpi; 60 kHz at 600 dpi is 152.4 m/min (cases ij-speed-600-60k, -1200-60k).
    """
    metres_per_s = jetting_khz * 1000 / drops_per_pixel / dpi_along * METRES_PER_INCH
    return metres_per_s * 60


def laydown_ml_per_m2(
    dpi_across: float, dpi_along: float, drop_pl: float, coverage: float = 1.0
) -> float:
    """Liquid ink of one colour [ml/m2]: pixels on a square metre x drop volume x coverage.

    drop_pl: volume of the drop in a pixel of solid [pl]
    coverage: share 0..1 of the pixels that get a drop
    Source: (dpi / 0.0254)^2 x drop volume; 600 dpi and 10 pl lay 5.58 ml/m2 (case
    ij-laydown-600-10).
    """
    pixels_per_m2 = dpi_across * dpi_along / METRES_PER_INCH**2
    return pixels_per_m2 * drop_pl / PL_PER_ML * coverage


def largest_drop_pl(base_drop_pl: float, grey_levels: int) -> float:
    """Volume [pl] of the largest drop of a grey-scale head: base drop x levels.

    grey_levels: drop sizes beside no drop; 1 for a head with one size
    Source: an inkjet printer maker's note on grey levels (case ij-grey).
    """
    return base_drop_pl * grey_levels


def pages_per_min(m_per_min: float, page_length_mm: float, across: int, sides: int) -> float:
    """Printed pages a minute from a web: speed / page length x pages across x sides.

    page_length_mm: of a page in the direction of travel
    Source: 200 m/min, two letter pages across, both sides are 2,863 (case ij-web-ppm).
    """
    return m_per_min * 1000 / page_length_mm * across * sides


def scanning_m2_per_hour(one_pass_m2_per_hour: float, head_passes: float) -> float:
    """Area an hour [m2/h] under a carriage that crosses each spot `head_passes` times.

    Source: doubling the passes halves the speed; common practice, no source.
    """
    return one_pass_m2_per_hour / head_passes
