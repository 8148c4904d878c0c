"""Reading and writing documents of product intent, whatever is in them."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import shop
from sidelay.http.faults import Fault, Faults, InvalidRequest, Path
from sidelay.http.job_reader import read_job
from sidelay.http.schemas.request import load_request
from sidelay.http.xjdf import ProductRead, in_document, read_product, write_product
from xjdf_documents import DOCUMENTS, Document, changed, paths

PROCESSES = shop.processes().about
PLANT = shop.demo()
STOCKS = PLANT.stocks
JUNK: tuple[Any, ...] = (
    0,
    -1,
    2,
    1.5,
    1e300,
    10**90,
    True,
    False,
    "",
    "x",
    "280.63",
    "F4-1",
    [],
    [0],
    ["Cyan", 1],
    {},
    {"Name": "x"},
    [{}],
    [[]],
)
# What holds a document together: the mark and the ID of the only product, and a delivery that says
# of amount and product what is said before. Wrong ones are faults, or told.
STRUCTURE = {"ID", "IsRoot", "DropItem"}
PLACES = [(name, path) for name, source in DOCUMENTS.items() for path in paths(source)]


def read(source: Document) -> ProductRead:
    """Read a document for the demo plant."""
    return read_product(source, PROCESSES, STOCKS)


def outcome(source: Document) -> Any:
    """What comes of a document: body and warnings, or faults."""
    try:
        found = read(source)
    except InvalidRequest as refused:
        return [(fault.pointer, fault.code) for fault in refused.faults]
    return found.body, found.warnings


def stands(source: Any, path: Path) -> bool:
    """Whether a path leads to something in a document, or beside what is there."""
    for step in path:
        if isinstance(source, dict):
            if step not in source:
                return True  # a member that is missing
            source = source[step]
        elif isinstance(source, list) and isinstance(step, int) and step < len(source):
            source = source[step]
        else:
            return False
    return True


def faults_of(body: dict[str, Any]) -> list[Fault]:
    """The faults of a body as a request to the demo plant."""
    data, found = load_request(body)
    try:
        read_job(data, PLANT, Faults(found))
    except InvalidRequest as refused:
        return refused.faults
    return []


def read_or_faults(source: Document) -> tuple[ProductRead | None, list[Fault]]:
    """What a document is read as, or its faults."""
    try:
        return read(source), []
    except InvalidRequest as refused:
        return None, refused.faults


def check(source: Document) -> None:
    """A document is read or refused, and everything told of it points into it."""
    before = copy.deepcopy(source)
    found, faults = read_or_faults(source)
    assert source == before
    assert all(stands(source, fault.path) for fault in faults)
    if found is None:
        assert faults
        return
    assert all(stands(source, warning.path) for warning in found.warnings)
    assert all(stands(source, path) for path in found.origins.values())
    for fault in faults_of(found.body):
        told = in_document(fault, found.origins)
        assert told.path[0] not in found.body, fault
        assert stands(source, told.path)


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_document_with_one_member_gone_is_read_or_refused(name: str) -> None:
    for path in paths(DOCUMENTS[name]):
        check(changed(DOCUMENTS[name], path, None))


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_document_with_junk_for_one_member_is_read_or_refused(name: str) -> None:
    for path in paths(DOCUMENTS[name]):
        for junk in JUNK:
            check(changed(DOCUMENTS[name], path, junk))


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_document_with_one_member_nested_or_renamed_is_read_or_refused(name: str) -> None:
    source = DOCUMENTS[name]
    for path in paths(source):
        value: Any = source
        for step in path:
            value = value[step]
        check(changed(source, path, [value]))
        check(changed(source, path, {"Name": value}))
        if isinstance(path[-1], str):
            check(changed(changed(source, path, None), (*path[:-1], f"x:{path[-1]}"), value))


@given(st.lists(st.tuples(st.sampled_from(PLACES), st.sampled_from((None, *JUNK))), min_size=2,
                max_size=4))  # fmt: skip
def test_a_document_with_much_junk_is_read_or_refused(
    changes: list[tuple[tuple[str, Path], Any]],
) -> None:
    source = DOCUMENTS[changes[0][0][0]]
    for (_, path), junk in changes:
        if len(path) and all(stands(source, path[:n]) for n in range(1, len(path) + 1)):
            try:
                source = changed(source, path, junk)
            except (KeyError, IndexError, TypeError):
                continue
    check(source)


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_member_is_told_of_or_changes_what_comes_of_it(name: str) -> None:
    source = DOCUMENTS[name]
    plain = outcome(source)
    warnings = read(source).warnings
    told = {warning.path for warning in warnings}
    ignored = {warning.path for warning in warnings if warning.code == "ignored"}
    without: list[Path] = []
    for path in paths(source):
        if path in told or any(path[:length] in ignored for length in range(len(path))):
            continue
        if all(outcome(changed(source, path, other)) == plain for other in others(source, path)):
            without.append(path)
    assert [path for path in without if not STRUCTURE & set(path)] == []


def others(source: Document, path: Path) -> list[Any]:
    """Other values of the same kind for a member, and none."""
    value: Any = source
    for step in path:
        value = value[step]
    if isinstance(value, bool):
        return [None, not value]
    if isinstance(value, int | float):
        return [None, value + 1, value / 2]
    return [None, f"{value}x"] if isinstance(value, str) else [None]


@pytest.mark.parametrize("name", DOCUMENTS)
def test_foreign_members_are_told_one_by_one(name: str) -> None:
    source = DOCUMENTS[name]
    places = [path for path in [(), *paths(source)] if path == () or isinstance(path[-1], int)]
    for path in places:
        copied = copy.deepcopy(source)
        place: Any = copied
        for step in path:
            place = place[step]
        if not isinstance(place, dict):
            continue
        place["acme:Extra"] = {"deep": [1]}
        told = {warning.path for warning in read(copied).warnings}
        inside = range(len(path) + 1)
        assert (*path, "acme:Extra") in told or any(path[:n] in told for n in inside), path
        assert read(copied).body == read(source).body


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_document_is_the_same_when_it_has_been_read_and_written(name: str) -> None:
    body = read(DOCUMENTS[name]).body
    written, _ = write_product(body, PROCESSES, STOCKS)
    again = read(written).body
    assert write_product(again, PROCESSES, STOCKS)[0] == written
    assert load_request(again)[1] == []
