"""What the continuous inkjet model says to the cases of its process."""

from collections.abc import Callable, Mapping
from typing import Any

from shop import BLACK, leaf, with_inks
from sidelay_continuous_inkjet import press_schema
from sidelay_continuous_inkjet.heads import CODER_DROP_KHZ, line_limits_m_per_min
from sidelay_continuous_inkjet.press import CijPress

Inputs = Mapping[str, Any]

ARRAY: dict[str, Any] = {
    "id": "array",
    "name": "Array",
    "cost_centre": "array",
    "heads": "array",
    "resolution_dpi": 300,
    "heads_fitted": 5,
    "head_height_mm": 104,
    "dryer_m": 12,
    "feed": {
        "kind": "web",
        "min_width_mm": 250,
        "max_width_mm": 520,
        "min_cutoff_mm": 140,
        "max_cutoff_mm": 760,
    },
}


def fastest_web(_: Inputs) -> float:
    """Line speed of an array left to its defaults, printing pages of type on coated paper [m/min].

    The least of what the line, the drops and the drying allow.
    """
    press = press_schema()().load(ARRAY)
    assert isinstance(press, CijPress)
    return min(line_limits_m_per_min(press, with_inks(leaf(), BLACK, coverage=0.1)).values())


FIGURES: dict[str, Callable[[Inputs], Any]] = {
    "drop_kHz": lambda _: list(CODER_DROP_KHZ),
    "max_dots_high": lambda _: press_schema()().fields["dots_high"].load_default,
    "m_per_min_max": fastest_web,
}
NOT_MODELLED: dict[str, str] = {}
