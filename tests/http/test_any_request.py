"""Whatever is put into a request, the answer is an answer or a problem, never a failure."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

from flask import Flask
from hypothesis import given, settings
from hypothesis import strategies as st

from shop import demo

FULL = {
    "job": {
        "title": "t",
        "quantities": [10, 2000],
        "parts": [
            {
                "name": "p",
                "kind": "leaf",
                "size": {"width": 100, "height": 150, "unit": "mm"},
                "flat_size": {"width": 200, "height": 150},
                "pages": 4,
                "folds": 1,
                "bleed_mm": 2,
                "gutter_mm": 0,
                "stock": {"grade": "coated", "finish": "silk", "grammage_gsm": 150},
                "grain": "any",
                "front": {"inks": ["black", {"name": "red", "kind": "spot"}], "coverage": 0.5},
                "back": {"inks": ["cyan"]},
                "ruling_lpi": 120,
                "variable_share": 0,
            }
        ],
        "quality": "office",
        "proof": "press",
        "uses": ["outdoor"],
        "due_at": "2026-12-01T12:00:00+00:00",
        "approval_days": 1.5,
        "dispatch": "deliver",
        "drying_aid": True,
    },
    "as_of": "2026-11-20T09:00:00Z",
    "queue": [
        {"machine": "guillotine", "busy_until": "2026-11-20T12:00:00+00:00"},
        {"machine": "toner_colour_a3", "hours_ahead": 3},
    ],
    "overtime": True,
    "plant": "demo",
    "processes": ["toner", "sheetfed_litho"],
    "presses": [],
    "detail": "trace",
    "up_to": 5000,
    "curves": True,
}


def places(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every member and item."""
    steps = value.items() if isinstance(value, dict) else enumerate(value)
    for step, inner in steps:
        yield (*way, step)
        if isinstance(inner, dict | list):
            yield from places(inner, (*way, step))


WAYS = list(places(FULL))
MOMENTS = ["2026-11-30T08:00:00Z", "2026-11-30T08:00", "9999-12-31T23:59:59-23:59"]
WORDS = ["", "a4", "a6", "dl", "black", "letter", "id", "silk_130", "coated", "in", "none", "fine"]
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-5, 12)
    | st.sampled_from([0.0, 0.5, 1e-9, 1e9, 10**12, 10**40, -1.5, 296, 420])
    | st.sampled_from(WORDS + MOMENTS)
    | st.text(max_size=3),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["id", "inks", "width", "height", "name", "x"]), inner)
    ),
    max_leaves=4,
)
CHANGES = st.lists(st.tuples(st.sampled_from(WAYS), VALUES), min_size=1, max_size=4)


def changed(changes: list[tuple[tuple[Any, ...], Any]]) -> dict[str, Any]:
    """FULL with some values replaced; a place that an earlier change took away is passed over."""
    body: Any = copy.deepcopy(FULL)
    for (*way, last), value in changes:
        place = body
        for step in way:
            place = place[step] if leads(place, step) else None
        if leads(place, last):
            place[last] = value
    return body


def leads(place: Any, step: str | int) -> bool:
    if isinstance(place, list):
        return isinstance(step, int) and step < len(place)
    return isinstance(place, dict) and step in place


@given(CHANGES, st.sampled_from(["/estimate", "/compare"]))
@settings(max_examples=300)
def test_an_answer_or_every_fault(
    app: Flask, conforms: Callable[[str, Any], None], changes: Any, path: str
) -> None:
    client, body = app.test_client(), changed(changes)
    response = client.post(path, json=body)
    answer = response.get_json()
    if response.status_code == 200:
        conforms("Estimate" if path == "/estimate" else "Comparison", answer)
        assert client.post("/validate", json=body).status_code == 200
    else:
        assert response.status_code == 422, response.text
        conforms("Problem", answer)
        assert answer["errors"]
        again = client.post("/validate", json=body).get_json()
        assert again["errors"] == answer["errors"]


SIZES = st.sampled_from(["a4", "a5", "a6", "letter", "business_card", "sra2"]) | st.builds(
    lambda width, height: {"width": width, "height": height},
    st.integers(20, 700),
    st.floats(20, 900),
)
STOCKS = st.sampled_from(
    [{"id": stock} for stock in demo().stocks]
    + [
        {"id": "silk_350"},
        {"id": "board_300"},
        {"grade": "coated", "grammage_gsm": 115},
        {"grade": "uncoated", "finish": "offset", "grammage_gsm": 82.5},
        {"grade": "coated", "basis_weight_lb": 100, "basis": "text"},
    ]
)
INKS = st.lists(
    st.sampled_from(["cyan", "magenta", "yellow", "black"])
    | st.just({"name": "copper", "kind": "metallic"})
    | st.just({"name": "opaque", "kind": "white", "coverage": 0.9})
    | st.just({"name": "gloss", "kind": "varnish"})
    | st.just({"name": "neon", "kind": "fluorescent"})
    | st.just({"name": "green", "kind": "spot", "may_simulate": True}),
    min_size=1,
    max_size=5,
    unique_by=lambda ink: ink if isinstance(ink, str) else ink["name"],
)
SIDES = st.fixed_dictionaries(
    {"inks": INKS}, optional={"coverage": st.floats(0, 1), "heaviest_pct": st.just(1600)}
)
KINDS = st.sampled_from(
    [{}, {"kind": "label"}, {"kind": "web", "pieces_per_reel": 700}, {"kind": "piece"}]
    + [{"kind": "section", "pages": pages} for pages in (4, 8, 12, 16, 24, 48, 128)]
)
PARTS = st.fixed_dictionaries(
    {"size": SIZES, "stock": STOCKS, "front": SIDES},
    optional={
        "impression": st.sampled_from(["flat", "deep"]),
        "min_type_pt": st.floats(1, 12),
        "min_reverse_type_pt": st.floats(1, 12),
        "min_line_pt": st.floats(0.05, 3),
        "tone_steps": st.integers(2, 300),
        "register_mm": st.floats(0.01, 2),
        "kept_carriers": st.lists(
            st.sampled_from(["flexo_ci:one_side:4x1:380:1x1", "litho_b1_five:sheetwise:8up:1x1"]),
            max_size=2,
        ),
        "back": SIDES,
        "bleed_mm": st.floats(0, 20),
        "gutter_mm": st.floats(0, 50),
        "grain": st.sampled_from(["any", "long", "short"]),
        "ruling_lpi": st.integers(0, 400),
        "variable_share": st.sampled_from([0, 0, 0.1, 1]),
    },
)
JOBS = st.fixed_dictionaries(
    {
        "quantities": st.lists(st.integers(1, 100_000_000), min_size=1, max_size=4),
        "parts": st.tuples(PARTS, KINDS).map(lambda both: [both[0] | both[1]]),
    },
    optional={
        "quality": st.sampled_from(["draft", "office", "commercial", "fine"]),
        "proof": st.sampled_from(["none", "soft", "contract", "press"]),
        "uses": st.lists(st.sampled_from(["food_contact", "outdoor", "delicate"]), max_size=3),
        "previous": st.lists(
            st.fixed_dictionaries(
                {
                    "press": st.sampled_from([each.press.id for each in demo().presses]),
                    "inks": st.lists(st.sampled_from(["cyan", "black"]), unique=True),
                    "stock": st.sampled_from(list(demo().stocks)),
                }
            ),
            max_size=3,
            unique_by=lambda each: each["press"],
        ),
    },
)


@given(JOBS, st.integers(1, 20_000))
@settings(max_examples=400)
def test_a_sound_job_is_priced_and_adds_up(
    app: Flask, conforms: Callable[[str, Any], None], job: Any, up_to: int
) -> None:
    body = {"job": job, "detail": "lines", "up_to": up_to}
    conforms("Request", body)
    response = app.test_client().post("/compare", json=body)
    assert response.status_code == 200, response.text
    answer = response.get_json()
    conforms("Comparison", answer)
    assert answer["unavailable"] == []
    assert [q["quantity"] for q in answer["quantities"]] == job["quantities"]
    presses = {press["press"] for press in answer["excluded"]}
    for quantity in answer["quantities"]:
        for choice in quantity["choices"]:
            lines = [Decimal(line["cost"]) for line in choice["parts"][0]["lines"]]
            assert sum(lines) == Decimal(choice["cost"]["total"])
        assert presses.isdisjoint(choice["press"] for choice in quantity["choices"])
        assert len(presses) + len(quantity["choices"]) == len(demo().presses)


@given(CHANGES)
@settings(max_examples=300)
def test_what_is_taken_is_what_is_published(
    app: Flask, conforms: Callable[[str, Any], None], changes: Any
) -> None:
    """A request that is met conforms to the published schema, but for nulls that mean absent."""
    body = changed(changes)
    if app.test_client().post("/validate", json=body).status_code == 200:
        conforms("Request", without_nulls(body))


def without_nulls(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: without_nulls(v) for k, v in value.items() if v is not None}
    return [without_nulls(v) for v in value] if isinstance(value, list) else value
