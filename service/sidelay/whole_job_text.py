"""What a whole job adds to an answer's text: its binding, its parts, what is done to them.

And what is told of the document that it was read from.

Knows nothing but the JSON of the answers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from .text import Row, sentence, table, titled, wrapped

Answer = Mapping[str, Any]

PART_HEADS = ("Quantity", "Part", "Press", "Process", "Sheets", "Hours", "How it lies")
PART_TEXTS = (1, 2, 3, 6)
STEP_HEADS = ("Quantity", "Of", "Operation", "By", "In", "Out", "Minutes", "Days")
STEP_TEXTS = (1, 2, 3)
COPIES = "copies"


def part_names(answer: Answer) -> list[str]:
    """Return the parts of a job in its order, as far as an answer tells; [] where none can be made.

    A part may go through two presses, so that it stands in a route twice.
    """
    offers = [*answer.get("estimates", ()), *_choices(answer)]
    return list(dict.fromkeys(each["part"] for each in offers[0]["route"])) if offers else []


def _choices(answer: Answer) -> Iterator[Answer]:
    for asked in answer.get("quantities", ()):
        yield from asked["choices"]


def not_finished(answer: Answer) -> bool:
    """Whether binding, finishing or packing of copies cannot be done as asked."""
    return any(each["severity"] == "limit" for each in answer["findings"])


# ---------------------------------------------------------------- binding


def binding_lines(answer: Answer) -> list[str]:
    """Return how the copies are bound and by whom, [] where they are not."""
    book = answer["binding"]
    if not book:
        return []
    told = [
        f"{said(book['method'])}, {book['edge']} edge: {book['pages']:,} pages",
        f"block {book['block_mm']:.1f} mm",
    ]
    if book["cover_flat_mm"]:
        across, along = book["cover_flat_mm"]
        if book["method"] != "saddle_stitch":
            told.append(f"spine {book['spine_mm']:.1f} mm")
        told.append(f"cover {across:g} x {along:g} mm flat")
    if book["creep_mm"]:
        told.append(f"creep {book['creep_mm']:.1f} mm")
    told.append(f"{book['copy_kg']:.3f} kg a copy")
    binders = " or ".join(map(_binder, book["binders"]))
    cheaper = ", whichever is the cheaper" if len(book["binders"]) > 1 else ""
    by = "Asked of" if not_finished(answer) else "Bound by"
    return wrapped(f"{sentence(', '.join(told))} {by} {binders}{cheaper}.")


def _binder(binder: Answer) -> str:
    if not binder["bought_out"]:
        return str(binder["name"])
    return f"{binder['name']} (back in {binder['lead_days']:g} working days)"


# ---------------------------------------------------------------- parts


def parts_table(answer: Answer) -> list[str]:
    """Return where each part is printed at each quantity, [] where a job is one plain part."""
    if len(part_names(answer)) < 2 and not answer["binding"]:
        return []
    rows = [row for offer in answer["estimates"] for row in _part_rows(offer)]
    return ["The parts", *table(PART_HEADS, rows, PART_TEXTS)] if rows else []


def _part_rows(offer: Answer) -> Iterator[Row]:
    quantity = f"{offer['quantity']:,}"
    for part in offer["parts"]:
        for run in _runs(part):
            lies = part["split"] or run["layout"]["because"]
            yield (
                quantity,
                part["part"],
                run["press"],
                run["process"],
                f"{run['sheets']['total']:,}",
                f"{run['hours']:,.2f}",
                lies,
            )
            quantity = ""


def _runs(part: Answer) -> list[Answer]:
    """Return the runs of a part that went through more than one press, else the part itself."""
    presses = {section["press"] for section in part["sections"]}
    return list(part["sections"]) if len(presses) > 1 else [part]


# ---------------------------------------------------------------- steps


def steps_table(answer: Answer) -> list[str]:
    """Return what is done to parts and copies beside printing, [] for nothing but cut and fold."""
    if not any(_unusual(offer) for offer in answer["estimates"]):
        return []
    rows = [row for offer in answer["estimates"] for row in _step_rows(offer)]
    return ["Finishing, binding and packing", *table(STEP_HEADS, rows, STEP_TEXTS)]


def _unusual(offer: Answer) -> bool:
    """Whether a machine or a trade house of the plant's list has a hand in it."""
    steps = [step for part in offer["parts"] for step in part["operations"]]
    return bool(offer["operations"]) or any(step["machine"] for step in steps)


def _step_rows(offer: Answer) -> Iterator[Row]:
    quantity = f"{offer['quantity']:,}"
    done = [(part["part"], _merged(part["operations"])) for part in offer["parts"]]
    for of, steps in [*done, (COPIES, offer["operations"])]:
        for step in steps:
            minutes = step["set_up_min"] + step["run_min"]
            yield (
                quantity,
                of,
                said(step["operation"]).lower(),
                step["machine"],
                f"{step['into']:,}",
                f"{step['out']:,}",
                "-" if step["bought_out"] else f"{minutes:,.0f}",
                f"{step['lead_days']:g}" if step["lead_days"] else "",
            )
            quantity = ""


def _merged(steps: Iterable[Answer]) -> list[dict[str, Any]]:
    """Add up the same step of several sections: what goes in, what comes out, and the time."""
    found: dict[tuple[str, str], dict[str, Any]] = {}
    for step in steps:
        key = step["operation"], step["machine"]
        if key not in found:
            found[key] = dict(step)
            continue
        for name in ("into", "out", "set_up_min", "run_min"):
            found[key][name] += step[name]
    return list(found.values())


# ---------------------------------------------------------------- what is delivered, and bands


def delivery_lines(answer: Answer) -> list[str]:
    """Return how many copies a quantity may bring, and where more cost the same."""
    if not answer["binding"] and not any(map(_unusual, answer["estimates"])):
        return []
    told = [
        f"{offer['delivery']['least']:,} to {offer['delivery']['most']:,} for {offer['quantity']:,}"
        for offer in answer["estimates"]
    ]
    same = [
        f"Up to {offer['price']['same_price_to']:,} cost what {offer['quantity']:,} do."
        for offer in answer["estimates"]
        if offer["price"]["same_price_to"]
    ]
    return wrapped(" ".join([f"Copies delivered: {', '.join(told)}.", *same])) if told else []


def other_parts(answer: Answer) -> list[str]:
    """Return what the rows of a comparison are of, where a job has several parts."""
    first, *others = part_names(answer) or [""]
    if not others:
        return []
    return wrapped(
        f"Each row is a press for the {first}, with its sheets and hours. The {_and(others)} "
        f"{'goes' if len(others) == 1 else 'go'} where that is cheapest, and the price is that of "
        "the whole job."
    )


def of_first_part(answer: Answer) -> str:
    """Return which part it is that is told of, nothing where a job has no other."""
    first, *others = part_names(answer) or [""]
    return f", of those for the {first}" if others else ""


def routes_text(bands: Sequence[Answer]) -> str:
    """Return where the parts are printed in some bands: "text on a; cover on b or c"."""
    presses: dict[str, dict[str, None]] = {}
    for band in bands:
        for each in band["route"]:
            where = f"{each['press']}, {each['process']}"
            presses.setdefault(each["part"], {})[where] = None
    if len(presses) < 2:
        return " and ".join(next(iter(presses.values())))
    short = {part: " or ".join(_press(where) for where in told) for part, told in presses.items()}
    if len(set(short.values())) == 1:
        return f"all parts on {next(iter(short.values()))}"
    return "; ".join(f"{part} on {told}" for part, told in short.items())


def _press(where: str) -> str:
    return where.partition(",")[0]


def said(name: str) -> str:
    """Return a name of the interface as words, with a capital."""
    return name.replace("_", " ").capitalize()


def _and(names: Sequence[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def warning_lines(answer: Answer) -> list[str]:
    """Return what of a document had no effect or was assumed, each where it stands."""
    told = (
        wrapped(f"{each['pointer']}: {each['detail']}", "  ") for each in answer.get("warnings", ())
    )
    return titled("What of the document had no effect, or was assumed", told)
