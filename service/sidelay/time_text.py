"""When offers are ready, and what a due date makes of them, as text for a person.

Knows nothing but the JSON of the answers. Moments are told by the plant's clocks, as answers write
them. They are rounded up to whole minutes, so that nothing seems ready before it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from .text import Row, sentence, table, titled, wrapped

Answer = Mapping[str, Any]

# Not as the locale has them: the rest of the text is English too.
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

READY = "Ready"
NEVER = "never"
LATE = "*"
TRADE_OFF_HEADS = ("Quantity", "Press", "Process", "Price", READY)
SCHEDULE_HEADS = ("Of", "Operation", "Machine", "Start", "End", "Slack h", "")
SCHEDULE_TEXTS = (0, 1, 2)
COPIES = "copies"
DECIDES = "*"
ANY_PRESS = "presses that the request leaves out"


# ---------------------------------------------------------------- moments


def clock_lines(answer: Answer) -> list[str]:
    """Return at what time an answer is reckoned; nothing where it does not tell."""
    clock = answer.get("clock")
    if not clock:
        return []
    at = _exactly(clock["as_of"])
    why = "as asked" if clock["given"] else "the time of the request"
    return wrapped(f"Reckoned at {at} ({clock['time_zone']}), {why}.")


def ready_heads(answer: Answer, offers: Sequence[Answer]) -> tuple[str, ...]:
    """Return the column of when offers are ready, none where an answer does not tell it of all."""
    told = "clock" in answer and all("ready_at" in offer for offer in offers)
    return (READY,) if told else ()


def ready_cell(answer: Answer, offer: Answer) -> str:
    """Return when an offer is ready."""
    return _cell(offer["ready_at"], answer)


def marked_cell(answer: Answer, offer: Answer) -> str:
    """Return when a choice of /compare is ready, with a mark where that is after it is wanted."""
    if not any(map(_late, _choices(answer))):
        return ready_cell(answer, offer)
    return f"{ready_cell(answer, offer)}{LATE if _late(offer) else ' '}"


def _choices(answer: Answer) -> Iterator[Answer]:
    for asked in answer["quantities"]:
        yield from asked["choices"]


def _late(offer: Answer) -> bool:
    return bool(offer.get("due")) and not offer["due"]["holds"]


def _moment(text: str | None, answer: Answer) -> str:
    """Return a moment: Tue 1 Dec 15:40, with the year where it is not that of the request."""
    if text is None:
        return NEVER
    at = _rounded(text)
    return f"{_day(at, year=_other_year(at, answer))} {at:%H:%M}"


def _cell(text: str | None, answer: Answer) -> str:
    """Return a moment for a table: with a year it has no weekday, to be hardly any wider."""
    told = _moment(text, answer)
    year = text is not None and _other_year(_rounded(text), answer)
    return told.partition(" ")[2] if year else told


def _rounded(text: str) -> datetime:
    at = datetime.fromisoformat(text)
    whole = at.replace(second=0, microsecond=0)
    return whole if whole == at else whole + timedelta(minutes=1)


def _other_year(at: datetime, answer: Answer) -> bool:
    return at.year != datetime.fromisoformat(answer["clock"]["as_of"]).year


def _exactly(text: str) -> str:
    """Return a moment with its year, and to the second where it is not at a full minute."""
    at = datetime.fromisoformat(text)
    return f"{_day(at, year=True)} {at:%H:%M:%S}".removesuffix(":00")


def _day(at: datetime, *, year: bool) -> str:
    day = f"{WEEKDAYS[at.weekday()]} {at.day} {MONTHS[at.month - 1]}"
    return f"{day} {at.year}" if year else day


# ---------------------------------------------------------------- the due date


def due_of_estimates(answer: Answer) -> list[str]:
    """Return what a due date makes of each estimate, nothing without one."""
    return _due_block(answer, [(each, each) for each in answer["estimates"]])


def due_of_choices(answer: Answer) -> list[str]:
    """Return what a due date makes of the best choice at each quantity, nothing without one."""
    best = [(each, each["choices"][0]) for each in answer["quantities"] if each["choices"]]
    wanted, *told = _due_block(answer, best) or [""]
    mark = f" In the table, {LATE} is ready later." if any(map(_late, _choices(answer))) else ""
    return [f"{wanted}{mark}", *told] if wanted else []


def _due_block(answer: Answer, offers: Sequence[tuple[Answer, Answer]]) -> list[str]:
    """offers: what tells the quantity and what else there is, and the best offer there."""
    offers = [(asked, offer) for asked, offer in offers if offer.get("due")]
    if not offers:
        return []
    wanted = _moment(offers[0][1]["due"]["asked_at"], answer)
    told = (line for asked, offer in offers for line in _due_lines(answer, asked, offer))
    return [f"Wanted by {wanted}.", *told]


def _due_lines(answer: Answer, asked: Answer, offer: Answer) -> Iterator[str]:
    """Yield how one quantity stands, then what would make it hold, a line for each."""
    otherwise = asked["otherwise"]
    told = [f"{asked['quantity']:,}: {_stands(offer['due'])}."]
    if offer["overtime"]:
        told.append(_overtime(offer["overtime"]))
    if otherwise["too_late"]:
        told.append(f"The cheapest is too late: {_short(otherwise['too_late'], answer)}.")
    if otherwise["earliest"]:
        told.append(_earliest(otherwise["earliest"], offer, answer))
    would_hold = otherwise["would_hold"]
    if not offer["due"]["holds"]:
        told.append("What would help:" if would_hold else "Nothing that was tried makes it hold.")
    yield from wrapped(" ".join(told), "  ")
    for each in would_hold:
        yield from wrapped(_would_hold(each, answer), "    ")


def _stands(due: Answer) -> str:
    slack_h = due["slack_h"]
    if slack_h is None:
        return "never ready, as far as can be reckoned"
    if due["holds"]:
        return f"in time by {_hours(slack_h)}"
    return f"late by {_hours(-slack_h)}"


def _hours(hours: float) -> str:
    """Return a time in hours, below one in minutes."""
    if hours >= 1:
        return f"{hours:,.1f} h"
    minutes = round(60 * hours)
    return f"{minutes} min" if minutes else "less than a minute"


def _overtime(overtime: Answer) -> str:
    hours = _and([f"{each['hours']:.3g} h {_where(each['machine'])}" for each in overtime["hours"]])
    if "cost" not in overtime:  # whoever asks sees no costs
        return f"It takes overtime: {hours}."
    return f"It takes overtime that costs {_money(overtime['cost'])}: {hours}."


def _where(machine: str | None) -> str:
    return f"on {machine}" if machine else "by hand"


def _earliest(earliest: Answer, offer: Answer, answer: Answer) -> str:
    if earliest["ready_at"] == offer["ready_at"]:
        return "Nothing is ready sooner."
    return f"The earliest: {_short(earliest, answer)}."


def _short(dated: Answer, answer: Answer) -> str:
    """Return an offer in short: its press, price, and when it is ready."""
    ready = _moment(dated["ready_at"], answer)
    return f"{_money(dated['net'])} on {dated['press']}, ready {ready}"


def _would_hold(would: Answer, answer: Answer) -> str:
    """Return one thing that would make the due date hold, what it costs, and when it is ready."""
    more = _more(would["more"])
    if would["lots"]:
        lots = "; ".join(_lot(lot, answer) for lot in would["lots"])
        return sentence(f"in two lots: {lots}; together {_money(would['net'])} ({more})")
    with_what = _and(_changes(would["changes"])) or _words(would["kind"])
    ready = _moment(would["ready_at"], answer)
    told = f"with {with_what} on {would['press']}: {_money(would['net'])} ({more}), ready {ready}"
    # The others say the same of every job.
    hours = f", {would['because']}" if would["kind"] == "overtime" else ""
    return sentence(f"{told}{hours}")


def _lot(lot: Answer, answer: Answer) -> str:
    late = "" if lot["holds"] else ", which is late"
    return f"{lot['quantity']:,} for {_short(lot, answer)}{late}"


def _changes(changes: Mapping[str, Any]) -> list[str]:
    """Return in words how a request would have to be changed."""
    told = {
        "overtime": "overtime",
        "job.rush": "rush work",
        "job.proof": _proof(str(changes.get("job.proof"))),
        "job.drying_aid": "a drying aid",
        "processes": ANY_PRESS,
        "presses": ANY_PRESS,
    }
    known = [told.get(path, f"{path} {value}") for path, value in changes.items()]
    return list(dict.fromkeys(known))


def _proof(proof: str) -> str:
    return "no proof" if proof == "none" else f"a {proof} proof"


def _more(more: str) -> str:
    amount = Decimal(more)
    if not amount:
        return "no more"
    return f"{abs(amount):,} {'more' if amount > 0 else 'less'}"


def _money(net: str) -> str:
    return f"{Decimal(net):,}"


def _words(name: str) -> str:
    return name.replace("_", " ")


def _and(names: Sequence[str]) -> str:
    *first, last = names or [""]
    return f"{', '.join(first)} and {last}" if first else last


# ---------------------------------------------------------------- cheaper or sooner


def trade_off_table(answer: Answer) -> list[str]:
    """Return who is cheaper or sooner, of each quantity where that is not the same."""
    rows = [
        row
        for asked in answer["quantities"]
        if len(asked.get("trade_off", ())) > 1
        for row in _trade_off_rows(asked, answer)
    ]
    return ["Cheaper or sooner", *table(TRADE_OFF_HEADS, rows, (1, 2))] if rows else []


def _trade_off_rows(asked: Answer, answer: Answer) -> Iterator[Row]:
    for number, dated in enumerate(asked["trade_off"]):
        yield (
            "" if number else f"{asked['quantity']:,}",
            dated["press"],
            dated["process"],
            _money(dated["net"]),
            _cell(dated["ready_at"], answer),
        )


# ---------------------------------------------------------------- the schedule


def schedule_tables(answer: Answer) -> list[list[str]]:
    """Return a table for each estimate that has its schedule: its operations on the clock."""
    return [schedule_table(answer, each) for each in answer["estimates"]]


def schedule_table(answer: Answer, offer: Answer) -> list[str]:
    """Return every operation of an offer with its times; nothing where they are not told.

    Slack is by how much it can be later without the job being later, on its own clock.
    """
    operations = offer.get("schedule")
    if not operations:
        return []
    rows = [_operation_row(each, answer) for each in operations]
    title = f"The schedule of {offer['quantity']:,}: {DECIDES} decides when it is ready"
    overtime = [
        wrapped(f"{each['id']}: {each['overtime_h']:.3g} h of it in overtime.", "  ")
        for each in operations
        if each["overtime_h"]
    ]
    lines = table(SCHEDULE_HEADS, rows, SCHEDULE_TEXTS)
    return [title, *lines, *titled("In overtime", overtime)]


def _operation_row(operation: Answer, answer: Answer) -> Row:
    return (
        operation["part"] or COPIES,
        _words(operation["operation"]),
        operation["machine"] or "",
        _cell(operation["start_at"], answer),
        _cell(operation["end_at"], answer),
        f"{operation['slack_h']:,.1f}",
        DECIDES if operation["critical"] else "",
    )
