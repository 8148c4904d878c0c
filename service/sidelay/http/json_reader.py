"""Reads a request body as strict JSON (RFC 8259): one object, UTF-8, no member twice.

Python's own decoder takes more than JSON: NaN, byte order marks, UTF-16, members that stand twice,
halves of surrogate pairs. What another reader would see differently is refused here.
"""

from __future__ import annotations

import json
import re
from typing import Any

MOST_DEPTH = 32
# No figure of a job needs more; Python's limit on digits would be met at 4,300.
MOST_DIGITS = 100

# A string, or one bracket. A string that is not closed runs to the end, so that the scan never
# starts over inside it.
_STRING_OR_BRACKET = re.compile(r'"(?:[^"\\]|\\.)*+"?|([\[{])|[\]}]', re.DOTALL)
_UTF8_MARK = b"\xef\xbb\xbf"
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")


class NotJson(ValueError):  # noqa: N818  (an answer to the caller, not a fault)
    """A body that is not strict JSON; the message says what is wrong, and where if it can."""


def read_json(
    body: bytes, *, named: str = "body", most_depth: int = MOST_DEPTH
) -> dict[str, Any]:
    """Return the object that a body holds.

    named: what the body is called in a message, "line" for one line of many
    Raises NotJson when it holds anything else, nests deeper than most_depth, or has a number
    written with more than MOST_DIGITS characters.
    """
    text = _text(body, named)
    _check_depth(text, most_depth)
    try:
        value = _DECODER.decode(text)
    except json.JSONDecodeError as fault:
        line = "" if named == "line" else f"line {fault.lineno}, "
        where = f"{line}column {fault.colno}"
        raise NotJson(f"{fault.msg.removesuffix(' at')} at {where}.") from None
    if not isinstance(value, dict):
        raise NotJson("Expected one JSON object at the top.")
    _check_characters(text, value)
    return value


def _text(body: bytes, named: str) -> str:
    if not body.strip():
        raise NotJson(f"The {named} is empty; expected one JSON object.")
    if body.startswith(_UTF8_MARK):
        raise NotJson(f"The {named} starts with a byte order mark; send UTF-8 without one.")
    if body.startswith(_UTF16_MARKS) or b"\0" in body[:4]:
        raise NotJson(f"The {named} looks like UTF-16 or UTF-32; send UTF-8.")
    try:
        return body.decode()
    except UnicodeDecodeError as fault:
        raise NotJson(
            f"The {named} is not UTF-8: byte {fault.start + 1} cannot stand there."
        ) from None


def _check_depth(text: str, most_depth: int) -> None:
    """Refuse deep nesting before the decoder, which would run out of stack, sees it."""
    if text.count("[") + text.count("{") <= most_depth:
        return
    depth = 0
    for found in _STRING_OR_BRACKET.finditer(text):
        if found[0][0] == '"':
            continue
        depth += 1 if found[1] else -1
        if depth > most_depth:
            raise NotJson(f"Nested deeper than {most_depth} levels.")


def _check_characters(text: str, value: dict[str, Any]) -> None:
    """Refuse half a surrogate pair: it is no character and cannot be written again."""
    if "\\u" not in text:
        return
    try:
        json.dumps(value, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        raise NotJson("A \\u escape stands for half a surrogate pair, not a character.") from None


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        seen: set[str] = set()
        for name, _ in pairs:
            if name in seen:
                raise NotJson(f"The member {name[:80]!r} stands twice in one object.")
            seen.add(name)
    return found


def _no_constant(name: str) -> None:
    raise NotJson(f"{name} is not JSON.")


def _whole(digits: str) -> int:
    _check_digits(digits)
    return int(digits)


def _fraction(digits: str) -> float:
    _check_digits(digits)
    return float(digits)


def _check_digits(digits: str) -> None:
    if len(digits) > MOST_DIGITS:
        raise NotJson(f"A number is written with more than {MOST_DIGITS} characters.")


_DECODER = json.JSONDecoder(
    object_pairs_hook=_object, parse_constant=_no_constant, parse_int=_whole, parse_float=_fraction
)
