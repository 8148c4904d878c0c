"""The arguments of `sidelay plant`. What they lead to is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from .plant_price_arguments import add_diff, add_stocks


def add_plant(parser: argparse.ArgumentParser) -> None:
    """Add the commands on plant files."""
    parser.description = "Commands on plant files, without a service."
    commands = parser.add_subparsers(dest="plant_command", required=True, metavar="COMMAND")
    _add_new(commands.add_parser("new", help="write a plant file to start from"))
    _add_check(commands.add_parser("check", help="tell every fault of a plant file"))
    add_diff(commands.add_parser("diff", help="tell which prices move between two plant files"))
    add_stocks(commands.add_parser("stocks", help="put a merchant's list into a plant file"))
    _add_keep(commands.add_parser("keep", help="keep a plant file as a revision to price on later"))


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
