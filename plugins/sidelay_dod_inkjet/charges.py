"""What an inkjet work costs beside stock and hours: ink or clicks, purge, primer, dryer."""

from __future__ import annotations

from sidelay.plugin import Charge, Work, heaviest_coverage_pct

from .inks import base_area_m2
from .press import InkjetPress

ML_PER_L = 1000


def charges(press: InkjetPress, work: Work) -> list[Charge]:
    """List the charges; what would come to nothing is left out."""
    by_click = press.click_price > 0
    found = [*_surface(press, work), *_dryer(press)]
    if by_click:
        found.append(_clicks(press, work))
    if not (by_click and press.click_covers_ink):
        found += [*_inks(press, work), *_purge(press, work)]
    return [charge for charge in found if charge.amount > 0 and charge.unit_cost > 0]


def _inks(press: InkjetPress, work: Work) -> list[Charge]:
    """Ink in litres a cycle: solid laydown x area of solid, white in an opaque layer."""
    inks = work.part.inks
    colours = sum(work.inked_area_m2(ink) for ink in inks if ink.kind not in ("white", "varnish"))
    listed_white = sum(work.inked_area_m2(ink) for ink in inks if ink.kind == "white")
    white = listed_white + base_area_m2(work)
    varnish = sum(work.inked_area_m2(ink) for ink in inks if ink.kind == "varnish")
    return [
        _ink(press, "ink", colours, press.solid_ml_per_m2, "ink_price_per_l"),
        _ink(
            press, "white ink", white, press.solid_ml_per_m2 * press.white_times,
            "white_ink_price_per_l",
        ),
        _ink(press, "varnish", varnish, press.solid_ml_per_m2, "varnish_price_per_l"),
    ]  # fmt: skip


def _ink(press: InkjetPress, label: str, area_m2: float, ml_per_m2: float, field: str) -> Charge:
    millilitres = area_m2 * ml_per_m2
    return Charge(
        "ink",
        label,
        getattr(press, field),
        "cycle",
        amount=millilitres / ML_PER_L,
        because=f"{area_m2:.4g} m2 of solid a cycle at {ml_per_m2:.2f} ml/m2 = {millilitres:.3g} "
        f"ml ({press.dpi_across:g} x {press.dpi_along:g} dpi, {press.base_drop_pl:g} pl x "
        f"{press.grey_levels} x {press.ink_limit_share:g})",
        source=press.source(field),
    )


def _purge(press: InkjetPress, work: Work) -> list[Charge]:
    # A second side printed in a pass of its own is a second start.
    starts = 1 if work.layout.style in ("one_side", "perfecting") else 2
    return [
        Charge(
            "make_ready",
            "ink purged",
            press.ink_price_per_l,
            "job",
            amount=starts * press.purge_ml / ML_PER_L,
            because=f"{press.purge_ml:g} ml through the heads at each of {starts} start(s)",
            source=press.source("purge_ml"),
        )
    ]


def _clicks(press: InkjetPress, work: Work) -> Charge:
    sides, area_m2 = len(work.sides), work.layout.area_m2
    return Charge(
        "click",
        "clicks",
        press.click_price,
        "cycle",
        amount=sides * area_m2 / press.click_area_m2,
        because=f"{sides} side(s) of {area_m2:.4g} m2, a click for each {press.click_area_m2:g} m2"
        f"; {'ink included' if press.click_covers_ink else 'ink apart'}",
        source=press.source("click_price"),
    )


def _surface(press: InkjetPress, work: Work) -> list[Charge]:
    """Primer over each printed side of the stock; pre-treatment under each print on a garment."""
    stock, sides = work.part.stock, len(work.sides)
    found = []
    if press.primes(stock, heaviest_coverage_pct(work.part)):
        area_m2 = sides * work.layout.area_m2
        found.append(_coat(press, "primer", area_m2, press.primer_gsm, "primer_price_per_kg"))
    if press.pretreats(stock):
        area_m2 = sides * work.part.printed_area_m2  # a cycle is one garment
        found.append(
            _coat(press, "pre-treatment", area_m2, press.pretreat_gsm, "pretreat_price_per_kg")
        )
    return found


def _coat(press: InkjetPress, label: str, area_m2: float, gsm: float, field: str) -> Charge:
    return Charge(
        "ink",
        label,
        getattr(press, field),
        "kilogram",
        amount=area_m2 * gsm / 1000,
        because=f"{gsm:g} g/m2 on {area_m2:.4g} m2 = {area_m2 * gsm:.3g} g a cycle, under the ink",
        source=press.source(field),
    )


def _dryer(press: InkjetPress) -> list[Charge]:
    return [
        Charge(
            "run",
            "power of dryer or lamps",
            press.energy_price_per_kwh,
            "hour",
            amount=press.dryer_kw,
            because=f"{press.dryer_kw:g} kW while the press is at work",
            source=press.source("dryer_kw"),
        )
    ]
