"""The arguments of the commands that tell what new figures of a plant do to its prices."""

from __future__ import annotations

import argparse
from datetime import datetime
from pathlib import Path

from .asking_arguments import whole


def add_diff(parser: argparse.ArgumentParser) -> None:
    """Add what `sidelay plant diff` is asked with."""
    parser.description = (
        "Price jobs on two plant files, and tell which prices move, by how much and why: line by "
        "line, and by what changed in the file. Both are priced as of the same time."
    )
    parser.add_argument("old", metavar="OLD", type=Path, help="the plant file as it was")
    parser.add_argument("new", metavar="NEW", type=Path, help="the plant file as it is to be")
    parser.add_argument(
        "jobs",
        metavar="JOBS",
        type=Path,
        nargs="+",
        help="requests as JSON, or as lines of it (.ndjson, .jsonl), or a folder of such files; "
        "the plant that they name does not count",
    )
    parser.add_argument("--json", action="store_true", help="print all of it as JSON")
    parser.add_argument("--all", action="store_true", help="list the prices that stay, too")
    parser.add_argument("--group", metavar="ID", default="", help="price for a customer group")
    parser.add_argument(
        "--as-of",
        metavar="TIME",
        type=_moment,
        help="price as if it were this time, with its offset from UTC; else the request's, or now",
    )
    parser.add_argument(
        "--most-trials",
        metavar="N",
        type=whole(0, 999_999),
        default=50,
        help="changes to try one at a time; beyond so many those of one table go together; "
        "by default %(default)s, 0 for none",
    )


def add_stocks(parser: argparse.ArgumentParser) -> None:
    """Add what `sidelay plant stocks` is asked with."""
    parser.description = (
        "Put a merchant's list of stocks (separated values) into a plant file: prices, price "
        "breaks, packs, least orders, sizes, and stocks that are new. What the columns mean is "
        "told by a mapping."
    )
    parser.add_argument("list", metavar="LIST", type=Path, help="the list as it came")
    for name, about in (
        ("mapping", "what its columns and words mean (TOML)"),
        ("plant", "the plant file to begin with"),
        ("out", "the plant file to write"),
    ):
        parser.add_argument(
            f"--{name}", metavar="FILE.toml", type=Path, required=True, help=about
        )
    parser.add_argument(
        "--skip-rejects", action="store_true", help="write what can be taken, without the rest"
    )
    parser.add_argument("--force", action="store_true", help="write over a file that is there")


def _moment(text: str) -> str:
    try:
        zone = datetime.fromisoformat(text).tzinfo
    except ValueError:
        zone = None
    if zone is None:
        raise argparse.ArgumentTypeError("expected a time with its offset, 2026-12-01T12:00+00:00")
    return text
