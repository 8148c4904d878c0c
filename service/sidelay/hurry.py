"""What would make a due date hold that nothing holds: tried one by one, priced, and told.

Overtime, rush work, a quicker proof, a drying aid, presses that the request leaves out: each is the
same request with some members changed, asked again. Where none of them is enough, all together are
tried, and what is not needed is left out. A quantity can also be made in two lots, each an order of
its own: on two presses side by side (split run), or as many as can be ready in time and the rest
after them (smaller quantity first).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from .dated import IN_TIME, HoldKind, Otherwise, WouldHold
from .dating import DatedOffer, Dating
from .job import Job, Proof
from .lots import in_two_lots
from .offers import PricedJob
from .plan import Planner
from .plant import Plant
from .timing import Timing

# Proofs that keep a job waiting less, by the one asked.
QUICKER: Mapping[Proof, tuple[Proof, ...]] = {
    "contract": ("press", "soft"),
    "press": ("soft",),
    "soft": ("none",),
    "none": (),
}
Filters = Mapping[str, Collection[str]]
Changes = Mapping[str, Any]


@dataclass(frozen=True)
class _Trial:
    """The same request with some members changed. changes: by their path in the request."""

    kind: HoldKind
    changes: Changes
    job: Job
    timing: Timing
    filters: Filters


def with_remedies(
    dated: Sequence[DatedOffer],
    job: Job,
    plant: Plant,
    planner: Planner,
    timing: Timing,
    **filters: Collection[str],
) -> tuple[DatedOffer, ...]:
    """Return offers, those that are too late with what would make the due date hold."""
    late = [each for each in dated if not each.holds]
    if not late:
        return tuple(dated)
    hurry = _Hurry(job, plant, planner, timing, filters)
    found = iter(hurry.would_hold([each.offer.quantity for each in late]))
    return tuple(
        each if each.holds
        else each._replace(otherwise=replace(each.otherwise, would_hold=next(found)))
        for each in dated
    )


def otherwise_of(
    priced: PricedJob,
    dating: Dating,
    job: Job,
    plant: Plant,
    planner: Planner,
    timing: Timing,
    **filters: Collection[str],
) -> tuple[Otherwise, ...]:
    """Return for each quantity of a job what else there is where the cheapest is too late."""
    if timing.due_at is None:
        return (IN_TIME,) * len(priced.quantities)
    best = [dating.best(offer) for offer in priced.best_offers()]
    dated = with_remedies(best, job, plant, planner, timing, **filters)
    return tuple(each.otherwise for each in dated)


class _Hurry:
    """Tries a request with members changed, at the quantities for which nothing holds."""

    def __init__(
        self, job: Job, plant: Plant, planner: Planner, timing: Timing, filters: Filters
    ) -> None:
        self._plant, self._planner = plant, planner
        self._asked = _Trial("together", {}, job, timing, filters)

    def would_hold(self, quantities: Sequence[int]) -> list[tuple[WouldHold, ...]]:
        """Return what would hold at each quantity, the cheapest first, then in two lots."""
        trials = self._singles()
        held = [self._tried(trial, quantities) for trial in trials]
        found = []
        for n, quantity in enumerate(quantities):
            single = [each[n] for each in held if each[n] is not None]
            if not single and len(trials) > 1:
                single = [self._together(quantity, trials)]
            options = [each for each in single if each is not None]
            options.sort(key=lambda each: each.dated.price)
            found.append((*options, *self._lots(quantity)))
        return found

    def _singles(self) -> list[_Trial]:
        """The request with one member changed, in a fixed order."""
        asked, time = self._asked, self._plant.time
        job, timing = asked.job, asked.timing
        found = []
        beyond = time.overtime or any(each.overtime for each in time.machines.values())
        if beyond and not timing.overtime:
            found.append(
                replace(
                    asked,
                    kind="overtime",
                    changes={"overtime": True},
                    timing=replace(timing, overtime=True),
                )
            )
        if not job.rush:
            found.append(self._job("rush", {"job.rush": True}, replace(job, rush=True)))
        for proof in QUICKER[job.proof]:
            changed_job = replace(job, proof=proof)
            found.append(self._job("proof", {"job.proof": proof}, changed_job))
        if time.drying_aid and not job.drying_aid:
            changed_job = replace(job, drying_aid=True)
            found.append(self._job("drying_aid", {"job.drying_aid": True}, changed_job))
        if any(asked.filters.values()):
            changes: Changes = {"processes": [], "presses": []}
            found.append(replace(asked, kind="another_press", changes=changes, filters={}))
        return found

    def _job(self, kind: HoldKind, changes: Changes, job: Job) -> _Trial:
        return replace(self._asked, kind=kind, changes=changes, job=job)

    def _tried(self, trial: _Trial, quantities: Sequence[int]) -> list[WouldHold | None]:
        """Return at each quantity the cheapest that holds; None where nothing does."""
        plan = self._planner.plan(trial.job, self._plant, **trial.filters)
        if plan.job_table is None:
            return [None] * len(quantities)
        priced = PricedJob(plan.job_table, quantities, plan.lean)
        dating = Dating(trial.job, self._plant, trial.timing, priced)
        found = [dating.holding(offer) for offer in priced.best_offers()]
        return [
            each and WouldHold(trial.kind, dating.short(each), self._because(trial, each),
                               trial.changes)
            for each in found
        ]

    def _together(self, quantity: int, trials: Sequence[_Trial]) -> WouldHold | None:
        """Return what holds with all changes at once, without those that are not needed.

        A job has one proof: each quicker one is tried with all the rest, and the cheapest told.
        """
        proofs = [[trial] for trial in trials if trial.kind == "proof"] or [[]]
        rest = [trial for trial in trials if trial.kind != "proof"]
        found = [self._pared([*rest, *proof], quantity) for proof in proofs]
        held = [each for each in found if each is not None]
        return min(held, key=lambda each: each.dated.price, default=None)

    def _pared(self, needed: list[_Trial], quantity: int) -> WouldHold | None:
        """Return what holds with some changes at once, each left out where it does without."""
        found = self._tried(self._joined(needed), [quantity])[0]
        if found is None:
            return None
        for trial in list(needed):
            fewer = [each for each in needed if each is not trial]
            again = self._tried(self._joined(fewer), [quantity])[0] if fewer else None
            if again is not None:
                needed, found = fewer, again
        return found

    def _joined(self, trials: Sequence[_Trial]) -> _Trial:
        """Return one request with the changes of several."""
        joined = self._asked
        for trial in trials:
            job, timing, filters = joined.job, joined.timing, joined.filters
            if trial.kind == "overtime":
                timing = trial.timing
            elif trial.kind == "another_press":
                filters = trial.filters
            else:
                members = {path.removeprefix("job."): to for path, to in trial.changes.items()}
                job = replace(job, **members)
            joined = _Trial("together", {**joined.changes, **trial.changes}, job, timing, filters)
        return joined

    def _because(self, trial: _Trial, dated: DatedOffer) -> str:
        """Say what the changes come to."""
        hours = dated.schedule.readiness.overtime_h
        told = {
            "overtime": ", ".join(f"{h:g} h of overtime at {at or 'hand work'}" for at, h in
                                  hours.items()) or "overtime is allowed",
            "job.rush": "goes before the work that waits, at the premium for rush work",
            "job.proof": f"{trial.job.proof} proof instead of {self._asked.job.proof}",
            "job.drying_aid": "dries sooner, for the price of it",
            "processes": "presses that the request leaves out",
        }
        return "; ".join(told[path] for path in trial.changes if path in told)

    def _lots(self, quantity: int) -> tuple[WouldHold, ...]:
        """Return how the quantity could be made in two lots."""
        asked = self._asked
        plan = self._planner.plan(asked.job, self._plant, **asked.filters)
        if plan.job_table is None or quantity < 2:
            return ()
        return in_two_lots(plan.job_table, asked.job, self._plant, asked.timing, quantity)
