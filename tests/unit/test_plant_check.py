"""`sidelay plant check` through the command line: faults, warnings, and what cannot be checked."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

import pytest

from shop import CLOCK, processes
from sidelay import cli
from sidelay.config import PACKAGED_PLANTS
from sidelay.plant_tools.check import run
from sidelay.plant_tools.new import starter

SHOP = starter("own", "EUR", ["toner"], processes())
# A product on a stock that is not there.
CATALOGUE = """
[catalogue]
languages = ["en"]

[[products]]
id = "card"
name = { en = "Cards" }
about = { en = "Cards." }
ladder = [100]
[products.job]
[[products.job.parts]]
size = "a6"
front = { inks = ["black"] }
[[products.options]]
id = "stock"
name = { en = "Paper" }
values = [
  { id = "gone", name = { en = "Gone" }, put = { "/parts/0/stock" = { id = "gone" } } },
]
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "own.toml").write_text(SHOP)
    return tmp_path


def check(path: Path, *, strict: bool = False) -> int:
    return run(Namespace(file=path, strict=strict), clock=lambda: float(CLOCK))


def test_the_demo_plant_has_neither_fault_nor_warning(capsys):
    assert check(PACKAGED_PLANTS, strict=True) == 0
    out, err = capsys.readouterr()
    assert ": no fault, no warnings; 6 products" in out
    assert err == ""


def test_warnings_are_told_on_the_output_and_are_faults_only_where_that_is_asked(folder, capsys):
    path = folder / "own.toml"
    path.write_text(SHOP.replace("time_markup = 0.25", "time_markup = 4"))
    assert cli.main(["plant", "check", str(path)]) == 0
    out, err = capsys.readouterr()
    line = SHOP[: SHOP.index("time_markup")].count("\n") + 1
    assert f"warning: own.toml:{line}: [price_policy] time_markup: 4 is unlikely; usual is" in out
    assert "no fault, 1 warning; no products" in out
    assert err == ""
    assert cli.main(["plant", "check", str(path), "--strict"]) == 1


def test_faults_are_told_on_the_standard_error_with_their_number(folder, capsys):
    path = folder / "own.toml"
    path.write_text(SHOP.replace("lift_mm", "lift_m").replace("click_mono", "clik_mono"))
    assert cli.main(["plant", "check", str(path)]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert "lift_m: Unknown field. Did you mean lift_mm?" in err
    assert "clik_mono_price: Unknown field. Did you mean click_mono_price?" in err
    assert err.splitlines()[-1] == "3 faults"


def test_faults_of_a_plant_hide_none_of_other_files_nor_of_its_catalogue(folder, capsys):
    (folder / "own.toml").write_text(SHOP.replace("lift_mm = 80", "lift_mm = 0"))
    (folder / "own.products.toml").write_text(CATALOGUE.replace("ladder", "lader"))
    (folder / "two.toml").write_text(SHOP.replace('id = "own"', 'id = "two"'))
    (folder / "two.products.toml").write_text(CATALOGUE)
    assert check(folder) == 1
    lines = capsys.readouterr().err.splitlines()
    line = CATALOGUE[: CATALOGUE.index('{ id = "gone"')].count("\n") + 1
    assert any(each.startswith("own.toml:") and "lift_mm" in each for each in lines)
    assert any(each.startswith("own.products.toml:9: [products[0]] lader") for each in lines)
    assert any(each.startswith(f"two.products.toml:{line}: [products (card)") for each in lines)
    assert len(lines) == len(set(lines))
    assert lines[-1] == f"{len(lines) - 1} faults"


def test_what_two_files_say_twice_is_told_with_its_line(folder, capsys):
    (folder / "two.toml").write_text(SHOP)
    assert check(folder) == 1
    line = SHOP[: SHOP.index('id = "own"')].count("\n") + 1
    told = capsys.readouterr().err
    assert f"two.toml:{line}: [plant] id: 'own' is taken. Give it another id: own.toml" in told
    (folder / "two.toml").write_text(SHOP.replace('"own"', '"two"'))
    sold = CATALOGUE.replace('"gone" }', '"silk_150" }')
    (folder / "own.products.toml").write_text(sold)
    (folder / "two.products.toml").write_text(sold)
    assert check(folder) == 1
    told = capsys.readouterr().err
    assert "two.products.toml:6: [products (card)] id: 'card' is sold by plant 'own' too" in told


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("none.toml", "none.toml is not there."),
        ("own.products.toml", "own.products.toml is a catalogue: check its plant file, own.toml."),
    ],
)
def test_what_is_no_plant_file_is_said_so(name, told, folder, capsys):
    (folder / "own.products.toml").write_text(CATALOGUE)
    assert cli.main(["plant", "check", str(folder / name)]) == 2
    assert told in capsys.readouterr().err


def test_a_folder_without_plants_is_refused(tmp_path, capsys):
    assert check(tmp_path) == 1
    assert "no plant file (*.toml) in this folder" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("[plant]\nname = 'Caf\u00e9'".encode("latin-1"), "own.toml:2: not TOML: byte 0xe9"),
        (SHOP[: SHOP.index("rate_per_hour") + 10].encode(), "not TOML: "),
        (b"", "own.toml: plant: Missing data for required field. Add plant, a table."),
        (b"\x00\xff", "own.toml:1: not TOML"),
    ],
)
def test_what_is_half_written_or_of_another_encoding_is_refused(content, told, folder, capsys):
    (folder / "own.toml").write_bytes(content)
    assert check(folder / "own.toml") == 1
    err = capsys.readouterr().err
    assert told in err
    assert "Traceback" not in err


def test_a_folder_called_like_a_plant_file_is_refused(folder, capsys):
    (folder / "two.toml").mkdir()
    assert check(folder) == 1
    assert "two.toml: cannot be read: Is a directory" in capsys.readouterr().err
