"""Requests out of files: one as JSON, many as lines of JSON, or a folder of such files."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..http.json_reader import NotJson, read_json

LINES = (".ndjson", ".jsonl")
ONE = ".json"


class UnreadableJobs(Exception):  # noqa: N818  (told to whoever gave the file)
    """A file that holds no requests; the message names it, the line and what is wrong."""


@dataclass(frozen=True, slots=True)
class JobRequest:
    """A request as /estimate takes it, and what it is called: its file, or its id in one."""

    name: str
    body: dict[str, Any]


def read_jobs(paths: Sequence[Path]) -> tuple[JobRequest, ...]:
    """Return the requests of some files and folders, in their order.

    Raises UnreadableJobs, where there is not one request too.
    """
    found = tuple(job for path in paths for file in _files(path) for job in _jobs(file))
    if not found:
        raise UnreadableJobs("There is no request in these files.")
    return found


def _files(path: Path) -> list[Path]:
    """Return a file, or those of a folder in the order of their names."""
    if not path.is_dir():
        return [path]
    return sorted(each for each in path.iterdir() if each.suffix in (ONE, *LINES))


def _jobs(file: Path) -> Iterator[JobRequest]:
    try:
        content = file.read_bytes()
    except OSError as fault:
        raise UnreadableJobs(f"{file} cannot be read: {fault.strerror}.") from None
    if file.suffix in LINES:
        for number, line in enumerate(content.splitlines(), 1):
            if line.strip():
                yield _of_line(line, file, number)
        return
    yield JobRequest(file.stem, _request(_object(content, str(file)), str(file)))


def _of_line(line: bytes, file: Path, number: int) -> JobRequest:
    """Return the request of a line, which is one itself or has it as its member `request`."""
    where = f"{file}, line {number}"
    value = _object(line, where)
    name = str(value.get("id", f"{file.stem}:{number}"))
    inner = value.get("request", value)
    if not isinstance(inner, dict):
        raise UnreadableJobs(f"{where}: expected an object as request.")
    return JobRequest(name, _request(inner, where))


def _object(content: bytes, where: str) -> dict[str, Any]:
    try:
        return read_json(content)
    except NotJson as fault:
        raise UnreadableJobs(f"{where}: {fault}") from None


def _request(value: dict[str, Any], where: str) -> dict[str, Any]:
    if not isinstance(value.get("job"), dict):
        raise UnreadableJobs(f"{where}: expected a request with a job.")
    return value
