"""The files of `sidelay batch`: the lines to send, and the answers that came so far.

Answers are appended as they come, a line each, so that a process that is killed loses one at most.
Each carries under `sent` what its line was: a line that has changed since is sent again.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO

STANDARD_INPUT = "-"
LONGEST_ID = 200
# Letters of the SHA-256 of a line, in hexadecimal digits: enough to tell versions of it apart.
DIGEST_LETTERS = 16
# What every line of a file of answers begins with.
BEGINS = b'{"line":'
TAKEN = "The id {!r} stands further up: give each line one of its own."

Answer = dict[str, Any]
Key = tuple[str, str]


class BadFile(Exception):  # noqa: N818  (a state of the files, named as such)
    """A file that cannot be read or written, or is no file of answers; the message names it."""


@dataclass(frozen=True, slots=True)
class Job:
    """One line to send. number: from 1, blank lines counted; is_twice: its id is another's too"""

    number: int
    id: str
    text: bytes
    digest: str
    is_twice: bool = False

    @property
    def key(self) -> Key:
        """What its answer is found by."""
        return self.id, self.digest


def read_jobs(name: str) -> list[Job]:
    """Return the lines of a file that are not blank; - for standard input. Raises BadFile."""
    try:
        data = sys.stdin.buffer.read() if name == STANDARD_INPUT else Path(name).read_bytes()
    except OSError as fault:
        raise BadFile(f"{name} cannot be read: {fault.strerror}.") from None
    except ValueError:
        raise BadFile(f"{name!r} cannot be the name of a file.") from None
    seen: set[str] = set()
    jobs = []
    for number, text in enumerate(data.split(b"\n"), 1):
        if not text.strip():
            continue
        known_as = _id_in(text) or str(number)
        digest = hashlib.sha256(text).hexdigest()[:DIGEST_LETTERS]
        jobs.append(Job(number, known_as, text, digest, known_as in seen))
        seen.add(known_as)
    return jobs


def _id_in(text: bytes) -> str:
    """Return the id of a line, "" where it has none that can be read: its number stands for it."""
    try:
        line = json.loads(text)
    except (ValueError, RecursionError):
        return ""
    found = line.get("id") if isinstance(line, dict) else None
    return found if isinstance(found, str) and len(found) <= LONGEST_ID else ""


@dataclass(frozen=True, slots=True)
class Kept:
    """Where an answer lies in the file of answers. line: the number that it carries"""

    start: int
    size: int
    line: int
    status: int

    @property
    def is_answered(self) -> bool:
        """Whether it need not be asked for again."""
        return 200 <= self.status < 300


class Answers:
    """A file of answers, those of earlier runs among them. Raises BadFile, as each method does.

    What a killed process left half written at its end is dropped.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._kept: dict[Key, Kept] = {}
        try:
            self._file: BinaryIO = path.open("a+b")
        except OSError as fault:
            raise self._bad(fault) from None
        try:
            self._read()
        except BaseException:
            self._file.close()
            raise

    def __enter__(self) -> Answers:
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()

    def get(self, job: Job) -> Kept | None:
        """Return where the answer to a line is, None where there is none."""
        return None if job.is_twice else self._kept.get(job.key)

    def add(self, job: Job, answer: Mapping[str, Any]) -> None:
        """Write the answer to a line."""
        text = _dumped(job, answer)
        try:
            start = self._file.seek(0, os.SEEK_END)
            self._file.write(text)
            self._file.flush()
        except OSError as fault:
            raise self._bad(fault) from None
        self._kept[job.key] = Kept(start, len(text), job.number, answer["status"])

    def read(self, job: Job) -> Answer:
        """Return the answer to a line. Raises KeyError where there is none."""
        if job.is_twice:
            return _twice(job)
        return _parsed(self._text(self._kept[job.key]))

    def strays(self, jobs: Iterable[Job]) -> list[Key]:
        """Return what is answered here and asked by none of the lines.

        What was refused and is asked no more is no answer worth keeping.
        """
        asked = {job.id for job in jobs}
        return [
            key for key, kept in self._kept.items() if key[0] not in asked and kept.is_answered
        ]

    def settle(self, jobs: Sequence[Job]) -> None:
        """Write the file anew: answers in the order of their lines, each once, then strays.

        Until the new file stands in its place the old one does.
        """
        new = self._path.with_name(f"{self._path.name}.new")
        try:
            with new.open("wb") as file:
                for text in self._settled(jobs):
                    file.write(text)
                file.flush()
                os.fsync(file.fileno())
            new.replace(self._path)
        except OSError as fault:
            raise self._bad(fault) from None

    def _settled(self, jobs: Sequence[Job]) -> Iterator[bytes]:
        for job in jobs:
            kept = self.get(job)
            if kept is not None and kept.line == job.number:
                yield self._text(kept)
            elif kept is not None or job.is_twice:
                yield _dumped(job, self.read(job))
        for key in self.strays(jobs):
            yield self._text(self._kept[key])

    def _text(self, kept: Kept) -> bytes:
        self._file.seek(kept.start)
        return self._file.read(kept.size)

    def _read(self) -> None:
        """Find the answers that there are, and cut off what is no whole line at the end."""
        self._file.seek(0)
        start = 0
        for number, text in enumerate(self._file, 1):
            whole = text.endswith(b"\n")
            try:
                answer = _parsed(text)
                key = str(answer["id"]), str(answer["sent"])
                found = Kept(start, len(text), int(answer["line"]), int(answer["status"]))
            except (ValueError, KeyError, TypeError, RecursionError):
                if not whole and BEGINS.startswith(text[: len(BEGINS)]):
                    break
                raise BadFile(
                    f"{self._path} is no file of answers: line {number} is none. Name another."
                ) from None
            if not whole:
                break
            known = self._kept.get(key)
            if known is None or found.is_answered or not known.is_answered:
                self._kept[key] = found
            start += len(text)
        self._file.truncate(start)

    def _bad(self, fault: OSError) -> BadFile:
        return BadFile(f"{self._path} cannot be written: {fault.strerror}.")


def _parsed(text: bytes) -> Answer:
    answer: Answer = json.loads(text)
    return answer


def _dumped(job: Job, answer: Mapping[str, Any]) -> bytes:
    """Return an answer as it is kept; the order of its members is always the same."""
    head = {"line": job.number, "id": job.id, "status": answer["status"], "sent": job.digest}
    told = head | {name: value for name, value in answer.items() if name not in head}
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def _twice(job: Job) -> Answer:
    """Return what the service would answer, had it seen the other line of the same id."""
    fault = {"pointer": "#/id", "code": "same_id_twice", "detail": TAKEN.format(job.id)}
    problem = {
        "type": "/problems/invalid_request",
        "title": "The request cannot be met as it stands",
        "status": 422,
        "detail": "1 fault found.",
        "errors": [fault],
    }
    return {"line": job.number, "id": job.id, "status": 422, "problem": problem}
