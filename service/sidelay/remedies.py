"""Why not, and what would help: the least change of a job that admits a press, and its price.

Every excluded press is asked again with the changes that its findings name, until it can make the
part or nothing more can be changed. Changes that turn out not to be needed are taken back. Then the
whole job is priced with the part as changed on that press, all else at its cheapest.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from .binder_limits import bound_parts
from .changes import STOCK, Key, changed, keyed, value_of
from .job import Job, Kind
from .offers import Offer, PricedJob
from .plan import Excluded, Plan
from .plant import InstalledPress, Plant
from .processes import PressUnavailable, Processes, watching
from .stock import Stock
from .trials import Trials
from .work import Finding

# So often a press is asked again, with what its findings named the time before.
ROUNDS = 6
# Another stock is taken for the same piece from a half to twice the grammage, and of what is more
# than paper (a label, a bag, an envelope, a shirt) in the same grade. Common practice, no source.
LIGHTEST, HEAVIEST = 0.5, 2.0
SAME_GRADE: tuple[Kind, ...] = ("envelope", "label", "carton", "web", "piece")

Wanted = dict[Key, Any]


@dataclass(frozen=True)
class Change:
    """One member changed.

    member: by its name (changes.MEMBERS), "stock", or "may_simulate" with the name of the ink
    of_part: number of the part that it is a member of
    before, after: a figure, a word, a Stock, or for an ink whether it may be simulated
    """

    member: str
    ink: str
    of_part: int
    before: Any
    after: Any


@dataclass(frozen=True)
class Remedy:
    """What would let a press make a part.

    number: of the part
    changes: none of them can be left out; () where no change of the job helps
    offers: of the whole job with the part on the press, one a quantity in the order asked; ()
        without a change, and where the job cannot be made for another reason
    reasons: why no change helps; () where one does
    """

    process: str
    press: str
    part: str
    number: int
    changes: tuple[Change, ...]
    offers: tuple[Offer, ...]
    reasons: tuple[Finding, ...]


def remedies(
    job: Job, plant: Plant, plan: Plan, processes: Processes, chosen: tuple[InstalledPress, ...]
) -> tuple[Remedy, ...]:
    """Return the remedy of every press that is excluded from a part, in the order of the plan.

    chosen: the presses that compete
    """
    trials = Trials(plant, processes, chosen)
    numbers = {part.name: number for number, part in enumerate(job.parts)}
    presses = {(each.process, each.press.id): each for each in chosen}
    with watching():
        return tuple(
            _Cure(job, plant, trials, numbers[out.part], presses[out.process, out.press]).of(out)
            for out in plan.excluded
        )


class _Cure:
    """One press and one part of a job, asked again and again."""

    def __init__(
        self, job: Job, plant: Plant, trials: Trials, number: int, press: InstalledPress
    ) -> None:
        self._job, self._plant, self._trials = job, plant, trials
        self._number, self._press = number, press

    def of(self, out: Excluded) -> Remedy:
        """Return what helps against what keeps the press out."""
        try:
            wanted, reasons = self._found(out.findings)
            wanted = self._needed(wanted)
        except PressUnavailable:  # its model fails on the job as changed
            wanted, reasons = {}, out.findings
        offers = self._offers(wanted) if wanted else ()
        changes = tuple(
            Change(key[0], key[1], self._number, value_of(self._job, self._number, key), value)
            for key, value in wanted.items()
        )
        return Remedy(
            out.process, out.press, out.part, self._number, changes, offers, tuple(reasons)
        )

    def _with(self, wanted: Mapping[Key, Any]) -> Job:
        job = changed(self._job, self._number, wanted)
        if job.binding is not None and (STOCK, "") in wanted:
            return replace(job, parts=bound_parts(job.parts, job.binding, self._plant.binders))
        return job

    def _against(self, wanted: Mapping[Key, Any]) -> tuple[Finding, ...]:
        """Return the limits on the job as changed: of the press, and what they bring for copies."""
        job = self._with(wanted)
        found = self._trials.against(job, self._number, self._press)
        if found or (STOCK, "") not in wanted:
            return found
        before = {limit.code for limit in self._trials.on_copies(self._job)}
        return tuple(each for each in self._trials.on_copies(job) if each.code not in before)

    def _found(self, limits: Sequence[Finding]) -> tuple[Wanted, Sequence[Finding]]:
        """Return changes that admit the press; if there are none, the findings that say why."""
        wanted: Wanted = {}
        for _ in range(ROUNDS):
            told = self._told(limits)
            if not told and all(limit.change for limit in limits):
                told = self._another_stock(wanted, limits)
            if self._with(wanted | told) == self._with(wanted):
                break
            wanted |= told
            limits = self._against(wanted)
            if not limits:
                return wanted, ()
        return {}, [limit for limit in limits if not limit.change] or limits

    def _told(self, limits: Sequence[Finding]) -> Wanted:
        """Return what some findings would have changed, another stock left out.

        What is told apart to differ from piece to piece (names, addresses) is never left out.
        """
        apart = self._job.parts[self._number].overprint is not None
        told: Wanted = {}
        for limit in limits:
            for key, value in keyed(limit.change):
                if key[0] != STOCK and not (apart and key[0] == "variable_share"):
                    told.setdefault(key, value)
        return told

    def _another_stock(self, wanted: Wanted, limits: Sequence[Finding]) -> Wanted:
        """Return the first stock that leaves no limit on the stock, and brings no other; or {}."""
        known = {limit.code for limit in limits if STOCK not in limit.change}
        for stock in self._stocks():
            tried = {(STOCK, ""): stock}
            if {limit.code for limit in self._against(wanted | tried)} <= known:
                return tried
        return {}

    def _stocks(self) -> list[Stock]:
        """Return the stocks that might stand in for the part's own, the nearest first."""
        part = self._job.parts[self._number]
        own = part.stock
        fit = [
            stock
            for stock in self._plant.stocks.values()
            if stock != own
            and LIGHTEST * own.grammage_gsm <= stock.grammage_gsm <= HEAVIEST * own.grammage_gsm
            and stock.tone in (own.tone, "light")
            and (stock.grade == own.grade or part.kind not in SAME_GRADE)
        ]
        return sorted(fit, key=lambda stock: _distance(stock, own))

    def _needed(self, wanted: Wanted) -> Wanted:
        """Return the changes without those that the press does not need, each the least."""
        for key in list(wanted):
            rest = {other: value for other, value in wanted.items() if other != key}
            limits = self._against(rest) if rest else ()
            if rest and not limits:
                return self._needed(rest)
            for less in self._less(key, limits):
                if not self._against(rest | less):
                    # In its old place, so that the order told does not hang on the search.
                    wanted = {other: less.get(other, wanted[other]) for other in wanted}
        return wanted

    def _less(self, key: Key, limits: Sequence[Finding]) -> Iterator[Wanted]:
        """Yield a change as the findings tell it that are left when all others are made."""
        told = self._told(limits)
        if key in told:
            yield {key: told[key]}

    def _offers(self, wanted: Wanted) -> tuple[Offer, ...]:
        """Return the job priced with the part as changed on the press, at every quantity."""
        job = self._with(wanted)
        table = self._trials.table(job, self._number, self._press)
        if table is None:
            return ()
        led = table.led_by(self._number)
        ways = led.first.by_press()[self._press.press.id]
        return tuple(PricedJob(led, job.quantities).offers_of(ways))


def _distance(stock: Stock, own: Stock) -> tuple[bool, bool, float, bool, float, float, str]:
    """By grade, tone, grammage, finish, thickness, then as a plant finds a stock: price, id."""
    return (
        stock.grade != own.grade,
        stock.tone != own.tone,
        abs(stock.grammage_gsm - own.grammage_gsm),
        stock.finish != own.finish,
        abs(stock.caliper_um - own.caliper_um),
        stock.price,
        stock.id,
    )
