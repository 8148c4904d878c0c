"""Ask for a folder of jobs, keep the answers; ask again later, and tell which prices moved and why.

    python reprice.py ask  http://127.0.0.1:8000 jobs/ answers.ndjson
    python reprice.py again http://127.0.0.1:8000 jobs/ answers.ndjson

Each file in the folder is the body of a request to /estimate. The key, where one is needed, stands
in SIDELAY_API_KEY. Needs `requests` and nothing else. Money is text: it is added up with Decimal.
"""

from __future__ import annotations

import json
import os
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import requests

AS_OF = "2026-11-24T09:00:00+00:00"  # one clock for both times, so that dates are not what differs


def ask(url: str, jobs: Path) -> dict[str, Any]:
    """Send every job in one batch, and return the answer lines by the names of the files."""
    lines = []
    for file in sorted(jobs.glob("*.json")):
        body = json.loads(file.read_text()) | {"detail": "lines", "as_of": AS_OF}
        lines.append(json.dumps({"id": file.stem, "ask": "estimate", "request": body}))
    fields = {"Content-Type": "application/x-ndjson"}
    if key := os.environ.get("SIDELAY_API_KEY"):
        fields["X-API-Key"] = key
    data = "\n".join(lines).encode()
    with requests.post(
        f"{url}/batch", data=data, headers=fields, stream=True, timeout=(5, 60)
    ) as response:
        response.raise_for_status()
        told = [json.loads(line) for line in response.iter_lines() if line]
    if not told or not told[-1].get("done"):
        raise SystemExit("The answer was cut off; ask again.")
    for line in told[:-1]:
        if line["status"] != 200:
            print(line["id"], line["status"], line["problem"]["detail"])
    return {line["id"]: line["answer"] for line in told[:-1] if line["status"] == 200}


def prices(answer: dict[str, Any]) -> dict[int, Decimal]:
    """Return the net price at each quantity."""
    return {each["quantity"]: Decimal(each["price"]["net"]) for each in answer["estimates"]}


def lines_of(offer: dict[str, Any]) -> dict[str, tuple[str, Decimal]]:
    """Return every cost line of an offer by its id: what it is for, and what it costs."""
    groups = [*offer["parts"], *offer["operations"]]
    every = (line for group in groups for line in group["lines"])
    return {line["id"]: (line["label"], Decimal(line["cost"])) for line in every}


def explain(old: dict[str, Any], new: dict[str, Any], quantity: int) -> None:
    """Print what moved between two answers at one quantity, line by line, down to the price."""
    was, now = (
        next(each for each in answer["estimates"] if each["quantity"] == quantity)
        for answer in (old, new)
    )
    if was["route"] != now["route"]:
        for each in (was, now):
            print("  made on", ", ".join(step["press"] for step in each["route"]))
    before, after = lines_of(was), lines_of(now)
    moved = Decimal(0)
    for line in sorted(before | after):
        label = (after.get(line) or before[line])[0]
        costs = [side[line][1] if line in side else Decimal(0) for side in (before, after)]
        if costs[0] != costs[1]:
            moved += costs[1] - costs[0]
            print(f"  {costs[1] - costs[0]:+9} {line}: {label}, {costs[0]} -> {costs[1]}")
    price = [Decimal(each["price"]["net"]) for each in (was, now)]
    print(f"  {moved:+9} cost, all lines together")
    print(f"  {price[1] - price[0] - moved:+9} mark-ups, margin and rounding of the price")
    print(f"  {price[1] - price[0]:+9} price: {price[0]} -> {price[1]}")


def compare(old: dict[str, Any], new: dict[str, Any]) -> None:
    """Print every price that moved, and explain the one that moved most."""
    moves: list[tuple[Decimal, str, int]] = []
    for name in sorted(old.keys() & new.keys()):
        before, after = prices(old[name]), prices(new[name])
        for quantity in sorted(before.keys() & after.keys()):
            if before[quantity] != after[quantity]:
                moves.append((abs(after[quantity] / before[quantity] - 1), name, quantity))
                print(name, quantity, before[quantity], "->", after[quantity])
    if not moves:
        print("No price moved.")
        return
    share, name, quantity = max(moves)
    revisions = [answer[name]["plant"]["revision"] for answer in (old, new)]
    print(f"\n{name}, {quantity}: moved by {share:.1%}; plant {revisions[0]} -> {revisions[1]}")
    explain(old[name], new[name], quantity)


def main(step: str, url: str, jobs: str, kept: str) -> None:
    """Ask, and keep the answers or compare them with those kept."""
    answers = ask(url, Path(jobs))
    if step == "ask":
        Path(kept).write_text("".join(json.dumps(pair) + "\n" for pair in answers.items()))
        print(f"{len(answers)} answers kept in {kept}.")
    else:
        compare(dict(map(json.loads, Path(kept).read_text().splitlines())), answers)


if __name__ == "__main__":
    main(*sys.argv[1:])
