"""`sidelay batch`: sends a file of requests, and writes the answers to another as they come.

What is answered there already is not sent again, so that whatever stops it, the same command goes
on where it stopped.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from math import ceil
from pathlib import Path
from typing import cast

from .asking_arguments import add_service, whole
from .batch_files import STANDARD_INPUT, Answer, Answers, BadFile, Job, read_jobs
from .batch_progress import Progress
from .client import Client, ProblemError, Unreachable
from .tables import problem_text
from .text import table

DONE, REFUSED, USAGE, UNREACHABLE = 0, 1, 2, 3
# What is sent at once: less than a service takes, so that between two batches its worker can
# answer somebody else.
MOST_LINES, MOST_BYTES = 250, 4 * 1024 * 1024
# The statuses that pass if one waits, and how long is waited at most [s].
BUSY = (429, 503)
TOO_LARGE = 413
# What a proxy answers where the service does not.
OF_PROXIES = (502, 504)
USUAL_WAIT_S, LONGEST_WAIT_S = 1, 3_600
# Connections that break in a row before it is given up, and the wait after the first [s].
MOST_BREAKS, FIRST_PAUSE_S = 5, 0.5
MOST_SHOWN = 20
HEADS = ("Line", "Id", "Status", "What")


def add_batch(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.description = (
        "Send a file of requests, a line each, and write the answers to another as they come. Run "
        "again, it sends what is not answered there: lines that were refused, and those that have "
        "changed since. Exit status: 0 all answered, 1 some refused, 3 no service answers."
    )
    parser.add_argument(
        "file",
        metavar="FILE",
        help='lines as {"id": "...", "ask": "estimate", "request": {...}}; - for standard input',
    )
    parser.add_argument(
        "--out", metavar="FILE", type=Path, required=True, help="where the answers go, a line each"
    )
    add_service(parser, 60, 3600, "each answer")
    parser.add_argument(
        "--retry",
        type=whole(0, 1000),
        default=5,
        metavar="N",
        help="how often in a row to wait where the service says that it was asked too often or is "
        "busy (429, 503), for as long as it says; by default %(default)s",
    )


def run(options: argparse.Namespace, key: str) -> int:
    """Run the command, and return its exit status. key: of the client, "" for none"""
    try:
        jobs = read_jobs(options.file)
        _check_names(options)
        with Answers(options.out) as answers, Client(options.url, options.timeout, key) as client:
            status = _Run(client, answers, jobs, options).status()
            answers.settle(jobs)
            print("\n".join(_summary(jobs, answers, options.out)))
    except BadFile as fault:
        print(fault, file=sys.stderr)
        return USAGE
    return status


def _check_names(options: argparse.Namespace) -> None:
    """Raise BadFile where answers would be written over what is sent."""
    source = Path(options.file)
    if options.file != STANDARD_INPUT and options.out.exists() and source.samefile(options.out):
        raise BadFile(f"{options.out} is what is sent: name another file for the answers.")


class _Run:
    """One run of the command, from what is answered already to the end.

    sleep: waits for some seconds
    """

    def __init__(
        self,
        client: Client,
        answers: Answers,
        jobs: Sequence[Job],
        options: argparse.Namespace,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        self._client, self._answers, self._sleep = client, answers, sleep
        self._retry, self._timeout_s = options.retry, float(options.timeout)
        kept = [answers.get(job) for job in jobs]
        self._pending = {
            job.number: job
            for job, known in zip(jobs, kept, strict=True)
            if not job.is_twice and not (known and known.is_answered)
        }
        self._has_twice = any(job.is_twice for job in jobs)
        self._progress = Progress(sys.stderr, len(jobs), len(jobs) - len(self._pending))
        self._most_lines = MOST_LINES
        # In a row, with nothing answered between them.
        self._waits = self._breaks = 0
        self._is_reached = self._has_refused = False

    def status(self) -> int:
        """Send what is not answered, and return the exit status."""
        try:
            while self._pending:
                self._send(list(self._chunk()))
        except ProblemError as problem:
            told = problem_text(problem.title, problem.detail, problem.errors)
            self._progress.note(told)
            return REFUSED
        except Unreachable as fault:
            job = next(iter(self._pending.values()))
            self._progress.note(f"{fault} Line {job.number:,} ({job.id}) would be next.")
            return UNREACHABLE
        finally:
            self._progress.end()
        return REFUSED if self._has_refused or self._has_twice else DONE

    def _chunk(self) -> Iterator[Job]:
        """Yield the next lines to send at once, one at least."""
        size = 0
        for count, job in enumerate(self._pending.values()):
            size += len(job.text)
            if count and (count >= self._most_lines or size > MOST_BYTES):
                return
            yield job

    def _send(self, chunk: Sequence[Job]) -> None:
        """Send some lines and note what comes. Raises ProblemError or Unreachable to give up."""
        busy: list[tuple[Job, Answer]] = []
        answered = 0
        try:
            texts = [job.text for job in chunk]
            for told in self._client.batch(texts, timeout_s=self._timeout_s):
                answer = cast("Answer", told)
                job = _job_of(answer, chunk)
                answered += 1
                if answer["status"] in BUSY:
                    busy.append((job, answer))
                else:
                    self._note(job, answer)
            if answered < len(chunk):
                raise Unreachable(f"{len(chunk) - answered:,} answers are missing.")
        except ProblemError as problem:
            self._refused(problem, len(chunk))
        except Unreachable as fault:
            self._broken(fault)
        else:
            self._busy(busy)

    def _note(self, job: Job, answer: Answer) -> None:
        failed = not 200 <= answer["status"] < 300
        self._answers.add(job, answer)
        self._pending.pop(job.number, None)
        self._progress.add(failed=failed)
        self._has_refused |= failed
        self._is_reached, self._waits, self._breaks = True, 0, 0

    def _busy(self, busy: Sequence[tuple[Job, Answer]]) -> None:
        """Wait where lines were told to come again, or take it as their answer."""
        if not busy:
            return
        wait_s = max(int(answer.get("retry_after_s", USUAL_WAIT_S)) for _, answer in busy)
        if not self._wait(wait_s, f"{len(busy):,} lines"):
            for job, answer in busy:
                self._note(job, answer)

    def _wait(self, wait_s: float, what: str) -> bool:
        """Wait as long as the service says; return whether that may help."""
        if self._waits >= self._retry or wait_s > LONGEST_WAIT_S:
            return False
        self._waits += 1
        self._progress.note(f"The service is busy: {what} are sent again in {wait_s:,} s.")
        self._sleep(wait_s)
        return True

    def _refused(self, problem: ProblemError, lines: int) -> None:
        """Try again where that may help. Raises ProblemError."""
        if problem.status in OF_PROXIES:
            self._broken(Unreachable(f"{problem}."))
            return
        if problem.status == TOO_LARGE and lines > 1:
            self._most_lines = lines // 2
            return
        wait_s = ceil(problem.retry_after_s or USUAL_WAIT_S)
        if problem.status not in BUSY or not self._wait(wait_s, f"{lines:,} lines"):
            raise problem

    def _broken(self, fault: Unreachable) -> None:
        """Connect again where it was connected before. Raises Unreachable."""
        if not self._is_reached or self._breaks >= MOST_BREAKS:
            raise fault
        pause_s = FIRST_PAUSE_S * 2**self._breaks
        self._breaks += 1
        self._progress.note(f"{fault} It is asked again in {pause_s:g} s.")
        self._sleep(pause_s)


def _job_of(answer: Answer, chunk: Sequence[Job]) -> Job:
    """Return the line that an answer is to. Raises Unreachable where that cannot be told."""
    line, status = answer.get("line"), answer.get("status")
    if not (isinstance(line, int) and 1 <= line <= len(chunk) and isinstance(status, int)):
        raise Unreachable("This release cannot read the answer.")
    return chunk[line - 1]


# ---------------------------------------------------------------- what it came to


def _summary(jobs: Sequence[Job], answers: Answers, out: Path) -> Iterator[str]:
    """Yield what is told at the end: counts, and the first lines that were not answered."""
    kinds = Counter(_kind(job, answers) for job in jobs)
    told = [f"{kinds[kind]:,} {kind}" for kind in ("answered", "refused", "failed")]
    missing = kinds["not asked"]
    told += [f"{missing:,} not asked"] if missing else []
    yield f"{len(jobs):,} lines: {', '.join(told)}."
    strays = len(answers.strays(jobs))
    if strays:
        yield f"{out} also holds answers to lines that are no longer sent: {strays:,}."
    wrong = [job for job in jobs if _kind(job, answers) in ("refused", "failed")]
    if wrong:
        yield ""
        yield from table(HEADS, [_row(job, answers) for job in wrong[:MOST_SHOWN]], (1, 3))
    if len(wrong) > MOST_SHOWN:
        yield f"and {len(wrong) - MOST_SHOWN:,} more in {out}"


def _kind(job: Job, answers: Answers) -> str:
    if job.is_twice:
        return "refused"
    kept = answers.get(job)
    if kept is None:
        return "not asked"
    return "answered" if kept.is_answered else "refused" if kept.status < 500 else "failed"


def _row(job: Job, answers: Answers) -> tuple[str, str, str, str]:
    answer = answers.read(job)
    problem = answer.get("problem") or {}
    what = str(problem.get("detail", ""))
    if problem.get("errors"):
        first = problem["errors"][0]
        what = f"{first['pointer']}: {first['detail']}"
    return f"{job.number:,}", job.id, str(answer["status"]), what
