"""The files of `sidelay batch`: what is sent, what is kept, and what a killed process leaves."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sidelay.batch_files import Answers, BadFile, Job, read_jobs


def jobs_of(folder: Path, *lines: bytes, end: bytes = b"\n") -> list[Job]:
    file = folder / "jobs.ndjson"
    file.write_bytes(end.join(lines))
    return read_jobs(str(file))


def line(name: str, **request: Any) -> bytes:
    return json.dumps({"id": name, "request": request}).encode()


def answer(status: int = 200, **members: Any) -> dict[str, Any]:
    return {"line": 99, "id": "of the service", "status": status, **members}


def kept(file: Path) -> list[tuple[int, str, int]]:
    told = [json.loads(text) for text in file.read_bytes().splitlines()]
    return [(each["line"], each["id"], each["status"]) for each in told]


def test_lines_have_numbers_and_ids_as_the_service_gives_them(tmp_path: Path) -> None:
    jobs = jobs_of(
        tmp_path, b"", line("a"), b" \r", b"{broken", b'{"request": {}}', b'{"id": 7}', b"[]",
        b'{"id": "' + b"x" * 201 + b'"}', b"[" * 100_000, b"\xef\xbb\xbf{}", line("Größe"),
    )  # fmt: skip
    assert [(job.number, job.id) for job in jobs] == [
        (2, "a"), (4, "4"), (5, "5"), (6, "6"), (7, "7"), (8, "8"), (9, "9"), (10, "10"),
        (11, "Größe"),
    ]  # fmt: skip
    assert not any(job.is_twice for job in jobs)
    assert b"\n" not in b"".join(job.text for job in jobs)


def test_the_second_of_an_id_is_marked(tmp_path: Path) -> None:
    jobs = jobs_of(tmp_path, line("a"), line("3"), b"{}", line("a", x=1), line("b"))
    assert [job.is_twice for job in jobs] == [False, False, True, True, False]


@pytest.mark.parametrize("name", ["", "none.ndjson", "a\0b"])
def test_a_file_that_cannot_be_read_is_told(name: str) -> None:
    with pytest.raises(BadFile, match="cannot be"):
        read_jobs(name)


def test_answers_are_there_as_soon_as_they_are_added(tmp_path: Path) -> None:
    out, (one, two) = tmp_path / "out", jobs_of(tmp_path, line("a"), line("b"))
    with Answers(out) as answers:
        answers.add(two, answer(answer={"price": "1.50"}))
        assert kept(out) == [(2, "b", 200)]
        answers.add(one, answer(422, problem={"title": "Nein: ß"}))
        assert kept(out) == [(2, "b", 200), (1, "a", 422)]
        assert answers.read(one)["problem"] == {"title": "Nein: ß"}
    with Answers(out) as answers:
        assert answers.read(two)["answer"] == {"price": "1.50"}
        known = [answers.get(job) for job in (one, two)]
        assert [each.is_answered for each in known if each] == [False, True]


def test_a_line_that_has_changed_is_not_answered(tmp_path: Path) -> None:
    out = tmp_path / "out"
    with Answers(out) as answers:
        for job in jobs_of(tmp_path, line("a", x=1), b"{}", line("c")):
            answers.add(job, answer())
    jobs = jobs_of(tmp_path, line("c"), line("a", x=2), b"{}", b'{"x": 1}')
    with Answers(out) as answers:
        assert [answers.get(job) is not None for job in jobs] == [True, False, False, False]
        answers.add(jobs[1], answer(422))
        answers.settle(jobs)
    assert kept(out) == [(1, "c", 200), (2, "a", 422), (2, "2", 200)], "a stray goes last"


def test_settled_answers_stand_in_the_order_of_lines_each_once(tmp_path: Path) -> None:
    out, jobs = tmp_path / "out", jobs_of(tmp_path, line("a"), line("b"), line("a"), line("d"))
    with Answers(out) as answers:
        answers.add(jobs[1], answer(500))
        answers.add(jobs[0], answer())
        answers.add(jobs[1], answer())
        answers.settle(jobs)
        assert answers.strays(jobs) == []
    assert kept(out) == [(1, "a", 200), (2, "b", 200), (3, "a", 422)]
    twice = json.loads(out.read_bytes().splitlines()[2])
    assert twice["problem"]["errors"][0]["code"] == "same_id_twice"
    assert sorted(each.name for each in tmp_path.iterdir()) == ["jobs.ndjson", "out"]


@given(st.data())
def test_whatever_is_cut_off_the_end_costs_one_line(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("cut")
    out, jobs = folder / "out", jobs_of(folder, *(line(name) for name in "abc"))
    with Answers(out) as answers:
        for job in jobs:
            answers.add(job, answer(answer={"text": "é\u2028ü"}))
    whole = out.read_bytes()
    size = data.draw(st.integers(0, len(whole)))
    out.write_bytes(whole[:size])
    left = whole[:size].count(b"\n")
    with Answers(out) as answers:
        assert [answers.get(job) is not None for job in jobs] == [n < left for n in range(3)]
        for job in jobs[left:]:
            answers.add(job, answer(answer={"text": "é\u2028ü"}))
    assert out.read_bytes() == whole


@pytest.mark.parametrize(
    "text",
    [
        b"notes of mine\n", b"notes of mine", line("a"), line("a") + b"\n", b"[1]\n", b"\xff\xff",
        b'{"line":1,"id":"a","status":200}\n', b'{"line":1,"id":"a","status":"x","sent":""}\n',
    ],
)  # fmt: skip
def test_a_file_that_holds_something_else_is_left_as_it_is(tmp_path: Path, text: bytes) -> None:
    out = tmp_path / "out"
    out.write_bytes(text)
    with pytest.raises(BadFile, match="is no file of answers: line 1"):
        Answers(out)
    assert out.read_bytes() == text


def test_where_nothing_can_be_written_that_is_told(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="cannot be written"):
        Answers(tmp_path)
    with pytest.raises(BadFile, match="cannot be written"):
        Answers(tmp_path / "no folder" / "out")
