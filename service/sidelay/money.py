"""Money: minor digits by currency, and rounding half up once for each line.

Inside an answer money is a whole number of minor units (int64); outside it is a decimal string.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from types import MappingProxyType

import numpy as np
from babel.core import get_global
from numpy.typing import NDArray

Cents = NDArray[np.int64]

# Amounts closer to a tie than this share of a minor unit count as the tie and go up: it absorbs the
# noise of binary fractions (2.675 is stored as 2.67499...) and is far below any real difference.
TIE = 1e-6

# Decimals that money for one piece has beyond the currency's.
PIECE_DIGITS = 4

# Where the CLDR data inside Babel follows everyday use and ISO 4217, table A.1, does not.
# From memory.
_TWO_BY_ISO = "AFN ALL IRR KPW LAK LBP MGA MMK RSD SLL SOS SYP YER"
_ISO_DIGITS: Mapping[str, int] = MappingProxyType(
    dict.fromkeys(_TWO_BY_ISO.split(), 2) | {"IQD": 3}
)


class UnknownCurrency(ValueError):  # noqa: N818  (a fault of a plant file, named as such)
    """A code that is no currency's."""


def minor_digits(currency: str) -> int:
    """Return the decimal digits of a currency's minor unit, after ISO 4217.

    Raises UnknownCurrency for a code that is no currency's.
    """
    if currency not in get_global("all_currencies"):
        raise UnknownCurrency(f"{currency!r} is not an ISO 4217 currency code")
    if currency in _ISO_DIGITS:
        return _ISO_DIGITS[currency]
    digits = get_global("currency_fractions")
    return int(digits.get(currency, digits["DEFAULT"])[0])


def round_half_up(value: Decimal | str, quantum: Decimal | str) -> Decimal:
    """Round an exact decimal to a multiple of the quantum's last digit, ties away from zero."""
    return Decimal(value).quantize(Decimal(quantum), rounding=ROUND_HALF_UP)


def to_minor(amounts: NDArray[np.float64], digits: int) -> Cents:
    """Round amounts that are not negative to whole minor units, half up; any shape.

    Never falls as an amount grows. Raises OverflowError beyond what an int64 holds safely.
    """
    scaled = amounts * 10.0**digits
    if scaled.size and not scaled.max() < 2.0**62:
        raise OverflowError("an amount of money is too large to hold")
    scaled += 0.5 + TIE
    return scaled.astype(np.int64)  # cuts the fraction off: down, since nothing is negative


def decimal_text(minor: int, digits: int) -> str:
    """Write minor units as a decimal string with the currency's digits."""
    if digits == 0:
        return str(minor)
    whole, fraction = divmod(abs(minor), 10**digits)
    return f"{'-' if minor < 0 else ''}{whole}.{fraction:0{digits}d}"


def share_text(minor: int, pieces: int, digits: int, extra_digits: int = PIECE_DIGITS) -> str:
    """Write money for one piece: minor units divided by a count, with some digits more, half up."""
    scale = 10**extra_digits
    return decimal_text((2 * minor * scale + pieces) // (2 * pieces), digits + extra_digits)
