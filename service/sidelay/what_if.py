"""What if a figure of the plant were another: factors on prices, rates, times, speeds and waste.

A table is evaluated under them as it is evaluated at quantities: column by column. So one look can
ask many quantities under one change, or one quantity under many changes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from .curve import Array


@dataclass(frozen=True, eq=False)
class WhatIf:
    """Factors on the figures of a plant: numbers above 0, or vectors with one for each column.

    stock_price: what the stock is bought at, whatever its terms
    click_charge: what a click costs
    hourly_rates: of the cost centres, so what all work costs that goes by time: presses, prepress,
        finishing, binding
    make_ready_time: minutes of make-ready on presses; not those to set finishing machines, nor to
        hang carriers anew that wear out on the run, which the speed has in it
    carrier_price: what plates, blocks, screens and cylinders cost, and making them: the hours of a
        screen room or an engraver that a press model counts into their price too
    running_speed: cycles an hour, stops for piles and reels included
    waste: spoiled sheets, pieces and copies, of make-ready and of running, on every machine
    """

    stock_price: float | Array = 1.0
    click_charge: float | Array = 1.0
    hourly_rates: float | Array = 1.0
    make_ready_time: float | Array = 1.0
    carrier_price: float | Array = 1.0
    running_speed: float | Array = 1.0
    waste: float | Array = 1.0

    def on_money(self) -> Iterator[tuple[str, float | Array]]:
        """Yield the factors that are not 1 and act on money alone, by name."""
        for name in MONEY:
            factor: float | Array = getattr(self, name)
            if not np.all(factor == 1.0):
                yield name, factor

    def repeated(self, columns: int, times: int) -> WhatIf:
        """Return the factors of so many columns, those of each column so many times."""
        return WhatIf(
            **{
                name: np.repeat(np.broadcast_to(getattr(self, name), columns), times)
                for name in FACTORS
            }
        )


FACTORS: tuple[str, ...] = tuple(field.name for field in fields(WhatIf))
MONEY = ("stock_price", "click_charge", "hourly_rates", "make_ready_time", "carrier_price")
AS_IT_IS = WhatIf()


def changed(factor: str, by: Any) -> WhatIf:
    """Return the change of one factor. Raises TypeError for a factor not known."""
    return WhatIf(**{factor: by})


def factors_on(stage: str, kind: str) -> tuple[str, ...]:
    """Return the factors that act on what a line of this stage and kind costs, however counted."""
    found = ["stock_price"] if stage == "stock" else []
    if stage == "click":
        found.append("click_charge")
    if stage == "carrier":
        found.append("carrier_price")
    if kind == "time":
        found += ["hourly_rates", "make_ready_time"] if stage == "make_ready" else ["hourly_rates"]
    return tuple(found)
