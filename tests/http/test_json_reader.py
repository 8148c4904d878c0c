"""Strict JSON: whatever two readers could see differently is a clear 400."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from sidelay.http.json_reader import MOST_DEPTH, MOST_DIGITS, NotJson, read_json

REFUSED = {
    "empty": (b"", "empty"),
    "spaces": (b" \r\n\t", "empty"),
    "byte_order_mark": (b'\xef\xbb\xbf{"job": {}}', "byte order mark"),
    "utf16": ('{"job": {}}'.encode("utf-16"), "UTF-16"),
    "utf16_without_mark": ('{"job": {}}'.encode("utf-16-le"), "UTF-16"),
    "utf32": ('{"job": {}}'.encode("utf-32-be"), "UTF-32"),
    "latin1": ('{"title": "Café"}'.encode("latin-1"), "byte 15 cannot"),
    "cut_short": (b'{"job": ', "line 1, column 9"),
    "second_line": (b'{"job": {},\n  "plant" "demo"}', "line 2, column 11"),
    "trailing_comma": (b'{"job": {},}', "line 1"),
    "two_values": (b"{} {}", "line 1, column 4"),
    "comment": (b'{} // "job"', "line 1"),
    "single_quotes": (b"{'job': 1}", "line 1"),
    "raw_newline_in_string": (b'{"title": "a\nb"}', "line 1"),
    "nan": (b'{"job": NaN}', "NaN"),
    "infinity": (b'{"job": Infinity}', "Infinity"),
    "minus_infinity": (b'{"job": [-Infinity]}', "-Infinity"),
    "twice": (b'{"plant": "a", "plant": "b"}', "'plant' stands twice"),
    "twice_inside": (b'{"job": {"title": "a", "x": 1, "title": "a"}}', "'title' stands twice"),
    "twice_by_escape": (b'{"plant": "a", "pl\\u0061nt": "b"}', "'plant' stands twice"),
    "high_surrogate": (b'{"title": "\\ud800"}', "surrogate"),
    "low_surrogate_in_name": (b'{"\\udc00x": 1}', "surrogate"),
    "array_at_the_top": (b"[]", "one JSON object"),
    "string_at_the_top": (b'"job"', "one JSON object"),
    "null_at_the_top": (b"null", "one JSON object"),
    "brackets": (b"[" * 100_000, "deeper than 32"),
    "braces": (b'{"a":' * 40_000, "deeper than 32"),
    "brackets_closed": (b'{"a":' + b"[" * 100_000 + b"]" * 100_000 + b"}", "deeper than 32"),
    "long_integer": (b'{"a": ' + b"9" * 5_000 + b"}", "more than 100"),
    "long_fraction": (b'{"a": 0.' + b"3" * 5_000 + b"}", "more than 100"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused_with_400_and_the_reason(client: FlaskClient, name: str) -> None:
    body, reason = REFUSED[name]
    response = client.post("/estimate", data=body, content_type="application/json")
    problem = response.get_json()
    assert response.status_code == 400
    assert response.content_type == "application/problem+json"
    assert problem["type"] == "/problems/not_json"
    assert reason in problem["detail"]


TAKEN = {
    "spaces_around": (b' \n{"a": 1}\t', {"a": 1}),
    "not_ascii": ('{"title": "Café ☕ 𝄞"}'.encode(), {"title": "Café ☕ 𝄞"}),
    "surrogate_pair": (b'{"title": "\\ud834\\udd1e"}', {"title": "𝄞"}),
    "same_name_in_two_objects": (b'{"a": {"x": 1}, "b": {"x": 2}}', {"a": {"x": 1}, "b": {"x": 2}}),
    "brackets_in_a_string": (b'{"a": "' + b"[" * 200 + b'"}', {"a": "[" * 200}),
    "escaped_quotes": (b'{"a": "\\"[[[' + b'\\\\"}', {"a": '"[[[\\'}),
    "deepest": (
        b'{"a":' + b"[" * (MOST_DEPTH - 1) + b"]" * (MOST_DEPTH - 1) + b"}",
        None,
    ),
    "many_but_not_deep": (b'{"a": [' + b",".join([b"[]"] * 100) + b"]}", {"a": [[]] * 100}),
    "thirty_digits": (b'{"a": 1' + b"0" * 30 + b"}", {"a": 10**30}),
    "longest_number": (b'{"a": ' + b"7" * MOST_DIGITS + b"}", {"a": int("7" * MOST_DIGITS)}),
}


@pytest.mark.parametrize("name", TAKEN)
def test_taken(name: str) -> None:
    body, expected = TAKEN[name]
    assert read_json(body) == (json.loads(body) if expected is None else expected)


def test_one_level_deeper_is_refused() -> None:
    body = b'{"a":' + b"[" * MOST_DEPTH + b"]" * MOST_DEPTH + b"}"
    with pytest.raises(NotJson, match="deeper"):
        read_json(body)


def test_strings_do_not_hide_depth() -> None:
    """A quote that is escaped does not end its string, and one that does ends it."""
    body = b'{"\\"[": ' + b"[" * 40 + b"]" * 40 + b"}"
    with pytest.raises(NotJson, match="deeper"):
        read_json(body)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**40), 10**40) | st.text() | st.floats(-1e9, 1e9),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=30,
)


@given(st.dictionaries(st.text(), JSON, max_size=5), st.booleans())
def test_reads_what_was_written(value: dict[str, Any], escaped: bool) -> None:
    assert read_json(json.dumps(value, ensure_ascii=escaped).encode()) == value


@given(st.binary(max_size=60) | st.text(alphabet='{}[]":,\\u0d8nNaI1e- ', max_size=60))
def test_any_bytes_are_read_or_refused(body: bytes | str) -> None:
    raw = body.encode() if isinstance(body, str) else body
    try:
        value = read_json(raw)
    except NotJson:
        return
    assert json.loads(raw.decode()) == value
