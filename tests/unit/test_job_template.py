"""Putting values into a job by JSON Pointer."""

from __future__ import annotations

import pytest

from sidelay.job_template import NoSuchPlace, job_of, put, steps_of
from sidelay.products import ChoiceOption, NumberOption, Product, Value

NAME = {"en": "x"}


def test_the_pointers_of_rfc_6901_section_5_lead_where_it_says():
    """The example document of the RFC, every pointer that leads inside it."""
    document = {
        "foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\j": 5,
        'k"l': 6, " ": 7, "m~n": 8,
    }  # fmt: skip
    leads = {
        "/foo": "foo", "/": "", "/a~1b": "a/b", "/c%d": "c%d", "/e^f": "e^f", "/g|h": "g|h",
        "/i\\j": "i\\j", '/k"l': 'k"l', "/ ": " ", "/m~0n": "m~n",
    }  # fmt: skip
    for pointer, name in leads.items():
        assert steps_of(pointer) == [name]
        put(document, pointer, "new")
        assert document[name] == "new"
    document["foo"] = ["bar", "baz"]
    put(document, "/foo/0", "new")
    assert document["foo"] == ["new", "baz"]


def test_tilde_one_is_read_before_tilde_nought():
    """RFC 6901, section 4: "~01" is "~1" and not "/"."""
    assert steps_of("/~01") == ["~1"]


def test_a_dash_appends():
    """RFC 6901, section 4: "-" is the item after the last."""
    document = {"list": [1]}
    put(document, "/list/-", 2)
    put(document, "/list/-", 3)
    assert document == {"list": [1, 2, 3]}


@pytest.mark.parametrize(
    "pointer", ["", "foo", "/none/x", "/list/2", "/list/01x", "/list/-/x", "/word/x", "/list/-1"]
)
def test_a_pointer_that_leads_nowhere_is_refused(pointer):
    document = {"list": [1, 2], "word": "w"}
    with pytest.raises(NoSuchPlace):
        put(document, pointer, 9)
    assert document == {"list": [1, 2], "word": "w"}


def test_choices_are_put_in_the_order_of_the_options_and_leave_the_product_as_it_is():
    film = {"operation": "laminate"}
    values = (
        Value("none", NAME, {}, {}),
        Value("film", NAME, {"/parts/0/operations/-": film, "/rush": True}, {}),
    )
    options = (
        ChoiceOption("film", NAME, values, "none"),
        ChoiceOption("again", NAME, values, "none"),
        NumberOption("pages", NAME, "", 8, 64, 4, 16, ("/parts/0/pages",)),
    )
    template = {"title": "t", "parts": [{"operations": []}]}
    product = Product("p", "demo", NAME, NAME, options, (), (10,), True, template)

    job = job_of(product, {"film": "film", "again": "film", "pages": 24}, (5, 10))

    assert job == {
        "title": "t",
        "quantities": [5, 10],
        "rush": True,
        "parts": [{"operations": [film, film], "pages": 24}],
    }
    job["parts"][0]["operations"][0]["operation"] = "changed"
    assert template == {"title": "t", "parts": [{"operations": []}]}
    assert film == {"operation": "laminate"}
