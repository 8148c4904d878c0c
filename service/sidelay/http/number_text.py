"""Decimal figures as numbers of a JSON text, digit by digit as they are written."""

from __future__ import annotations

import re
from typing import Any

import orjson

_DECIMAL = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?")
# Whole numbers beyond this are no numbers to the writer of JSON.
MOST_WHOLE = 2**63 - 1


def number(text: str) -> orjson.Fragment:
    """Return a decimal text as a JSON number with the same digits.

    Money passes through no binary fraction on its way: "0.30" is told as 0.30, and never as
    0.30000000000000004. Raises ValueError for what is no plain decimal number.
    """
    if not _DECIMAL.fullmatch(text):
        raise ValueError(f"{text!r} is no decimal number")
    return orjson.Fragment(text)


def writable(value: Any) -> Any:
    """Return JSON data that can be written, as a copy: whole numbers keep all their digits."""
    if isinstance(value, dict):
        return {name: writable(inner) for name, inner in value.items()}
    if isinstance(value, list | tuple):
        return [writable(inner) for inner in value]
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > MOST_WHOLE:
        return number(str(value))
    return value
