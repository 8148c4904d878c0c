"""Vapour (VOC) that a litho press lets into the air from its ink, and what the oven captures."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

# Share carried into the oven of a heatset press; the rest goes into the room.
# Source: Jones (GATF), PNEAC, 19 Jan 2000.
CAPTURED_BY_OVEN: Mapping[str, float] = MappingProxyType(
    {
        "ink_oil": 1.0,
        "automatic_blanket_wash": 0.4,
        "alcohol_substitute": 0.7,
        "isopropyl_alcohol": 0.5,
    }
)


def voc_kg(
    quantity_kg: float,
    volatile_share: float,
    retained_share: float,
    *,
    captured_share: float = 0.0,
    destroyed_share: float = 0.0,
) -> float:
    """Mass of vapour [kg] given off: Q x OC x (1 - RF) x (1 - CE), CE = captured x destroyed.

    quantity_kg: ink, wash or fount used; volatile_share (OC): of it that could evaporate
    retained_share (RF): of that which stays in the paper, measured up to 1.0055 and held at 1
    Source: South Coast AQMD with PIA, VOC Emission Calculation Methodology for Lithographic
    Printing, Jun 2001, equations 1 and 2; 1 in Battelle/GAERF, Jan 1996, within its error.
    """
    given_off = quantity_kg * volatile_share * (1 - min(retained_share, 1.0))
    return given_off * (1 - captured_share * destroyed_share)
