"""From request to job: units, named sizes, stocks, inks, defaults, and how a piece folds."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask

from shop import demo
from sidelay.http.asked import Asked, fingerprint, read_asked
from sidelay.http.folding import FoldMismatch, flat_piece
from sidelay.job import Ink, Part, Side


@pytest.fixture
def asked(app: Flask, flyer: dict[str, Any]) -> Any:
    """Read the flyer with some members of its part replaced."""

    def read(**members: Any) -> Asked:
        flyer["job"]["parts"][0].update(members)
        return read_asked(flyer, app.extensions["sidelay"])

    return read


@pytest.fixture
def part(asked: Any) -> Any:
    def read(**members: Any) -> Part:
        made: Part = asked(**members).job.parts[0]
        return made

    return read


def test_defaults(asked: Any) -> None:
    made = asked(name=None)
    part = made.job.parts[0]
    assert (part.name, part.kind, part.pages, part.folds) == ("part 1", "leaf", 2, 0)
    assert (part.bleed_mm, part.gutter_mm, part.ruling_lpi) == (3, 0, 150)
    assert (part.grain, part.variable_share) == ("any", 0)
    assert part.front.coverage == 0.2
    assert (made.job.quality, made.job.proof, made.job.uses) == ("commercial", "none", ())
    assert (made.processes, made.presses, made.detail) == ((), (), "price")
    assert (made.up_to, made.curves) == (1_000_000, False)


def test_every_figure_reaches_the_part(part: Any) -> None:
    figures = {
        "name": "card",
        "bleed_mm": 2,
        "gutter_mm": 5,
        "grain": "long",
        "ruling_lpi": 175,
        "variable_share": 0.5,
    }
    made = part(**figures)
    assert {name: getattr(made, name) for name in figures} == figures


@pytest.mark.parametrize(
    ("size", "width", "height"),
    [
        ("a6", 105, 148),
        ("A6", 105, 148),
        ("half letter", 139.7, 215.9),
        ({"width": 148, "height": 105}, 148, 105),
        ({"width": 5.5, "height": 8.5, "unit": "in"}, 139.7, 215.9),
        ({"width": 7.5, "height": 9.0, "unit": "mm"}, 7.5, 9.0),
    ],
)
def test_sizes(part: Any, size: Any, width: float, height: float) -> None:
    made = part(size=size)
    assert (made.width_mm, made.height_mm) == (width, height)
    assert (made.flat_width_mm, made.flat_height_mm) == (width, height)


@pytest.mark.parametrize(
    ("wish", "stock"),
    [
        ({"id": "board_300"}, "board_300"),
        ({"grade": "coated", "finish": "silk", "grammage_gsm": 135}, "silk_130"),
        ({"grade": "coated", "grammage_gsm": 115}, "gloss_115"),
        (
            {"grade": "coated", "finish": "dull", "basis_weight_lb": 100, "basis": "text"},
            "text_100lb",
        ),
        # 65 lb cover is 176 g/m2; the nearest uncoated stock is 170
        ({"grade": "uncoated", "basis_weight_lb": 65, "basis": "cover"}, "offset_170"),
    ],
)
def test_stocks(part: Any, wish: dict[str, Any], stock: str) -> None:
    assert part(stock=wish).stock == demo().stocks[stock]


def test_inks(part: Any) -> None:
    made = part(
        front={"inks": ["black", {"name": "copper", "kind": "metallic", "may_simulate": True}]},
        back={"inks": [], "coverage": 0.9},
    )
    assert made.front == Side((Ink("black"), Ink("copper", "metallic", may_simulate=True)), 0.2)
    assert made.back == Side()


def test_quantities_written_as_fractions_of_nothing_are_whole(asked: Any, flyer: Any) -> None:
    flyer["job"]["quantities"] = [500.0, 1e3]
    quantities = asked().job.quantities
    assert quantities == (500, 1000)
    assert all(type(quantity) is int for quantity in quantities)


def test_a_use_that_stands_twice_counts_once(asked: Any, flyer: Any) -> None:
    flyer["job"]["uses"] = ["outdoor", "food_contact", "outdoor"]
    assert asked().job.uses == ("outdoor", "food_contact")


def test_the_fingerprint_tells_jobs_apart_and_not_how_they_are_written() -> None:
    job = {"title": "é", "quantities": [1, 2], "parts": [{"b": 1, "a": 2}]}
    turned = {"parts": [{"a": 2, "b": 1}], "quantities": [1, 2], "title": "é"}
    assert fingerprint(job) == fingerprint(turned)
    assert fingerprint(job) != fingerprint(job | {"quantities": [2, 1]})
    # SHA-256 of {"a":1}, by another program
    assert fingerprint({"a": 1}) == "015abd7f5cc57a2d"


FLAT = [
    # finished, flat size, pages, folds -> flat width, flat height, pages
    ((105, 148), None, None, 0, (105, 148, 2)),
    ((148, 210), None, 4, 1, (296, 210, 4)),
    ((99, 210), None, 6, 2, (297, 210, 6)),
    ((100, 210), None, 8, 2, (400, 210, 8)),
    ((100, 210), None, 8, 3, (400, 210, 8)),
    ((99, 210), (297, 210), None, 2, (297, 210, 6)),
    ((99, 210), (210, 297), None, 2, (210, 297, 6)),
    ((148, 210), (297, 210), 4, 1, (297, 210, 4)),
    # the panel that tucks in is shorter: 99 + 99 + 97
    ((99, 210), (295, 210), None, 2, (295, 210, 6)),
    # two folds that cross
    ((105, 148), (210, 297), None, 2, (210, 297, 8)),
    ((105, 148), (148, 105), None, 0, (148, 105, 2)),
    # half a millimetre is trimming, not folding
    ((105, 148), (105.5, 148), None, 0, (105.5, 148, 2)),
]


@pytest.mark.parametrize(("size", "flat_size", "pages", "folds", "expected"), FLAT)
def test_what_folds(
    size: Any, flat_size: Any, pages: Any, folds: int, expected: tuple[float, float, int]
) -> None:
    assert flat_piece(size, flat_size, pages, folds) == (*expected, folds)


MISMATCHES = [
    ((105, 148), None, 2, 1, "folds"),
    ((148, 210), None, 4, 0, "folds"),
    ((99, 210), None, 6, 1, "folds"),  # three panels need two folds
    ((99, 210), None, 6, 3, "folds"),  # three folds make four panels at least
    ((99, 210), None, 10, 2, "folds"),
    ((210, 297), (209, 297), None, 1, "flat_size"),
    ((100, 400), (300, 300), None, 2, "flat_size"),  # large enough, but not long enough
    ((105, 148), (105, 148), None, 1, "folds"),
    ((105, 148), (210, 148), None, 0, "folds"),
    ((105, 148), (210, 297), None, 1, "folds"),
    ((99, 210), (297, 210), 4, 2, "pages"),
    ((99, 210), (297, 210), 8, 2, "pages"),
]


@pytest.mark.parametrize(("size", "flat_size", "pages", "folds", "member"), MISMATCHES)
def test_what_does_not_fold(size: Any, flat_size: Any, pages: Any, folds: int, member: str) -> None:
    with pytest.raises(FoldMismatch) as found:
        flat_piece(size, flat_size, pages, folds)
    assert found.value.member == member
