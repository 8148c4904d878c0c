"""`sidelay plant diff`: which prices move from one plant file to another, by how much, and why."""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from ..plant import Plant
from ..plant_file import plant_of
from ..processes import Processes
from ..toml_file import PlantFileError, read_toml
from .changes import ABSENT, Change, changes
from .diff_text import diff_text
from .job_files import JobRequest, UnreadableJobs, read_jobs
from .price_moves import IMPOSSIBLE, MOVED, SAME, BothAnswers, answers, effects_of, moves_of
from .pricing import PlantPricing
from .trials import Trial, TrialPlan, planned_trials, tried

DONE, UNREADABLE = 0, 2
Plain = dict[str, Any]
Answer = Mapping[str, Any]


class NotComparable(Exception):  # noqa: N818  (told to whoever gave the files)
    """Two plants whose prices cannot be compared."""


@dataclass(frozen=True)
class ReadPlant:
    """A plant file: its name, what it holds, and the plant."""

    file: str
    data: Mapping[str, Any]
    plant: Plant

    @property
    def head(self) -> Plain:
        """Which plant it is, and which state of its file."""
        return {"file": self.file, "id": self.plant.id, "revision": self.plant.revision}


def run(options: argparse.Namespace) -> int:
    """Print what moved and return the exit status: 0 whatever moved, 2 where it cannot be told."""
    processes = Processes.discover()
    try:
        jobs = _clocked(read_jobs(options.jobs), options.as_of)
        old, new = (_read(file, processes) for file in (options.old, options.new))
        _check_comparable(old.plant, new.plant, options.group)
        report = diff_report(old, new, jobs, processes, options.group, options.most_trials)
    except (PlantFileError, UnreadableJobs, NotComparable) as fault:
        print(fault, file=sys.stderr)
        return UNREADABLE
    if options.json:
        print(json.dumps(report, indent=2, ensure_ascii=False, default=str))
    else:
        print(diff_text(report, every=options.all))
    return DONE


def _read(file: Path, processes: Processes) -> ReadPlant:
    try:
        data, revision = read_toml(file)
    except OSError as fault:
        raise NotComparable(f"{file} cannot be read: {fault.strerror}.") from None
    return ReadPlant(str(file), data, plant_of(data, revision, file.name, processes))


def _check_comparable(old: Plant, new: Plant, group: str) -> None:
    if old.currency != new.currency:
        told = f"Prices in {old.currency} and in {new.currency} cannot be compared."
        raise NotComparable(told)
    if group and not any(group in plant.group_policies for plant in (old, new)):
        raise NotComparable(f"Neither plant has a customer group {group!r}.")


def _clocked(jobs: Sequence[JobRequest], as_of: str | None) -> list[JobRequest]:
    """Return requests with one clock for both plants: the one given, their own, or now."""
    now = datetime.fromtimestamp(int(time.time()), UTC).isoformat()
    clocks = ((as_of or job.body.get("as_of", now)) for job in jobs)
    return [
        JobRequest(job.name, job.body | {"as_of": clock})
        for job, clock in zip(jobs, clocks, strict=True)
    ]


def diff_report(
    old: ReadPlant,
    new: ReadPlant,
    jobs: Sequence[JobRequest],
    processes: Processes,
    group: str,
    most_trials: int,
) -> Plain:
    """Return all that is told, as plain data: prices most moved first, money as decimal text."""
    before, after = (PlantPricing(each.plant, processes, group) for each in (old, new))
    both = list(answers(jobs, before, after))
    moved = [number for number, each in enumerate(both) if not each.is_level]
    found = changes(old.data, new.data)
    plan = TrialPlan((), together=False, left_out=0)
    if moved:
        words = frozenset(word for n in moved for word in _words((both[n].old, both[n].new)))
        plan = planned_trials(found, words, most_trials)
    trials = list(tried(plan.trials, found, old.data, processes))
    prices = _trial_prices(trials, found, before, {n: both[n] for n in moved})
    return {
        "old": old.head,
        "new": new.head,
        "currency": new.plant.currency,
        "group": group,
        "changes": [_change(each) for each in found],
        "trials": [
            {"changes": list(trial.numbers), "faults": list(trial.faults)} for trial in trials
        ],
        "trials_together": plan.together,
        "trials_left_out": plan.left_out,
        "moves": sorted(
            (
                move | effects_of(prices.get(number, []), move, place)
                for number, each in enumerate(both)
                for place, move in enumerate(moves_of(each, before, after))
            ),
            key=_most_moved,
        ),
    }


def _trial_prices(
    trials: Sequence[Trial],
    found: Sequence[Change],
    before: PlantPricing,
    moved: Mapping[int, BothAnswers],
) -> dict[int, list[Answer | None]]:
    """Return the answers to jobs on the plant of each trial, None for a trial without one.

    A plant's stocks come into a price through the job that is read on them, and in no other way:
    where only stocks differ and the job comes out the same, so does its answer.
    """
    prices: dict[int, list[Answer | None]] = {number: [] for number in moved}
    jobs = {number: before.job(each.job.body) for number, each in moved.items()}
    for trial in trials:
        pricing = before.on(trial.plant) if trial.plant else None
        stocks_only = all(found[number].path[0] == "stocks" for number in trial.numbers)
        for number, each in moved.items():
            body, answer = each.job.body, None
            if pricing and stocks_only and jobs[number] and pricing.job(body) == jobs[number]:
                answer = each.old
            elif pricing:
                answer = pricing.answer(body, detail="price")
            prices[number].append(answer)
    return prices


def _change(change: Change) -> Plain:
    """Return a change as plain data; a table that came or went is told in its place."""
    return {
        "table": change.table,
        "key": change.key,
        "old": None if change.old is ABSENT else change.old,
        "new": None if change.new is ABSENT else change.new,
        "words": change.is_words,
    }


def _most_moved(move: Plain) -> tuple[int, float, str, int]:
    """Sort by what became possible or not, then by share of the old price, then by name."""
    gone = move["status"] not in (SAME, MOVED, IMPOSSIBLE)
    level = move["status"] in (SAME, IMPOSSIBLE)
    by = abs(move["percent"] or 0.0)
    return 0 if gone else 2 if level else 1, -by, move["job"], move["quantity"] or 0


def _words(value: Any) -> Iterator[str]:
    """Yield every text in an answer."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from _words(inner)
    elif isinstance(value, Sequence):
        for inner in value:
            yield from _words(inner)
