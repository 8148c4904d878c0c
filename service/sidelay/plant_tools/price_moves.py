"""Every price of some jobs on an old and a new plant: what moved, and why. As plain data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

from .job_files import JobRequest
from .price_difference import price_difference
from .pricing import PlantPricing

Plain = dict[str, Any]
PERCENT = Decimal("0.01")
SAME, MOVED = "same", "moved"
IMPOSSIBLE, IMPOSSIBLE_NOW, POSSIBLE_NOW = "impossible", "impossible_now", "possible_now"


@dataclass(frozen=True, slots=True)
class BothAnswers:
    """A job, what it was answered on the old plant and what on the new."""

    job: JobRequest
    old: Mapping[str, Any]
    new: Mapping[str, Any]

    @property
    def quantities(self) -> list[int | None]:
        """Those asked; [None] where the request has none that can be read."""
        asked = self.job.body["job"].get("quantities")
        if not isinstance(asked, list) or not asked:
            return [None]
        return [each if isinstance(each, int) else None for each in asked]

    @property
    def is_level(self) -> bool:
        """Whether no price and no route moved."""
        told = [[(e["price"]["net"], presses_of(e)) for e in a["estimates"]] for a in self._both]
        return told[0] == told[1]

    @property
    def _both(self) -> tuple[Mapping[str, Any], Mapping[str, Any]]:
        return self.old, self.new


def presses_of(offer: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the presses of an offer, in the order of its route."""
    return tuple(each["press"] for each in offer["route"])


def answers(
    jobs: Iterable[JobRequest], old: PlantPricing, new: PlantPricing
) -> Iterator[BothAnswers]:
    """Yield each job with its answers on both plants."""
    for job in jobs:
        yield BothAnswers(job, old.answer(job.body), new.answer(job.body))


def moves_of(both: BothAnswers, old: PlantPricing, new: PlantPricing) -> list[Plain]:
    """Return the move of the price at each quantity of a job, in their order.

    old, new: price the old route on the new plant, and the new one on the old
    """
    return [
        _move(both, place, quantity, old, new) for place, quantity in enumerate(both.quantities)
    ]


def _move(
    both: BothAnswers, place: int, quantity: int | None, old: PlantPricing, new: PlantPricing
) -> Plain:
    before, after = _at(both.old, place), _at(both.new, place)
    told: Plain = {
        "job": both.job.name,
        "title": both.job.body["job"].get("title", ""),
        "quantity": quantity,
        "status": _status(before, after),
        "old": _offer(before),
        "new": _offer(after),
        "difference": None,
        "percent": None,
        "lines": [],
        "steps": [],
        "rerouted": None,
        "why_not": [],
    }
    if before is None or after is None:
        lost = both.new if after is None else both.old
        return told | {"why_not": why_not(lost, before or after)}
    return told | _explained(before, after) | _rerouted(both, place, before, after, old, new)


def _at(answer: Mapping[str, Any], place: int) -> Mapping[str, Any] | None:
    found: Sequence[Mapping[str, Any]] = answer["estimates"]
    return found[place] if found else None


def _status(before: Mapping[str, Any] | None, after: Mapping[str, Any] | None) -> str:
    if before is None:
        return IMPOSSIBLE if after is None else POSSIBLE_NOW
    if after is None:
        return IMPOSSIBLE_NOW
    level = before["price"]["net"] == after["price"]["net"]
    return SAME if level and presses_of(before) == presses_of(after) else MOVED


def _offer(offer: Mapping[str, Any] | None) -> Plain | None:
    if offer is None:
        return None
    return {
        "price": offer["price"]["net"],
        "cost": offer["cost"]["total"],
        "presses": list(presses_of(offer)),
    }


def _explained(before: Mapping[str, Any], after: Mapping[str, Any]) -> Plain:
    """Return the difference and its parts, money as text."""
    found = price_difference(before, after)
    percent = None
    if found.old:
        percent = (found.difference / found.old * 100).quantize(PERCENT, ROUND_HALF_EVEN)
    return {
        "difference": str(found.difference),
        "percent": None if percent is None else float(percent),
        **{
            name: [
                {
                    key: str(value) if isinstance(value, Decimal) else value
                    for key, value in (asdict(each) | {"difference": each.difference}).items()
                }
                for each in moved
            ]
            for name, moved in (("lines", found.lines), ("steps", found.steps))
        },
    }


def _rerouted(
    both: BothAnswers,
    place: int,
    before: Mapping[str, Any],
    after: Mapping[str, Any],
    old: PlantPricing,
    new: PlantPricing,
) -> Plain:
    """Return what the old route costs on the new plant and the new one on the old, if they differ.

    A route is taken to be its presses: how the job is laid out on them is chosen anew.
    """
    if presses_of(before) == presses_of(after):
        return {}
    body = both.job.body
    return {
        "rerouted": {
            "old_presses_now": _only_on(new, body, place, before),
            "new_presses_before": _only_on(old, body, place, after),
        }
    }


def _only_on(
    pricing: PlantPricing, body: Mapping[str, Any], place: int, offer: Mapping[str, Any]
) -> Plain:
    presses = tuple(dict.fromkeys(presses_of(offer)))
    answer = pricing.answer(body, detail="price", presses=presses)
    found = _at(answer, place)
    if found is None:
        return {"price": None, "presses": list(presses), "why_not": why_not(answer, offer)}
    return {"price": found["price"]["net"], "presses": list(presses_of(found)), "why_not": []}


def why_not(answer: Mapping[str, Any], elsewhere: Mapping[str, Any] | None) -> list[str]:
    """Return why an answer has no offer: faults, findings, or what stands against its presses.

    elsewhere: the offer of the other plant, whose presses are told of; None for all presses
    """
    told = [f"{each['pointer']}: {each['detail']}" for each in answer["faults"]]
    told += [each["message"] for each in answer["findings"] if each["severity"] == "limit"]
    wanted = set(presses_of(elsewhere)) if elsewhere else None
    excluded = [e for e in answer["excluded"] if wanted is None or e["press"] in wanted]
    for each in excluded:
        why = "; ".join(finding["message"] for finding in each["findings"])
        told.append(f"{each['press']}, {each['part']}: {why}")
    if not told and wanted:
        told.append(f"no press of this plant takes it; {', '.join(sorted(wanted))} did")
    return told or ["no press of this plant takes it"]


def effects_of(
    prices: Sequence[Mapping[str, Any] | None], move: Mapping[str, Any], place: int
) -> Plain:
    """Return `effects`, what each trial alone does to the price of a move, and `joint`, the rest.

    prices: by trial, the answer to the job with it alone; None for a trial without a plant
    place: of the quantity in the job
    The joint effect is None where one of the prices is missing: there is nothing to subtract from.
    """
    effects, summed = [], Decimal(0)
    known = move["old"] is not None and move["new"] is not None
    was = move["old"]
    for number, answer in enumerate(prices):
        if answer is None:
            continue
        offer = _at(answer, place)
        price = None if offer is None else offer["price"]["net"]
        presses = [] if offer is None else list(presses_of(offer))
        before = was and was["price"]
        if price == before and (was is None or presses == was["presses"]):
            continue
        by = None if price is None or was is None else Decimal(price) - Decimal(was["price"])
        known = known and by is not None
        summed += by or 0
        effects.append(
            {
                "trial": number,
                "price": price,
                "presses": presses,
                "difference": None if by is None else str(by),
            }
        )
    joint = str(Decimal(move["difference"]) - summed) if known and prices else None
    return {"effects": effects, "joint": joint}
