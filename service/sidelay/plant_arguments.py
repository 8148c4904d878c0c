"""The arguments of `sidelay plant`. What they lead to is loaded when it is asked for."""

from __future__ import annotations

import argparse
from datetime import datetime
from pathlib import Path


def add_plant(parser: argparse.ArgumentParser) -> None:
    """Add the commands on plant files."""
    parser.description = "Commands on plant files, without a service."
    commands = parser.add_subparsers(dest="plant_command", required=True, metavar="COMMAND")
    _add_check(commands.add_parser("check", help="tell every fault of a plant file"))
    _add_keep(commands.add_parser("keep", help="keep a plant file as a revision to price on later"))
    _add_new(commands.add_parser("new", help="write a plant file to start from"))
    _add_stocks(commands.add_parser("stocks", help="put a merchant's list into a plant file"))
    _add_diff(commands.add_parser("diff", help="tell which prices move between two plant files"))


def _add_keep(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "Copy a plant file into a folder as ID-REVISION.toml. A service whose SIDELAY_REVISIONS "
        "names the folder prices on it for a request with this plant_revision."
    )
    parser.add_argument("file", metavar="FILE", type=Path, help="a plant file")
    parser.add_argument("folder", metavar="FOLDER", type=Path, help="where revisions are kept")


def _add_check(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "Tell every fault of a plant file, or of all plant files in a folder, and of the "
        "catalogues beside them; and warn of what is unlikely or of no use."
    )
    parser.add_argument("file", metavar="FILE", type=Path, help="a plant file, or a folder of them")
    parser.add_argument(
        "--strict", action="store_true", help="end with exit status 1 where there are warnings"
    )


def _add_new(parser: argparse.ArgumentParser) -> None:
    parser.description = "Write a plant file to start from, with comments; it can be used at once."
    parser.add_argument("file", metavar="FILE", type=Path, help="what to write: NAME.toml")
    parser.add_argument("--id", required=True, help="id of the plant: a-z, 0-9 and _")
    parser.add_argument("--currency", required=True, help="its currency, as ISO 4217 writes it")
    parser.add_argument(
        "--with",
        dest="processes",
        metavar="PROCESSES",
        default="sheetfed_litho,toner",
        help="one press of each of these, parted by commas; by default %(default)s",
    )


def _add_diff(parser: argparse.ArgumentParser) -> None:
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
        type=_count,
        default=50,
        help="changes to try one at a time; beyond so many those of one table go together; "
        "by default %(default)s, 0 for none",
    )


def _add_stocks(parser: argparse.ArgumentParser) -> None:
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


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= 6):
        raise argparse.ArgumentTypeError("expected a whole number, 0 or more")
    return int(text)
