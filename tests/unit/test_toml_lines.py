"""The line of everything in a TOML text is found, and faults are told with it."""

import re
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop import DEMO_FILE, processes
from sidelay.plant_file import read_plant
from sidelay.toml_file import PlantFileError
from sidelay.toml_lines import line_numbers, line_of, path_of

ODD = '''# a comment with [a.table] and key = 1
title = "a # that is no comment" # one that is
few.parts."of a key" = 1
text = """
[not.a.table]
key = 2
two quotes"" and then three\\""""""
raw = \'\'\'
x = [
\'\'\'\'
list = [ # of items
  1,
  [2, 3], "]", # a bracket in a text
  { deep = { deeper = true }, other = [4] },
]
moment = 1979-05-27 07:32:00Z
[many.tables.inside] # spelt out
"quoted \\u00e9" = 'x'
[[stocks]]
id = "one"
[[stocks.sheets]]
width = 1
[[stocks.sheets]]
width = 2
[[stocks]]
id = "two"
[stocks.made.by]
hand = false
[many]
late = +inf
'''

PLACES = {
    ("title",): 2,
    ("few", "parts"): 3,
    ("few", "parts", "of a key"): 3,
    ("text",): 4,
    ("raw",): 8,
    ("list",): 11,
    ("list", 0): 12,
    ("list", 1): 13,
    ("list", 1, 1): 13,
    ("list", 2): 13,
    ("list", 3): 14,
    ("list", 3, "deep", "deeper"): 14,
    ("list", 3, "other", 0): 14,
    ("moment",): 16,
    ("many",): 29,
    ("many", "tables"): 17,
    ("many", "tables", "inside"): 17,
    ("many", "tables", "inside", "quoted é"): 18,
    ("stocks",): 19,
    ("stocks", 0): 19,
    ("stocks", 0, "id"): 20,
    ("stocks", 0, "sheets"): 21,
    ("stocks", 0, "sheets", 1): 23,
    ("stocks", 0, "sheets", 1, "width"): 24,
    ("stocks", 1): 25,
    ("stocks", 1, "made"): 27,
    ("stocks", 1, "made", "by", "hand"): 28,
    ("many", "late"): 30,
}


def everything(node, path=()):
    """Every path of what tomllib reads."""
    if path:
        yield path
    inside = node.items() if isinstance(node, dict) else ()
    inside = enumerate(node) if isinstance(node, list) else inside
    for step, inner in inside:
        yield from everything(inner, (*path, step))


def test_each_form_of_toml_has_its_line():
    lines = line_numbers(ODD)
    assert {path: lines[path] for path in PLACES} == PLACES
    assert set(lines) == set(everything(tomllib.loads(ODD)))


def test_the_demo_plant_is_found_whole():
    text = DEMO_FILE.read_text()
    assert set(line_numbers(text)) == set(everything(tomllib.loads(text)))


def test_line_ends_of_another_system_change_no_line():
    assert line_numbers(ODD.replace("\n", "\r\n")) == line_numbers(ODD)


@pytest.mark.parametrize("text", ["", "# nothing\n", "[half", "x = "])
def test_what_is_empty_or_no_toml_has_no_lines(text):
    assert line_numbers(text) == {}


KEYS = st.sampled_from(["a", "b-1", '"c d"', "'e.f'", '"\\u00e9\\""'])
TEXTS = st.sampled_from(
    ['"x"', "'y'", '"""\n[z]\n"""', "'''\nk = 1\n'''", '"\\"#"', '"""a""b"""', '""', "''''a'''"]
)
PLAIN = st.sampled_from(["1", "-1.5e3", "true", "nan", "0x1F", "07:32:00", "1979-05-27 07:32:00"])
GAPS = st.sampled_from(["", " ", "\n", " # note ]\n"])


@st.composite
def values(draw, depth=2):
    kind = draw(st.sampled_from(["text", "plain", "list", "table"][: 4 if depth else 2]))
    if kind == "text":
        return draw(TEXTS)
    if kind == "plain":
        return draw(PLAIN)
    if kind == "list":
        items = draw(st.lists(values(depth=depth - 1), max_size=3))
        gap = draw(GAPS)
        return "[" + gap + "".join(f"{item}{gap},{gap}" for item in items) + "]"
    keys = draw(st.lists(KEYS, max_size=3, unique=True))
    return "{" + ", ".join(f"{key} = {draw(values(depth=depth - 1))}" for key in keys) + "}"


@st.composite
def documents(draw):
    """Texts that are mostly TOML: tables, arrays of them, dotted keys and values of all kinds."""
    lines = []
    for _ in range(draw(st.integers(0, 6))):
        keys = draw(st.lists(KEYS, min_size=1, max_size=2))
        header = draw(st.sampled_from(["[{}]", "[[{}]]", "[ {} ] # table", ""]))
        if header:
            lines.append(header.format(" . ".join(keys)))
        pairs = draw(st.dictionaries(KEYS, values(), max_size=3))
        lines += [f"{key} = {value}" for key, value in pairs.items()]
        lines.append(draw(st.sampled_from(["", "# note", "\t"])))
    return "\n".join(lines)


@given(documents())
def test_all_that_tomllib_reads_has_a_line(text):
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        assert line_numbers(text) == {}
        return
    lines = line_numbers(text)
    assert set(lines) == set(everything(data))
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())


@pytest.mark.parametrize(
    ("table", "key", "path"),
    [
        ("stocks[1]", "id", ("stocks", 1, "id")),
        ("stocks (two)", "id", ("stocks", 1, "id")),
        ("stocks[0] (one)", "id", ("stocks", 0, "id")),
        ("stocks (one).sheets[1]", "width", ("stocks", 0, "sheets", 1, "width")),
        ("stocks[0].sheets[1]", "missing", ("stocks", 0, "sheets", 1)),
        ("stocks (three)", "id", ("stocks",)),
        ("stocks[7]", "id", ("stocks",)),
        ("", "list[1][0]", ("list", 1, 0)),
        ("many.tables.inside", "", ("many", "tables", "inside")),
        ("nowhere", "id", ()),
        ("a b", "c", ()),
        ("", "", ()),
    ],
)
def test_what_faults_call_a_place_leads_there_as_far_as_it_goes(table, key, path):
    assert path_of(tomllib.loads(ODD), table, key) == path


def test_the_line_of_what_is_missing_is_that_of_the_table_around_it():
    lines = line_numbers(ODD)
    assert line_of(lines, ("stocks", 1, "nowhere")) == 25
    assert line_of(lines, ()) is None
    assert line_of(lines, ("nowhere",)) is None


DEMO_LINES = DEMO_FILE.read_text().split("\n")


def _whole(line: str) -> bool:
    try:
        return bool(tomllib.loads(line)) and not line.startswith("[")
    except tomllib.TOMLDecodeError:
        return False


KEY_LINES = [number for number, line in enumerate(DEMO_LINES) if _whole(line)]


def test_the_lines_to_break_are_most_of_the_file():
    assert len(KEY_LINES) > 2500


@given(number=st.sampled_from(KEY_LINES))
def test_a_key_of_the_wrong_type_is_told_with_exactly_its_line(tmp_path_factory, number):
    lines = list(DEMO_LINES)
    lines[number] = re.sub(r"=.*", "= { no = 1979-05-27 } # wrong", lines[number], count=1)
    path = tmp_path_factory.mktemp("plants") / "demo.toml"
    path.write_text("\n".join(lines))
    with pytest.raises(PlantFileError) as caught:
        read_plant(path, processes())
    key = lines[number].split("=")[0].strip()
    told = [fault for fault in caught.value.faults if fault.line == number + 1]
    assert any(fault.key == key or key in fault.table for fault in told), str(caught.value)
