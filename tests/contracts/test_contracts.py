"""A client written for an earlier answer still reads today's, and its requests are still met.

Mend what is told here, or deprecate first; python tests/contracts/record.py records what was added.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from contracts import record
from contracts.compatibility import (
    ITEM,
    Way,
    broken_promises,
    kind_of,
    lost_in_answer,
    promises,
    shape_of,
    thinned,
)
from contracts.recorded import FOLDER, PROMISES, Asked, service, to_record
from published import own_answers
from sidelay.http.media_types import JSON, NDJSON
from sidelay.http.operations import OPERATIONS

RECORDED = {file.stem: json.loads(file.read_bytes()) for file in sorted(FOLDER.glob("*.json"))}
PROMISED = json.loads(PROMISES.read_bytes())
# Only of a quota that is used up, of a press whose plug-in failed, and of a service that has read
# its files again.
NOT_RECORDED = {"violated-policies", "retry_after_s", "reference", "at", "ok", "faults", "files"}
# Answers to take members from: one of each kind is enough, and the small ones are quick.
SAMPLES = ["estimate_due_trace", "price_flyer", "check_quote", "product_flyer", "validate_faults"]


@pytest.mark.parametrize("name", RECORDED)
def test_a_recorded_request_is_met_and_nothing_of_its_answer_is_lost(name: str) -> None:
    told = RECORDED[name]
    asked = Asked(name, **told["request"])
    assert lost_in_answer(told["answer"], record.kept_of(asked, asked.send(service()))) == []


def test_the_document_keeps_what_it_promised() -> None:
    assert broken_promises(PROMISED, promises(record.document())) == []


def test_each_operation_is_recorded() -> None:
    answered = {
        told["request"]["operation"]
        for told in RECORDED.values()
        if told["request"]["status"] == 200
    }
    told = promises(record.document())["operations"]
    assert len(told) == len(OPERATIONS)
    as_json = {JSON, NDJSON}
    assert answered == {each for each in told if as_json & set(told[each]["media_types"])}
    assert {asked.name for asked in to_record()} == RECORDED.keys()


def test_optional_members_are_recorded_too() -> None:
    """Each member that the document knows of answers alone stands in some recorded one.

    Of a member that is new: let recorded.py ask for it, and record.
    """
    met = {name for told in RECORDED.values() for way in shape_of(told["answer"]) for name in way}
    of_answers = own_answers(record.document()) - PROMISED["requests"].keys()
    known = {member for each in of_answers for member in PROMISED["answers"][each]}
    assert known - met == NOT_RECORDED


# ---------------------------------------------------------------- the checker itself


def ways() -> Iterator[tuple[str, Way]]:
    for name in SAMPLES:
        for way in shape_of(RECORDED[name]["answer"]):
            if way and way[-1] != ITEM:
                yield name, way


WAYS = list(ways())


def at_each(answer: Any, way: Way, change: Callable[[dict[str, Any], str], None]) -> Any:
    """An answer with one member changed wherever it stands."""
    answer = copy.deepcopy(answer)
    places = [answer]
    for step in way[:-1]:
        if step == ITEM:
            places = [inner for place in places if isinstance(place, list) for inner in place]
        else:
            places = [place[step] for place in places if isinstance(place, dict) and step in place]
    for place in places:
        if isinstance(place, dict) and way[-1] in place:
            change(place, way[-1])
    return answer


def remove(place: dict[str, Any], name: str) -> None:
    del place[name]


def rename(place: dict[str, Any], name: str) -> None:
    place[f"{name}_anew"] = place.pop(name)


def retype(place: dict[str, Any], name: str) -> None:
    """A list where there was none, else a number."""
    place[name] = 7 if kind_of(place[name]) == "array" else ["seven"]


def add(answer: Any) -> Any:
    """An answer with members more in every object, and items more in every list of objects."""
    if isinstance(answer, dict):
        inner = {name: add(each) for name, each in answer.items()}
        return {"one_added": 1} | inner | {"another_added": {}}
    return [add(each) for each in answer] * 2 if isinstance(answer, list) else answer


@given(st.sampled_from(WAYS), st.sampled_from([remove, rename]))
def test_a_member_that_goes_or_is_called_otherwise_is_told(
    place: tuple[str, Way], change: Callable[[dict[str, Any], str], None]
) -> None:
    name, way = place
    answer = RECORDED[name]["answer"]
    lost = lost_in_answer(answer, at_each(answer, way, change))
    assert lost == [f"{'.'.join(way).replace('.[]', '[]')} is gone"]


@given(st.sampled_from(WAYS))
def test_a_member_of_another_type_is_told(place: tuple[str, Way]) -> None:
    name, way = place
    answer = RECORDED[name]["answer"]
    lost = lost_in_answer(answer, at_each(answer, way, retype))
    only_null = shape_of(answer)[way] == {"null"}
    assert only_null == (lost == [])
    assert all(each.startswith(".".join(way).replace(".[]", "[]")) for each in lost)


@pytest.mark.parametrize("name", SAMPLES)
def test_what_is_added_is_no_loss(name: str) -> None:
    answer = RECORDED[name]["answer"]
    assert lost_in_answer(answer, add(answer)) == []


@pytest.mark.parametrize(
    ("recorded", "today", "lost"),
    [
        ({"net": "1.00"}, {"net": "2.00", "tax": None}, []),
        ({"net": "1.00"}, {"net": 1.0}, ["net was string and is number"]),
        ({"net": 1}, {"net": 1.5}, []),
        ({"net": 1}, {"net": True}, ["net was number and is boolean"]),
        ({"due": None}, {"due": {"at": "x"}}, []),
        ({"due": {"at": 1}}, {"due": None}, ["due was object and is only null", "due.at is gone"]),
        ({"rows": [{"a": 1}]}, {"rows": []}, ["rows[] is gone"]),
        ({"rows": [{"a": 1}, {"b": 1}]}, {"rows": [{"b": 2}]}, ["rows[].a is gone"]),
        ({"rows": [{"a": 1}]}, {"rows": [{"a": 1}, {"a": "1"}]}, ["rows[].a was number and is "]),
        ({"rows": []}, {"rows": [1]}, []),
        ({}, [], ["the answer was object and is array"]),
    ],
)
def test_losses_by_hand(recorded: Any, today: Any, lost: list[str]) -> None:
    told = lost_in_answer(recorded, today)
    assert [each.startswith(known) for each, known in zip(told, lost, strict=True)] == [True] * len(
        lost
    )


def test_thinning_keeps_every_shape() -> None:
    rows = [{"a": 1}, {"a": 2}, {"a": None, "b": [1]}, {"b": ["x"]}, {"b": ["y", 3]}, {"a": 4}]
    assert thinned({"rows": rows}) == {"rows": [rows[0], rows[2], rows[3]]}
    for told in RECORDED.values():
        assert shape_of(thinned(told["answer"])) == shape_of(told["answer"])


def changed(**members: Any) -> dict[str, Any]:
    """Promises of one operation that answers A and is asked with B, some changed."""
    word = {"types": ["string"], "words": ["x", "y"], "required": True}
    needless = {"types": ["number", "null"], "words": [], "required": False}
    told = {"statuses": ["200"], "media_types": ["application/json"], "parameters": ["table"]}
    return {
        "operations": members.get("operations", {"get /a": told}),
        "answers": {"A": {"word": word, "n": needless} | members.get("answers", {})},
        "requests": {"B": {"word": word, "n": needless} | members.get("requests", {})},
    }


def member(types: list[str], words: list[str], *, required: bool) -> dict[str, Any]:
    return {"types": types, "words": words, "required": required}


@pytest.mark.parametrize(
    ("side", "members", "lost"),
    [
        # More words, and members more, stop no one.
        ("answers", {"word": member(["string"], ["x", "y", "z"], required=True)}, []),
        ("answers", {"new": member(["string"], [], required=True)}, []),
        ("requests", {"new": member(["string"], [], required=False)}, []),
        ("requests", {"n": member(["number", "string", "null"], [], required=False)}, []),
        ("answers", {"n": member(["number"], [], required=True)}, []),
        # What a client may rest on stays.
        ("answers", {"word": member(["string"], ["y"], required=True)}, ["A.word is never x"]),
        ("answers", {"word": member(["string"], ["x", "y"], required=False)}, ["can be missing"]),
        (
            "answers",
            {"n": member(["number", "string", "null"], [], required=False)},
            ["A.n was null or number and is null or number or string"],
        ),
        ("requests", {"word": member(["string"], ["x"], required=True)}, ["B.word is never y"]),
        ("requests", {"n": member(["number", "null"], [], required=True)}, ["B.n is needed"]),
        ("requests", {"n": member(["number"], [], required=False)}, ["B.n was null or number"]),
        ("requests", {"new": member(["string"], [], required=True)}, ["B.new is needed"]),
    ],
)
def test_promises_by_hand(side: str, members: dict[str, Any], lost: list[str]) -> None:
    told = broken_promises(changed(), changed(**{side: members}))
    assert [known in each for each, known in zip(told, lost, strict=True)] == [True] * len(lost)


def test_an_operation_a_component_and_a_member_that_go_are_told() -> None:
    before = changed()
    after = changed(operations={})
    assert broken_promises(before, after) == ["get /a is gone"]
    told = {"statuses": ["200", "404"], "media_types": ["text/csv"], "parameters": []}
    assert broken_promises(before, changed(operations={"get /a": told})) == [
        "get /a has no application/json in media_types",
        "get /a has no table in parameters",
    ]
    after = changed()
    del after["answers"]["A"], after["requests"]["B"]["n"]
    assert broken_promises(before, after) == ["A is gone", "B.n is gone"]


def test_a_loss_is_told_and_nothing_is_recorded(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    told = copy.deepcopy(RECORDED["livez"])
    told["answer"]["beats"] = 1
    (tmp_path / "livez.json").write_text(json.dumps(told))
    monkeypatch.setattr(record, "FOLDER", tmp_path)
    monkeypatch.setattr(record, "PROMISES", tmp_path / "none.json")
    monkeypatch.setattr("sys.argv", ["record.py"])
    assert record.main() == 1
    assert capsys.readouterr().out == "livez: beats is gone\nNothing is recorded.\n"
    assert [file.name for file in tmp_path.iterdir()] == ["livez.json"]
