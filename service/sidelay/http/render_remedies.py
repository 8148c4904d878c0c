"""Remedies as plain data: changes that can be put into the request, prices, and a sentence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from ..changes import INKS, MEMBERS, STOCK
from ..job import Job, Part, Side
from ..offers import Offer
from ..remedies import Change, Remedy
from .render_offer import OfferWriter, ratio

# How a change is said: the value is put in as {}. Of what comes in words, by the word.
_FIGURES: Mapping[str, str] = {
    "ruling_lpi": "at {:g} lpi",
    "min_type_pt": "with no type under {:g} pt",
    "min_reverse_type_pt": "with no type under {:g} pt reversed out",
    "min_line_pt": "with no line under {:g} pt",
    "register_mm": "with colours that may be {:g} mm off each other",
    "tone_steps": "with {:g} tone steps",
}
_WORDS: Mapping[str, str] = {
    "impression": "with a {} impression",
    "grain": "with {} grain",
    "quality": "at {} quality",
}


def write_remedies(
    found: Sequence[Remedy], job: Job, best: Sequence[int | None], writer: OfferWriter
) -> list[dict[str, Any]]:
    """Return every remedy.

    best: cheapest price of the job as it is, one a quantity; None where no press can make it
    """
    return [_remedy(remedy, job, best, writer) for remedy in found]


def _remedy(
    remedy: Remedy, job: Job, best: Sequence[int | None], writer: OfferWriter
) -> dict[str, Any]:
    prices = [
        _price(offer, cheapest, writer)
        for offer, cheapest in zip(remedy.offers, best if remedy.offers else (), strict=True)
    ]
    reasons = list(dict.fromkeys(finding.message for finding in remedy.reasons))
    changes = [one for change in remedy.changes for one in _change(change, job)]
    return {
        "process": remedy.process,
        "press": remedy.press,
        "part": remedy.part,
        "changes": changes or None,
        "prices": prices,
        "reasons": reasons,
        "message": _message(remedy, prices, reasons, several=len(job.parts) > 1),
    }


def _price(offer: Offer, best: int | None, writer: OfferWriter) -> dict[str, Any]:
    return {
        "quantity": offer.quantity,
        "price": writer.price(offer),
        "cost": writer.cost(offer),
        "ratio_to_best": None if best is None else ratio(offer.price, best),
    }


def _change(change: Change, job: Job) -> Iterator[dict[str, Any]]:
    """Yield the members to change: one, but for an ink every place where it stands."""
    part = f"#/parts/{change.of_part}"
    if change.member == INKS:
        for place in _places(change.ink, job.parts[change.of_part]):
            yield _written(f"{part}/{place}/{INKS}", INKS, change.before, change.after)
    elif change.member == STOCK:
        before, after = {"id": change.before.id}, {"id": change.after.id}
        yield _written(f"{part}/{STOCK}", STOCK, before, after)
    else:
        member = MEMBERS[change.member]
        where = "#" if member.of_job else part
        yield _written(
            f"{where}/{change.member}", change.member, change.before, change.after, member.unit
        )


def _written(member: str, name: str, before: Any, after: Any, unit: str = "") -> dict[str, Any]:
    return {"member": member, "name": name, "from": before, "to": after, "unit": unit}


def _places(ink: str, part: Part) -> Iterator[str]:
    """Yield where an ink stands in the part of a request, and may not be simulated yet."""
    sides: list[tuple[str, Side]] = [("front", part.front), ("back", part.back)]
    if part.overprint is not None:
        front, back = part.overprint
        sides += [("overprint/front", front), ("overprint/back", back)]
    for name, side in sides:
        for place, each in enumerate(side.inks):
            if each.name == ink and not each.may_simulate:
                yield f"{name}/inks/{place}"


def _message(
    remedy: Remedy, prices: Sequence[Mapping[str, Any]], reasons: Sequence[str], *, several: bool
) -> str:
    if not remedy.changes:
        return f"no change to the same piece would let the press do it: {'; '.join(reasons)}"
    what = f"the {remedy.part}" if several else "it"
    said = _joined([_said(change) for change in remedy.changes])
    if not prices:
        return f"{said} the press could do {what}, but something else stands against the job"
    first = prices[0]
    money = f"{Decimal(first['price']['net']):,} {first['price']['currency']}"
    if several:
        return f"{said} the press would do {what}, and {first['quantity']:,} come to {money} in all"
    return f"{said} the press would do {first['quantity']:,} for {money}"


def _said(change: Change) -> str:
    if change.member == INKS:
        return f"with {change.ink} built from process inks"
    if change.member == STOCK:
        return f"on {change.after.name}"
    if change.member == "variable_share":
        return _varying(change.after)
    if change.member in _FIGURES:
        return _FIGURES[change.member].format(change.after)
    return _WORDS[change.member].format(change.after)


def _varying(share: float) -> str:
    return f"with {share:.2%} of it different on every piece" if share else "with all pieces alike"


def _joined(phrases: Sequence[str]) -> str:
    *first, last = phrases
    return f"{', '.join(first)} and {last}" if first else last
