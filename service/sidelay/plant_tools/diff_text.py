"""What moved between two plant files as text for a person: a table, then why, price by price.

Lines have at most 100 columns. Knows nothing but the plain data of the report.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from ..text import joined, sentence, table, wrapped

Report = Mapping[str, Any]
# What a row says of a price that is there on one side alone.
STATUS = {
    "impossible_now": "no longer possible",
    "possible_now": "possible now",
    "impossible": "not possible",
}
HEADS = ("Job", "Copies", "Old price", "New price", "Difference", "%", "Presses")
TEXT_COLUMNS = (0, 6)
LINE_HEADS = ("Part", "Stage", "Line", "Before", "Now", "Difference")
LONGEST_VALUE = 40


def diff_text(report: Report, *, every: bool = False) -> str:
    """Return the report as text. every: with the prices that stay"""
    moves = report["moves"]
    moved = [move for move in moves if move["status"] not in ("same", "impossible")]
    shown = moves if every else moved
    blocks = [
        _head(report, len(moved)),
        table(HEADS, [_row(move) for move in shown], TEXT_COLUMNS) if shown else [],
        _changes(report),
        *([*_why(move, report)] for move in moved),
        *(_impossible(move) for move in shown if move["status"] == "impossible"),
    ]
    return joined(blocks)


def _head(report: Report, moved: int) -> list[str]:
    old, new, moves = report["old"], report["new"], report["moves"]
    group = f" for customer group {report['group']}" if report["group"] else ""
    jobs = len({move["job"] for move in moves})
    return [
        f"Old: {old['file']}, plant {old['id']}, revision {old['revision']}",
        f"New: {new['file']}, plant {new['id']}, revision {new['revision']}",
        f"{moved} of {len(moves)} prices of {jobs} job(s) move; "
        f"net of tax in {report['currency']}{group}.",
    ]


def _row(move: Report) -> tuple[str, ...]:
    quantity = "" if move["quantity"] is None else f"{move['quantity']:,}"
    if move["status"] in STATUS:
        prices = [side["price"] if side else "-" for side in (move["old"], move["new"])]
        presses = _presses(move["old"] or move["new"])
        told = f"{STATUS[move['status']]}; {presses}" if presses else STATUS[move["status"]]
        return (move["job"], quantity, *prices, "", "", told)
    old, new = move["old"], move["new"]
    presses = _presses(new)
    if move["rerouted"]:
        presses = f"{_presses(old)} -> {presses}"
    by = Decimal(move["difference"])
    share = "" if move["percent"] is None else f"{move['percent']:+.2f}"
    return (move["job"], quantity, old["price"], new["price"], f"{by:+}", share, presses)


def _presses(side: Report | None) -> str:
    return ", ".join(dict.fromkeys(side["presses"])) if side else ""


# ---------------------------------------------------------------- what changed in the file


def _changes(report: Report) -> list[str]:
    """Return every change of the file by its number, and what was tried of them."""
    changed = report["changes"]
    if not changed:
        return ["Nothing changed in the plant file but, at most, its comments."]
    lines = [f"What changed in the plant file ({len(changed)}):"]
    for number, change in enumerate(changed, 1):
        lines += wrapped(f"{number}. {_change(change)}", "  ")
    words = sum(change["words"] for change in changed)
    if words:
        lines += wrapped(f"Names and sources move no price and are not tried: {words}.")
    if report["trials_together"]:
        lines += wrapped("There are too many to try each alone: those of one table go together.")
    if report["trials_left_out"]:
        tried, rest = len(report["trials"]), report["trials_left_out"]
        lines += wrapped(f"{tried} tried alone; {rest} more were not, see --most-trials.")
    for trial in report["trials"]:
        if trial["faults"]:
            told = "; ".join(trial["faults"])
            lines += wrapped(f"Makes no plant alone: {_numbers(trial)}: {told}", "  ")
    return lines


def _change(change: Report) -> str:
    table_name = f"[{change['table']}]" if change["table"] else ""
    where = " ".join(filter(None, (table_name, change["key"])))
    if not change["key"]:
        return f"{where} {'came' if change['old'] is None else 'went'}"
    return f"{where}: {_value(change['old'])} -> {_value(change['new'])}"


def _value(value: Any) -> str:
    """Write a figure as the file has it, short; a table or a long list in brief."""
    if value is None:
        return "not given"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, list | tuple):
        text = f"[{', '.join(map(_value, value))}]"
        return text if len(text) <= LONGEST_VALUE else f"{len(value)} entries"
    if isinstance(value, Mapping):
        return f"table of {len(value)} keys"
    text = str(value)
    return text if len(text) <= LONGEST_VALUE else f"{text[: LONGEST_VALUE - 2]}.."


def _numbers(trial: Report) -> str:
    return ", ".join(str(number + 1) for number in trial["changes"])


# ---------------------------------------------------------------- why a price moved


def _why(move: Report, report: Report) -> Iterator[str]:
    quantity = "" if move["quantity"] is None else f", {move['quantity']:,} copies"
    if move["status"] in STATUS:
        yield f"{move['job']}{quantity}: {STATUS[move['status']]}"
        for told in move["why_not"]:
            before = "before: " if move["status"] == "possible_now" else ""
            yield from wrapped(sentence(f"{before}{told}"), "  ")
        yield from _effects(move, report)
        return
    old, new = move["old"]["price"], move["new"]["price"]
    share = "" if move["percent"] is None else f", {move['percent']:+.2f} %"
    yield f"{move['job']}{quantity}: {old} to {new}, {Decimal(move['difference']):+}{share}"
    yield from _reroute(move)
    rows = [(each["part"], each["stage"], each["label"], *_sides(each)) for each in move["lines"]]
    rows += [("price", each["name"], _figures(each), *_sides(each)) for each in move["steps"]]
    yield from table(LINE_HEADS, [*rows, ("all", "", "price", *_sides(_prices(move)))], (0, 1, 2))
    yield from _effects(move, report)


def _prices(move: Report) -> Report:
    sides = {side: move[side]["price"] for side in ("old", "new")}
    return sides | {"difference": move["difference"]}


def _sides(each: Report) -> tuple[str, str, str]:
    """Return what a line or a step is on both sides, and the difference."""
    return each["old"] or "-", each["new"] or "-", f"{Decimal(each['difference']):+}"


def _figures(step: Report) -> str:
    """Return what a step goes by, on both sides where that changed."""
    old, new = step["old_figure"], step["new_figure"]
    return new if old == new else f"{old or 'none'} -> {new or 'none'}"


def _reroute(move: Report) -> Iterator[str]:
    """Tell what the old presses would cost now, and the new ones before."""
    if not move["rerouted"]:
        return
    old, new = move["rerouted"]["old_presses_now"], move["rerouted"]["new_presses_before"]
    was, are = _presses(move["old"]), _presses(move["new"])
    told = f"The presses changed from {was} to {are}. "
    told += f"With only {was} competing it would now {_would(old, move['new']['price'])}; "
    told += f"with only {are} it would before {_would_have(new, move['old']['price'])}"
    yield from wrapped(sentence(told), "  ")


def _would(side: Report, best: str) -> str:
    if side["price"] is None:
        return f"not be possible ({'; '.join(side['why_not'])})"
    return f"cost {side['price']}, {Decimal(side['price']) - Decimal(best)} more"


def _would_have(side: Report, best: str) -> str:
    if side["price"] is None:
        return f"not have been possible ({'; '.join(side['why_not'])})"
    return f"have cost {side['price']}, {Decimal(side['price']) - Decimal(best)} more"


def _effects(move: Report, report: Report) -> Iterator[str]:
    """Tell what each change alone does to the price."""
    if not report["trials"]:
        return
    if move["effects"]:
        yield "  Each change alone, on the old file:"
    for effect in move["effects"]:
        yield from wrapped(_effect(effect, move, report), "    ")
    if move["joint"] is not None and Decimal(move["joint"]):
        yield f"    {Decimal(move['joint']):+}: what they do together beyond that"
    if not move["effects"] and not report["trials_left_out"]:
        yield "  No change alone moves it: only together do they."


def _effect(effect: Report, move: Report, report: Report) -> str:
    numbers = report["trials"][effect["trial"]]["changes"]
    first = report["changes"][numbers[0]]
    what = _change(first) if len(numbers) == 1 else f"{len(numbers)} changes from {_change(first)}"
    where = f"{', '.join(str(number + 1) for number in numbers)}. {what}"
    if effect["price"] is None:
        return f"makes it impossible: {where}"
    if effect["difference"] is None:
        return f"makes it possible, for {effect['price']}: {where}"
    moved = move["old"]["presses"] != effect["presses"]
    on = f" (on {_presses(effect)})" if moved else ""
    return f"{Decimal(effect['difference']):+}{on}: {where}"


def _impossible(move: Report) -> list[str]:
    """Tell why a job cannot be made by either plant."""
    return [
        f"{move['job']}: not possible, as before",
        *(line for told in move["why_not"] for line in wrapped(sentence(told), "  ")),
    ]
