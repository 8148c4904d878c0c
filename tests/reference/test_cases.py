"""Every published case, recomputed by sidelay.

The cases are all `cases/*.json`; SIDELAY_CASES may name one more folder or file of them. A case
has id, topic, inputs, expected, source, note and provenance; each expected figure has a value and
a tolerance, or a low and a high. Where a source is wrong its figure stays in `expected`, the right
one is in `corrected`, and the note says why.
"""

import json
import os
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from reference.adapters import ADAPTERS, NOT_OURS, NOT_YET
from reference.agreement import AtMost, Reaches, disagreements
from reference.process_figures import MODULES, computed

Case = dict[str, Any]


def _own() -> list[Case]:
    return _read(sorted((Path(__file__).parent / "cases").glob("*.json")))


def _extra() -> list[Case]:
    """Cases that SIDELAY_CASES names, but for those already here with the same figures."""
    named = os.environ.get("SIDELAY_CASES")
    if not named:
        return []
    path = Path(named)
    if not path.exists():
        raise FileNotFoundError(f"SIDELAY_CASES names {named}, which does not exist")
    own = {case["id"]: case for case in _own()}
    found = _read(sorted(path.rglob("*.json")) if path.is_dir() else [path])
    return [case for case in found if not _is_same(case, own.get(case["id"]))]


def _read(paths: list[Path]) -> list[Case]:
    return [case for path in paths for case in json.loads(path.read_text("utf-8"))]


def _is_same(case: Case, other: Case | None) -> bool:
    return other is not None and all(case[key] == other[key] for key in ("inputs", "expected"))


CASES = _own() + _extra()


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_case(case: Case) -> None:
    assert case["expected"], "a case must expect something"
    if "topic" not in case:
        check_process(case)
        return
    topic = case["topic"]
    if topic in NOT_YET:
        pytest.skip(NOT_YET[topic])
    assert topic in ADAPTERS, f"nothing answers the topic {topic!r}: add an adapter, or say why not"
    expected = case["expected"] | case.get("corrected", {})
    not_ours = NOT_OURS.get(topic, {})
    ours = {name: figure for name, figure in expected.items() if name not in not_ours}
    assert ours, "an answered topic must answer some figure of its case"
    _agree(case, ADAPTERS[topic](case["inputs"]), ours)


def check_process(case: Case) -> None:
    """A figure about a process: those that sidelay models must agree; it skips when none is."""
    got, not_modelled = computed(case)
    _agree(case, got, {name: case["expected"][name] for name in got})
    if not got:
        pytest.skip("; ".join(sorted(set(not_modelled.values()))))


def _agree(case: Case, got: Any, expected: dict[str, Any]) -> None:
    wrong = disagreements(got, expected)
    assert not wrong, "\n".join([*wrong, f"source: {case['source']}", f"note: {case.get('note')}"])


def test_every_case_has_a_source() -> None:
    assert CASES
    assert not [case["id"] for case in CASES if not str(case.get("source", "")).strip()]


def test_every_corrected_figure_was_published_and_is_explained() -> None:
    for case in CASES:
        for key, right in case.get("corrected", {}).items():
            assert case["expected"][key] != right
            assert "SOURCE SLIP" in case["note"]
            assert key in case["note"]


def test_no_case_is_there_twice_with_different_figures() -> None:
    different = {(case["id"], json.dumps(case["expected"], sort_keys=True)) for case in CASES}
    counts = Counter(case_id for case_id, _ in different)
    assert not [case_id for case_id, count in counts.items() if count > 1]


def test_no_topic_is_both_answered_and_not_yet() -> None:
    assert not ADAPTERS.keys() & NOT_YET.keys()


@pytest.mark.parametrize("topic", NOT_OURS)
def test_no_figure_of_a_topic_is_both_answered_and_not_ours(topic: str) -> None:
    cases = [case for case in CASES if case.get("topic") == topic]
    assert cases
    for case in cases:
        assert not ADAPTERS[topic](case["inputs"]).keys() & NOT_OURS[topic].keys()


@pytest.mark.parametrize("process", MODULES)
def test_no_figure_of_a_process_is_both_answered_and_not_modelled(process: str) -> None:
    assert not MODULES[process].FIGURES.keys() & MODULES[process].NOT_MODELLED.keys()
    assert all(len(why) > 20 for why in MODULES[process].NOT_MODELLED.values())


def test_a_figure_that_nothing_answers_fails_its_case() -> None:
    process = next(iter(MODULES))
    with pytest.raises(LookupError, match="nothing answers"):
        computed({"process": process, "inputs": {}, "expected": {"colour_of_the_press": 1}})
    with pytest.raises(LookupError, match="no of_process_"):
        computed({"process": "stamping", "inputs": {}, "expected": {"figure": 1}})


@pytest.mark.parametrize(
    ("got", "wanted"),
    [
        (10.06, {"value": 10, "tolerance": 0.05}),
        (10.001, {"value": 10, "tol": 0}),
        (True, {"value": 1, "tol": 0}),
        (1, {"value": True, "tol": 0}),
        (float("nan"), {"value": 10, "tolerance": 5}),
        ("10", {"value": 10, "tolerance": 5}),
        ([1, 2], {"value": [1, 3], "tol": 0}),
        ([1], {"value": [1, 2], "tol": 0}),
        (0.9, {"low": 1, "high": 2}),
        (2.1, {"low": 1, "high": 2}),
        (AtMost(11), {"value": 10, "tol": 0}),
        (AtMost(48), {"value": [46, 47], "tol": 0}),
        (Reaches(9, "optimum"), {"value": True, "tol": 0}),
        (Reaches(10, "optimum"), {"value": False, "tol": 0}),
        (2.1, {"value": 1, "tolerance": "factor 2"}),
        ([1, 0.4], {"value": [1, 1], "tolerance": "factor 2"}),
    ],
)
def test_a_wrong_figure_is_seen(got: Any, wanted: Any) -> None:
    expected = {"figure": wanted, "optimum": {"value": 10, "tol": 0}}
    assert disagreements({"figure": got, "optimum": 10}, expected)


@pytest.mark.parametrize(
    ("got", "wanted"),
    [
        (10.05, {"value": 10, "tolerance": 0.05}),
        (0.1 + 0.2, {"value": 0.3, "tol": 0}),
        (True, {"value": True}),
        ((12.5, 22.75), {"value": [12.5, 22.75], "tolerance": 0}),
        (1.5, {"low": 1, "high": 2}),
        (1.5, {"low": 1}),
        (10, 10),
        (AtMost(10), {"value": 10, "tol": 0}),
        (AtMost(46), {"value": [46, 47], "tol": 0}),
        (Reaches(10, "optimum"), {"value": True, "tol": 0}),
        ([2.0, 0.5], {"value": [1, 1], "tolerance": "factor 2"}),
    ],
)
def test_a_right_figure_is_accepted(got: Any, wanted: Any) -> None:
    expected = {"figure": wanted, "optimum": {"value": 10, "tol": 0}}
    assert not disagreements({"figure": got, "optimum": 10}, expected)


def test_a_missing_figure_is_seen() -> None:
    assert disagreements({}, {"figure": {"value": 1, "tolerance": 0}})
