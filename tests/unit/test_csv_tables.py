"""CSV as RFC 4180 says, and safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io

import pytest
from marshmallow import fields

from sidelay.http.csv_tables import TABLES, cell, columns_of, words, write_csv, write_table
from sidelay.http.schemas.answer_fields import Answer, many, one, text


@pytest.mark.parametrize("begin", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_a_formula_is_made_words(begin):
    assert cell(f"{begin}cmd|' /C calc'!A0") == f"'{begin}cmd|' /C calc'!A0"


@pytest.mark.parametrize("number", ["-1.50", "+3", -7, 12.5, "0.076600", 1e-07, -2.5e20, 0])
def test_a_number_stays_a_number(number):
    assert cell(number) == str(number)


@pytest.mark.parametrize("plain", ["", "a=b", "'=1", " =1", "flyer", "ｆ"])
def test_other_words_stay_as_they_are(plain):
    assert cell(plain) == plain


@pytest.mark.parametrize(
    "given", ["-1;2", "-1 2", "-", "+", "=1", "-1-1", "--1", "-1,5", "+1e", "-١"]
)
def test_what_only_looks_like_a_number_is_a_formula(given):
    assert cell(given) == f"'{given}"


def test_lines_end_in_crlf_and_quotes_are_doubled():
    """RFC 4180, section 2, rules 1, 5, 6 and 7."""
    written = write_csv(("a", "b"), [('say "x"', "1,2"), ("two\r\nlines", None)])
    assert written == b'a,b\r\n"say ""x""","1,2"\r\n"two\r\nlines",\r\n'


def test_what_is_written_is_read_again():
    row = ["", "a,b", '"', "é 日本", "x\ny"]
    read = list(csv.reader(io.StringIO(write_csv(["h"] * 5, [row]).decode(), newline="")))
    assert read == [["h"] * 5, row]


def test_half_a_letter_does_not_stop_the_table():
    assert write_csv(("a",), [("\ud800",)]) == b"a\r\n?\r\n"


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (None, ""),
        (True, "true"),
        (False, "false"),
        ([], ""),
        ([0.3, 0.8], "0.3; 0.8"),
        ([{"from": 1, "to": 5}, {"from": 9, "to": 9}], "from 1, to 5; from 9, to 9"),
        ({"speed": "a", "ink": "b"}, "speed a, ink b"),
    ],
)
def test_values_in_words(value, told):
    assert words(value) == told


class _Inner(Answer):
    deep = text("deep")


class _Outer(Answer):
    from_ = fields.Integer(data_key="from")
    inner = one(_Inner, "inner")
    several = many(_Inner, "several")


def test_a_column_for_each_member_whatever_the_schema():
    assert list(columns_of(_Outer())) == ["from", "inner.deep", "several"]


@pytest.mark.parametrize("costs", [True, False])
@pytest.mark.parametrize("name", ["choices", "curves", "bands"])
def test_where_nothing_qualifies_there_is_the_header_alone(name, costs):
    nothing = {"quantities": [{"quantity": 5, "choices": []}], "curves": [], "bands": []}
    header = write_table(name, nothing, costs=costs).decode()
    assert header == ",".join(TABLES[name].seen(costs=costs)) + "\r\n"
    assert ("cost" in header) == (costs and name != "bands")
