"""Whatever is put into a document, the answer is an answer or a problem, never a failure."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

from flask import Flask
from hypothesis import given, settings
from hypothesis import strategies as st

import xjdf_documents
from intent_samples import AS_OF, LEAFLET, PTK, XJDF

DOCUMENTS = [LEAFLET, xjdf_documents.BOOK]
WORDS = ["", "XJDF", "Product", "Front", "Black", "Gloss", "Paper", "F6-4", "DeliveryParams", "P1"]
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-5, 12)
    | st.sampled_from([0.0, 0.5, 1e-9, 1e9, 10**12, 10**40, -1.5, 297.64, 841.89])
    | st.sampled_from(WORDS)
    | st.text(max_size=3),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["ID", "Name", "Amount", "Text", "x:y"]), inner)
    ),
    max_leaves=4,
)


def places(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every member and item."""
    steps = value.items() if isinstance(value, dict) else enumerate(value)
    for step, inner in steps:
        yield (*way, step)
        if isinstance(inner, dict | list):
            yield from places(inner, (*way, step))


@st.composite
def changed(draw: st.DrawFn) -> dict[str, Any]:
    """A document with something else in some places, or one more member."""
    document = copy.deepcopy(draw(st.sampled_from(DOCUMENTS)))
    for _ in range(draw(st.integers(1, 3))):
        *way, last = draw(st.sampled_from(list(places(document))))
        place: Any = document
        for step in way:
            place = place[step]
        if isinstance(place, dict) and draw(st.booleans()):
            last = draw(st.sampled_from(["Comment", "ResourceSet", "Intent", "x:y", "MaxAmount"]))
        place[last] = draw(VALUES)
    return document


@given(
    changed(),
    st.sampled_from([("/estimate", XJDF), ("/estimate", PTK), ("/compare", PTK)]),
    st.sampled_from([{}, {"quantities": [700]}]),
)
@settings(max_examples=150)
def test_an_answer_or_every_fault(
    app: Flask, document: Any, asked: tuple[str, str], beside: dict[str, Any]
) -> None:
    client, (path, accept) = app.test_client(), asked
    body = {"xjdf": document, "as_of": AS_OF, **beside}
    response = client.post(path, json=body, headers={"Accept": accept})
    if response.status_code == 200:
        told = response.get_json(force=True)
        assert told["Name"] == ("XJDF" if accept == XJDF else "PrintTalk")
        assert client.post("/validate", json=body).status_code == 200
    else:
        assert response.status_code == 422, response.text
        errors = response.get_json()["errors"]
        assert errors
        members = ("#/xjdf", "#/quantities")
        assert all(each["pointer"].startswith(members) for each in errors), errors
        assert client.post("/validate", json=body).get_json()["errors"] == errors
