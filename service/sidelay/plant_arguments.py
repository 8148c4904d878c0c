"""The arguments of `sidelay plant`. What they lead to is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from .plant_price_arguments import add_diff, add_stocks


def add_plant(parser: argparse.ArgumentParser) -> None:
    """Add the commands on plant files."""
    parser.description = "Commands on plant files, without a service."
    commands = parser.add_subparsers(dest="plant_command", required=True, metavar="COMMAND")
    _add_check(commands.add_parser("check", help="tell every fault of a plant file"))
    add_stocks(commands.add_parser("stocks", help="put a merchant's list into a plant file"))
    add_diff(commands.add_parser("diff", help="tell which prices move between two plant files"))


def _add_check(parser: argparse.ArgumentParser) -> None:
    parser.description = "Tell every fault of a plant file, or of all plant files in a folder."
    parser.add_argument("file", metavar="FILE", type=Path, help="a plant file, or a folder of them")
