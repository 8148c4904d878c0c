"""A plant file to start from: it loads, has no warnings, and prices a leaflet at once."""

from __future__ import annotations

import re
import tomllib
from argparse import Namespace
from dataclasses import dataclass

import pytest

from shop import CLOCK, answer, processes
from sidelay import cli
from sidelay.plant_file import read_plant
from sidelay.plant_tools.check import run
from sidelay.plant_tools.new import PIECES, CannotStart, starter
from sidelay.plugin import PressBase, PressSchema, figure
from sidelay.toml_lines import line_numbers
from stencil import stencil

BUNDLED = tuple(processes().about)
LEAFLET = {
    "quantities": [250, 5000],
    "parts": [
        {
            "size": "a5",
            "stock": {"grade": "coated", "finish": "silk", "grammage_gsm": 150},
            "front": {"inks": ["cyan", "magenta", "yellow", "black"], "coverage": 0.25},
            "back": {"inks": ["black"]},
        }
    ],
}


def new(path, *more: str) -> int:
    return cli.main(["plant", "new", str(path), "--id", "own", "--currency", "EUR", *more])


def strictly(path) -> int:
    asked = Namespace(file=path, strict=True)
    return run(asked, clock=lambda: float(CLOCK))


def test_the_file_as_it_comes_has_a_litho_and_a_toner_press_and_prices_a_leaflet(tmp_path, capsys):
    path = tmp_path / "own.toml"
    assert new(path) == 0
    assert f"sidelay plant check {path}" in capsys.readouterr().out
    assert strictly(path) == 0
    plant = read_plant(path, processes())
    assert [each.process for each in plant.presses] == ["sheetfed_litho", "toner"]
    assert (plant.id, plant.currency) == ("own", "EUR")
    few, many = answer(plant, **LEAFLET)["estimates"]
    assert (few["process"], many["process"]) == ("toner", "sheetfed_litho")
    assert 0 < float(few["price"]["net"]) < float(many["price"]["net"])


@pytest.mark.parametrize("process", BUNDLED)
def test_each_bundled_process_starts_without_fault_or_warning(process, tmp_path, capsys):
    path = tmp_path / "own.toml"
    assert new(path, "--with", process) == 0
    assert strictly(path) == 0, capsys.readouterr()
    assert [each.process for each in read_plant(path, processes()).presses] == [process]


def test_all_processes_stand_together(tmp_path, capsys):
    path = tmp_path / "own.toml"
    assert new(path, "--with", ", ".join([*BUNDLED, BUNDLED[0]])) == 0
    assert strictly(path) == 0, capsys.readouterr()
    found = read_plant(path, processes())
    assert sorted(each.process for each in found.presses) == sorted(BUNDLED)


@pytest.mark.parametrize("process", BUNDLED)
def test_each_figure_has_a_comment_on_its_line_or_above(process):
    text = starter("own", "EUR", [process], processes())
    lines = text.split("\n")
    bare = [
        lines[line - 1]
        for path, line in line_numbers(text).items()
        if re.match(r"[a-z_0-9]+ = (-?[\d.]+$|\[\[[^#]*$)", lines[line - 1])
        and not lines[line - 2].startswith("#")
        and isinstance(path[-1], str)
    ]
    assert bare == []
    assert "sidelay plant check" in text
    assert "SIDELAY_PLANTS" in text
    assert "SIDELAY_ACCESS" in text
    assert max(map(len, lines)) <= 104


def test_other_currencies_can_be_used(tmp_path):
    path = tmp_path / "own.toml"
    path.write_text(starter("own", "JPY", ["toner"], processes()))
    assert read_plant(path, processes()).digits == 0
    assert strictly(path) == 0


def test_nothing_is_overwritten(tmp_path, capsys):
    path = tmp_path / "own.toml"
    path.write_text("mine")
    assert new(path) == 1
    assert path.read_text() == "mine"
    assert "is there already" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--id", "Own Shop"), "'Own Shop' cannot be an id"),
        (("--currency", "EURO"), "'EURO' is not an ISO 4217 currency code"),
        (("--with", "tonner"), "Did you mean toner?"),
        (("--with", " , "), "expected a process at least"),
    ],
)
def test_what_cannot_be_is_refused(arguments, told, tmp_path, capsys):
    path = tmp_path / "own.toml"
    assert new(path, *arguments) == 1
    assert told in capsys.readouterr().err
    assert not path.exists()


def test_only_the_name_of_a_plant_file_will_do(tmp_path, capsys):
    assert new(tmp_path / "own.txt") == 1
    assert new(tmp_path / "own.products.toml") == 1
    assert "NAME.toml" in capsys.readouterr().err
    assert new(tmp_path / "none" / "own.toml") == 2
    assert "cannot be written" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_of_a_plug_in_of_anothers_it_is_said_what_is_missing():
    @dataclass(frozen=True, kw_only=True)
    class StencilPress(PressBase):
        copies_per_minute: float
        drum_price: float

    class StencilSchema(PressSchema):
        copies_per_minute = figure("/min", 1, 200, "copies a minute at best")
        drum_price = figure("{currency}", 0, 500, "a drum", default=40, source="from memory")
        press_class = StencilPress

    with pytest.raises(CannotStart) as refused:
        starter("own", "EUR", ["stencil"], stencil(StencilSchema))
    told = str(refused.value)
    assert "copies_per_minute: a number from 1 to 200 /min. copies a minute at best" in told
    assert "cost_centre: a text in quotes" in told
    assert "drum_price" not in told


def test_every_bundled_process_has_its_pieces():
    needs = tomllib.loads((PIECES / "parts.toml").read_text())
    assert set(needs) == set(BUNDLED)
    wanted = {"parts", "shop", *needs, *(name for names in needs.values() for name in names)}
    assert {piece.stem for piece in PIECES.glob("*.toml")} == wanted
