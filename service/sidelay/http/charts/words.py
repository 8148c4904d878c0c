"""Pictures in words: what stands on them, and the text for who does not see them."""

from __future__ import annotations

from collections.abc import Iterator

from ...money import decimal_text, share_text
from .facts import Bar, CurveFacts, Facts, Head, MoneyFacts, NothingFacts, Reason

PIECE_DIGITS = 4


def stage_name(stage: str) -> str:
    """Return a stage as it is said: make-ready, wash-up."""
    return stage.replace("_", "-")


def measured(head: Head) -> str:
    """Return what the amounts are: "cost of one piece", "price of all pieces"."""
    each = "one piece" if head.chart == "unit_cost" else "all pieces"
    return f"{head.measure} of {each}"


def axis_words(head: Head) -> str:
    """Return the same with its unit."""
    return f"{measured(head)} [{head.currency}]"


def whose(head: Head) -> str:
    """Return whose money it is."""
    if head.measure == "cost":
        return "what the job costs the plant"
    return "what the customer pays, net of tax"


def money(head: Head, minor: int) -> str:
    """Return an amount with its currency: "1,234.50 EUR"."""
    whole, point, decimals = decimal_text(minor, head.digits).partition(".")
    return f"{int(whole):,}{point}{decimals} {head.currency}"


def subtitle(facts: Facts) -> str:
    """Return what a picture shows, as the line under its title."""
    head = facts.head
    if isinstance(facts, MoneyFacts):
        shown = f"Where the money goes for {facts.quantity:,} pieces: {whose(head)}"
        return f"{shown}, by stage and press. {head.plant}."
    if isinstance(facts, NothingFacts):
        return f"{head.plant}."
    shown = f"{measured(head).capitalize()} by quantity: {whose(head)}"
    return f"{shown}, with each process on its cheapest press. {head.plant}."


def heading(head: Head) -> str:
    """Return the title of the job, or words in its place."""
    return head.title or "Job without a title"


def in_words(facts: Facts) -> str:
    """Return all that a picture says, in sentences."""
    if isinstance(facts, CurveFacts):
        told = _curves(facts)
    elif isinstance(facts, MoneyFacts):
        told = _money(facts)
    else:
        told = iter(nothing_lines(facts))
    return " ".join([subtitle(facts), *told])


def _curves(facts: CurveFacts) -> Iterator[str]:
    yield f"Both axes are logarithmic, quantities from {facts.start:,} to {facts.up_to:,} pieces."
    won = [f"{each.name} from {each.first:,} to {each.last:,}" for each in facts.won]
    yield f"The cheapest: {'; '.join(won)}."
    for quantity in dict.fromkeys(facts.asked):
        rows = sorted((line.money[quantity], line.name) for line in facts.lines)
        told = [f"{name} {_amount(facts.head, minor, quantity)}" for minor, name in rows]
        yield f"At {quantity:,}: {', '.join(told)}."


def _amount(head: Head, minor: int, quantity: int) -> str:
    if head.chart == "unit_cost":
        return f"{share_text(minor, quantity, head.digits, PIECE_DIGITS)} {head.currency}"
    return money(head, minor)


def _money(facts: MoneyFacts) -> Iterator[str]:
    for bar in facts.bars:
        yield _bar(facts.head, bar)


def _bar(head: Head, bar: Bar) -> str:
    stages = [f"{stage_name(stage)} {money(head, minor)}" for stage, minor in bar.stages.items()]
    return f"{bar.press} ({bar.process}): {money(head, bar.total)}; {', '.join(stages)}."


def nothing_lines(facts: NothingFacts) -> list[str]:
    """Return that no press can make the job, and why, a sentence a line."""
    lines = ["No press of this plant can make this job."]
    lines += facts.findings
    if facts.presses:
        several = sum(reason.presses for reason in facts.reasons) > facts.presses
        more = ", some for more than one reason" if several else ""
        lines.append(f"{_presses(facts.presses)} left out{more}:")
    return lines + [_reason(reason) for reason in facts.reasons]


def _reason(reason: Reason) -> str:
    """Return a reason with how many it keeps out, and what is said of one of them."""
    message = reason.message.rstrip(".")
    return f"{_presses(reason.presses)}: {reason.words}. {reason.one}: {message}."


def _presses(count: int) -> str:
    return f"{count} press{'' if count == 1 else 'es'}"
