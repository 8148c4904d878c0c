"""Answers of the service as text for a person: a table, then what it means in words.

Lines have at most 100 columns. Knows nothing but the JSON of the answers.
"""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from .hangs_text import hangs_on_lines
from .process_text import processes_table
from .text import WIDTH, Row, fits, joined, sentence, table, titled, wrapped
from .time_text import (
    READY,
    clock_lines,
    due_of_choices,
    due_of_estimates,
    marked_cell,
    ready_cell,
    ready_heads,
    schedule_tables,
    trade_off_table,
)
from .whole_job_text import (
    binding_lines,
    delivery_lines,
    not_finished,
    of_first_part,
    other_parts,
    part_names,
    parts_table,
    routes_text,
    steps_table,
    warning_lines,
)

NOBODY = "No press of this plant can print this job."
IN_TIME_NOBODY = "none is ready in time"
NOT_FINISHED = "This plant cannot bind, finish or pack this job as asked."

COPY_TITLES = {
    "limit": "What stands against binding, finishing or packing it, and what would help",
    "caution": "What to know about binding, finishing and packing it",
}

Answer = Mapping[str, Any]

CHOICE_HEADS = ("Quantity", "Press", "Process", "Price", "Each", "Sheets", "Hours")
ESTIMATE_HEADS = (*CHOICE_HEADS[:5], "+1,000", "Sheets", "Hours")
TEXT_COLUMNS = (1, 2)

# A band that ends before this many times its start is short: with neighbours, part of a flicker.
SHORT_BAND = 1.1


def comparison_text(answer: Answer) -> str:
    """Return the answer of /compare: every press at every quantity, who wins where, and why.

    Each is the price of one piece; sheets are press sheets (cut-offs, repeats, pieces) with their
    waste; hours are press hours; ready is when the copies are, by the plant's clocks; ratio is the
    price against the cheapest one, and score stands there where they are not ranked by price alone.
    """
    last = _last_heads(answer)
    rows = [row for asked in answer["quantities"] for row in _choice_rows(answer, asked, last)]
    blocks = [
        _head(answer),
        _of_copies(answer, "limit"),
        _ranked_by(answer) if rows else [],
        _presses_table((*CHOICE_HEADS, *last), rows) if rows else _nobody(answer),
        other_parts(answer),
        due_of_choices(answer),
        trade_off_table(answer),
        _of_copies(answer, "caution"),
        _bands("The cheapest press", answer["bands"]),
        _bands(f"The cheapest press in time{of_first_part(answer)}", answer.get("due_bands")),
        _bands("The press that costs the plant least", answer.get("cost_bands")),
        _crossovers(answer),
        hangs_on_lines(answer),
        processes_table(answer.get("characteristics", ()), part_names(answer)),
        *_notes(answer),
    ]
    return joined(blocks)


def estimate_text(answer: Answer) -> str:
    """Return the answer of /estimate: the best press at every quantity, then why not others.

    +1,000 is the price of a further 1,000 on the same press; the rest as for a comparison.
    """
    ready = ready_heads(answer, answer["estimates"])
    rows = [
        (*_estimate_row(each), *(ready_cell(answer, each) for _ in ready))
        for each in answer["estimates"]
    ]
    blocks = [
        _head(answer),
        _of_copies(answer, "limit"),
        _presses_table((*ESTIMATE_HEADS, *ready), rows) if rows else _nobody(answer),
        due_of_estimates(answer),
        delivery_lines(answer),
        parts_table(answer),
        steps_table(answer),
        *schedule_tables(answer),
        _of_copies(answer, "caution"),
        *_notes(answer),
    ]
    return joined(blocks)


def problem_text(title: str, detail: str, errors: Sequence[Mapping[str, str]]) -> str:
    """Return a problem: what it is, then one line for each fault, "where: detail"."""
    first = f"{title.rstrip('.')}." + (f" {detail}" if detail else "")
    return "\n".join([first, *(f"{_where(fault)}: {fault['detail']}" for fault in errors)])


def _where(fault: Mapping[str, str]) -> str:
    """The pointer of a fault, or the query parameter that it stands in."""
    return f"?{fault['parameter']}" if fault.get("parameter") else fault["pointer"]


# ---------------------------------------------------------------- the table


def _presses_table(heads: Row, rows: Sequence[Row]) -> list[str]:
    """Return the table of presses, without the process where that alone makes it fit the page."""
    cut = heads.index("Process")
    narrow, *rest = ((*row[:cut], *row[cut + 1 :]) for row in (heads, *rows))
    if not fits(heads, rows) and fits(narrow, rest):
        return table(narrow, rest, TEXT_COLUMNS[:1])
    return table(heads, rows, TEXT_COLUMNS)


def _last_heads(answer: Answer) -> tuple[str, ...]:
    """Return the last columns: what is ranked by, and when it is ready where that is told."""
    choices = [choice for asked in answer["quantities"] for choice in asked["choices"]]
    last = "Ratio" if _counting(answer) == ["price"] else "Score"
    return (*ready_heads(answer, choices), last)


def _counting(answer: Answer) -> list[str]:
    """Return what the choices are ranked by; releases that do not tell rank by price."""
    weights = answer.get("ranked_by", {"price": 1.0})
    return [name for name, weight in weights.items() if weight and isinstance(weight, int | float)]


def _ranked_by(answer: Answer) -> list[str]:
    """Return how the choices are ranked, nothing where it is by price alone."""
    counting = _counting(answer)
    if counting == ["price"]:
        return []
    if len(counting) == 1:
        return wrapped(f"Ranked by {counting[0]}; the score is its ratio to the best.")
    weights = (f"{answer['ranked_by'][name]:g} x {name}" for name in counting)
    return wrapped(f"Ranked by {' + '.join(weights)}, each as its ratio to the best: the score.")


def _choice_rows(answer: Answer, asked: Answer, last: Sequence[str]) -> Iterator[Row]:
    """Yield a row for each press at one quantity; the quantity stands in the first only."""
    for number, choice in enumerate(asked["choices"]):
        yield (
            "" if number else f"{asked['quantity']:,}",
            choice["press"],
            choice["process"],
            *_prices(choice["price"]),
            f"{choice['sheets']['total']:,}",
            f"{choice['hours']:,.2f}",
            *(_last(answer, choice, head) for head in last),
        )


def _last(answer: Answer, choice: Answer, head: str) -> str:
    if head == READY:
        return marked_cell(answer, choice)
    return _figure(choice["ratio_to_best" if head == "Ratio" else "score"])


def _figure(number: float | None) -> str:
    return "-" if number is None else f"{number:,.2f}"


def _estimate_row(estimate: Answer) -> Row:
    parts, price = estimate["parts"], estimate["price"]
    return (
        f"{estimate['quantity']:,}",
        estimate["press"],
        estimate["process"],
        *_prices(price),
        f"{Decimal(price['run_on_per_1000']):,}",
        f"{sum(part['sheets']['total'] for part in parts):,}",
        f"{sum(part['hours'] for part in parts):,.2f}",
    )


def _prices(price: Mapping[str, str]) -> tuple[str, str]:
    """Return the price, and that of one piece with two decimals more than the currency has."""
    net = Decimal(price["net"])
    step = Decimal(1).scaleb(int(net.as_tuple().exponent) - 2)
    return f"{net:,}", f"{Decimal(price['per_piece']).quantize(step, ROUND_HALF_UP):,}"


# ---------------------------------------------------------------- what it means


def _head(answer: Answer) -> list[str]:
    plant = answer["plant"]
    where = f"{plant['name']}. Prices in {plant['currency']}, net of tax."
    title = answer["title"] or "Job without a title"
    return [*wrapped(title), *wrapped(where), *binding_lines(answer), *clock_lines(answer)]


def _nobody(answer: Answer) -> list[str]:
    """Return why there is no price: what cannot be done to copies, or the part nobody prints."""
    if not_finished(answer):
        return [NOT_FINISHED]
    # No press was left for such a part, so it is left out by more of them than any other.
    left_out = Counter(each["part"] for each in answer["excluded"])
    most = max(left_out.values(), default=0)
    none = [part for part, count in left_out.items() if count == most]
    if len(left_out) == len(none):
        return [NOBODY]
    return [f"No press of this plant can print the {', nor the '.join(none)}."]


def _of_copies(answer: Answer, severity: str) -> list[str]:
    """Return what is found about binding, finishing and packing copies."""
    found = [each for each in answer["findings"] if each["severity"] == severity]
    return titled(COPY_TITLES[severity], (wrapped(told, "  ") for told in _told(found)))


def _bands(title: str, bands: Sequence[Answer] | None) -> list[str]:
    """Return who wins from where to where; nothing where nobody does, or nobody asked."""
    if not bands:
        return []
    lines = []
    for turns in _taking_turns(bands):
        told = routes_text(turns) if turns[0]["press"] else IN_TIME_NOBODY
        if len(turns) > 1:
            several = len(turns[0]["route"]) > 1
            told += f"{'; they' if several else ''} take turns, {len(turns)} bands"
        lines.append((f"{turns[0]['from']:,} to {turns[-1]['to']:,}", told))
    width = max(len(span) for span, _ in lines)
    wrapped = [
        line
        for span, told in lines
        for line in textwrap.wrap(
            told, WIDTH, initial_indent=f"  {span:<{width}}  ", subsequent_indent=" " * (width + 4)
        )
    ]
    return [title, *wrapped]


def _taking_turns(bands: Sequence[Answer]) -> list[list[Answer]]:
    """Group neighbours that are each short: there, presses swap with every sheet or plate."""
    groups: list[list[Answer]] = []
    before_short = False
    for band in bands:
        short = band["to"] < SHORT_BAND * band["from"]
        if short and before_short and band["press"]:
            groups[-1].append(band)
        else:
            groups.append([band])
        before_short = short
    return groups


def _crossovers(answer: Answer) -> list[str]:
    if not answer["crossovers"]:
        return []
    last = f"{answer['bands'][-1]['to']:,}"
    several = len({step["part"] for step in answer["bands"][0]["route"]}) > 1
    told = (
        (f"{swap['part']}: " if several else "") + _crossover(swap, last)
        for swap in answer["crossovers"]
    )
    return ["Where processes cross", *(line for text in told for line in wrapped(text, "  "))]


def _crossover(swap: Answer, last: str) -> str:
    loser, winner, first = swap["from_process"], swap["to_process"], f"{swap['first_at']:,}"
    settled = swap["settled_at"]
    if settled == swap["first_at"]:
        return f"From {first} on {winner} is cheaper than {loser}, up to {last}."
    start = f"{winner} first becomes cheaper than {loser} at {first}"
    if settled is None:
        return f"{start}, but {loser} wins again later."
    return f"{start}, and stays so from {settled:,} up to {last}."


def _notes(answer: Answer) -> list[list[str]]:
    """Return what every answer ends with: who cannot, who failed, and what to know."""
    failed = [
        wrapped(f"{each['press']}, {each['process']}: see {each['reference']} in the log.", "  ")
        for each in answer["unavailable"]
    ]
    safety = [
        [
            f"  {each['process']}",
            *(line for told in each["cautions"] for line in wrapped(told, "    ")),
        ]
        for each in answer.get("safety", ())
    ]
    return [
        warning_lines(answer),
        *_left_out(answer),
        _two_jobs(answer),
        titled("Presses whose plug-in failed, so that they are not priced", failed),
        titled("Cautions", _presses((each, [each]) for each in answer["cautions"])),
        titled("Safety: local codes and licensed practice come first", safety),
        titled("Safety in finishing and binding", _finishing_safety(answer)),
    ]


def _finishing_safety(answer: Answer) -> list[list[str]]:
    """Return a block for each caution, the operations that share it named together."""
    every = answer.get("safety_finishing", ())
    shared: dict[str, list[str]] = {}
    for each in every:
        for told in each["cautions"]:
            shared.setdefault(told, []).append(each["operation"].replace("_", " "))
    # What holds for all of them comes last, as in the answer.
    blocks = sorted(shared.items(), key=lambda block: len(block[1]) == len(every))
    return [[*wrapped(", ".join(names), "  "), *wrapped(told, "    ")] for told, names in blocks]


def _left_out(answer: Answer) -> Iterator[list[str]]:
    """Yield who cannot print what: one block a part where there are several."""
    parts = dict.fromkeys(each["part"] for each in answer["excluded"])
    several = len({*parts, *part_names(answer)}) > 1
    for part in parts:
        what = f"the {part}" if several else "it"
        yield titled(
            f"Presses that cannot print {what}, and what would help",
            _presses(
                (each, [*each["findings"], *_remedies(answer, each)])
                for each in answer["excluded"]
                if each["part"] == part
            ),
        )


def _two_jobs(answer: Answer) -> list[str]:
    """Return what a price after a change must not be taken for, where one is told."""
    if not any(each.get("prices") for each in answer.get("remedies", ())):
        return []
    return wrapped(
        "A price after a change is that of the changed job: another press may do that one for "
        "less. Ask for it with the change put in to see them all."
    )


def _remedies(answer: Answer, out: Answer) -> list[Answer]:
    """Return what the answer says of a change that would let a press in, as a finding is told."""
    who = ("process", "press", "part")
    return [
        {"message": each["message"], "asked": None, "limit": None, "unit": "", "remedy": ""}
        for each in answer.get("remedies", ())
        if each["changes"] and all(each[name] == out[name] for name in who)
    ]


def _presses(found: Iterable[tuple[Answer, list[Answer]]]) -> list[list[str]]:
    """Return a block for each set of findings, the presses that share it named together."""
    of_press: dict[str, list[Answer]] = {}
    for each, findings in found:
        of_press.setdefault(f"{each['press']}, {each['process']}", []).extend(findings)
    presses: dict[tuple[str, ...], list[str]] = {}
    for press, findings in of_press.items():
        presses.setdefault(tuple(_told(findings)), []).append(press)
    return [
        [
            *wrapped("; ".join(names), "  "),
            *(line for text in told for line in wrapped(text, "    ")),
        ]
        for told, names in presses.items()
    ]


def _told(findings: Iterable[Answer]) -> Iterator[str]:
    """Yield what was found in sentences; findings that one remedy helps stand together."""
    by_remedy: dict[str, dict[str, None]] = {}
    for finding in findings:
        by_remedy.setdefault(finding["remedy"], {})[_finding(finding)] = None
    for remedy, messages in by_remedy.items():
        yield sentence("; ".join(messages)) + (f" {sentence(remedy)}" if remedy else "")


def _finding(finding: Answer) -> str:
    figures = [
        f"{name} {finding[name]}" for name in ("asked", "limit") if finding[name] not in (None, "")
    ]
    unit = f" {finding['unit']}" if finding["unit"] else ""
    told = f" ({', '.join(figures)}{unit})" if figures else ""
    return f"{finding['message']}{told}"
