"""Each fault of a plant file says what to do, and faults of all its tables are told together."""

import pytest

from plant_faults import refused
from shop import DEMO_FILE, demo, demo_text, processes
from sidelay.catalogue_file import catalogue_path, read_catalogue
from sidelay.plant_file import read_plant
from sidelay.toml_file import PlantFault, PlantFileError

SHOP = demo_text("sheetfed_litho", "toner")


def faults(tmp_path, *changes):
    return refused(tmp_path, SHOP, *changes).faults


@pytest.mark.parametrize(
    ("old", "new", "fix"),
    [
        ("\ngrammage_gsm = ", "\ngramage_gsm = ", "Did you mean grammage_gsm?"),
        (
            "\ngrammage_gsm = ",
            "\ngramage_gsm = ",
            "Add grammage_gsm, a number from 10 to 2,000 g/m2: mass of a square metre.",
        ),
        (
            "[plant]\n",
            "[plant]\nowner = 1\n",
            "Leave it out: here stand id, name, currency, stock_tolerance.",
        ),
        (
            "units = 2",
            "units = 99",
            "units is a whole number from 1 to 12: printing units, one ink each.",
        ),
        ('grain = "long"', 'grain = "lang"', "Did you mean long?"),
        ('grain = "long"', 'grain = "x"', "grain is one of long, short: the side that the machine "
         "direction runs along."),
        ("scores = true", "scores = 1", "scores is true or false: whether it clears the need to "
         "score before folding."),
        ('cost_centre = "cutting"', 'cost_centre = "cuting"', "Did you mean cutting?"),
        (
            'cost_centre = "cutting"',
            'cost_centre = "xyz"',
            "Name one of them, or add a [[cost_centres]] of this id.",
        ),
        ('process = "toner"', 'process = "tonner"', "Did you mean toner?"),
        ('process = "toner"', "process = 7", "Name one of them, or install its plug-in."),
        ("max_width_mm = 520", "max_widht_mm = 520", "Did you mean max_width_mm?"),
        ('id = "silk_150"', 'id = "silk_130"', "Give one of them another id."),
    ],
)  # fmt: skip
def test_a_fault_says_what_to_do(tmp_path, old, new, fix):
    assert fix in [fault.fix for fault in faults(tmp_path, (old, new))]


def test_faults_of_stocks_presses_references_and_machines_come_in_one_go(tmp_path):
    found = faults(
        tmp_path,
        ("grammage_gsm = 130", 'grammage_gsm = "130"'),
        ("units = 2", "units = 0"),
        ('cost_centre = "folding"', 'cost_centre = "folds"'),
        ('id = "paper_drill"', 'id = "guillotine"'),
        ('id = "coil_winder"', 'id = "wire_closer"'),
    )
    assert {(fault.table, fault.key) for fault in found} >= {
        ("stocks[0]", "grammage_gsm"),
        ("presses[0]", "units"),
        ("finishing.folder", "cost_centre"),
        ("operations", "id"),
        ("binders", "id"),
    }
    lines = [fault.line for fault in found]
    assert lines == sorted(lines)
    text = (tmp_path / "shop.toml").read_text().split("\n")
    assert text[found[0].line - 1] == 'cost_centre = "folds"'


def test_the_second_of_two_alike_is_the_one_told(tmp_path):
    [fault] = faults(tmp_path, ('id = "coil_winder"', 'id = "wire_closer"'))
    text = (tmp_path / "shop.toml").read_text().split("\n")
    assert text[fault.line - 1] == 'id = "wire_closer"'
    assert 'id = "wire_closer"' in text[: fault.line - 1]


def test_tables_of_the_wrong_kind_leave_the_others_read(tmp_path):
    path = tmp_path / "shop.toml"
    path.write_text(
        'presses = [7, { process = "toner" }]\nstocks = "none"\ntime = 3\ncost_centres = {}\n'
        "[finishing]\nfolder = 1\n[proofs]\nsoft = []\n[[operations]]\nid = 4\n[[binders]]\n"
    )
    with pytest.raises(PlantFileError) as caught:
        read_plant(path, processes())
    told = {(fault.table, fault.key, fault.line) for fault in caught.value.faults}
    assert ("", "stocks", 2) in told
    assert ("presses", "[0]", 1) in told or ("", "presses[0]", 1) in told
    assert ("presses[1]", "id", 1) in told
    assert ("finishing", "folder", 6) in told
    assert ("operations[0]", "id", 10) in told


@pytest.mark.parametrize(
    ("content", "line", "told"),
    [
        (b"[plant]\nid = 'x'\nname = \n", 3, "Invalid value"),
        (b"[plant]\nid = 'x'\nname = 'half", 3, "Is the end of the file missing?"),
        (b"[plant]\nid = 'x'\nname = \"\"\"half\n\n", 3, "Is the end of the file missing?"),
        ("[plant]\nname = 'Caf\u00e9'".encode("latin-1"), 2, "byte 0xe9 is not UTF-8"),
        ("[plant]\nname = 'Caf\u00e9'".encode("latin-1"), 2, "Save the file in the encoding UTF-8"),
        (b"\xef\xbb\xbf[plant]\n", 1, "byte order mark"),
        (b"x = " + b"[" * 20_000, None, "nested too deeply"),
    ],
)
def test_what_is_no_toml_is_told_with_its_line(tmp_path, content, line, told):
    path = tmp_path / "shop.toml"
    path.write_bytes(content)
    with pytest.raises(PlantFileError) as caught:
        read_plant(path, processes())
    [fault] = caught.value.faults
    assert fault.line == line
    assert told in str(fault)


def test_a_fault_of_a_catalogue_has_its_line(tmp_path):
    path = tmp_path / "demo.products.toml"
    path.write_text(catalogue_path(DEMO_FILE).read_text().replace("ladder = ", "lader = ", 1))
    with pytest.raises(PlantFileError) as caught:
        read_catalogue(path, demo())
    at = path.read_text()[: path.read_text().index("lader = ")].count("\n") + 1
    assert (at, "Did you mean ladder?") in [(each.line, each.fix) for each in caught.value.faults]


def test_a_fault_says_what_it_knows():
    assert str(PlantFault("a.toml", "", "", "why")) == "a.toml: why"
    told = PlantFault("a.toml", "t", "k", "why.", 3, "Do so.")
    assert str(told) == "a.toml:3: [t] k: why. Do so."
