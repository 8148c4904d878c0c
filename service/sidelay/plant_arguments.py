"""The arguments of `sidelay plant`. What they lead to is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_plant(parser: argparse.ArgumentParser) -> None:
    """Add the commands on plant files."""
    parser.description = "Commands on plant files, without a service."
    commands = parser.add_subparsers(dest="plant_command", required=True, metavar="COMMAND")
    _add_check(commands.add_parser("check", help="tell every fault of a plant file"))
    _add_keep(commands.add_parser("keep", help="keep a plant file as a revision to price on later"))


def _add_keep(parser: argparse.ArgumentParser) -> None:
    parser.description = (
        "Copy a plant file into a folder as ID-REVISION.toml. A service whose SIDELAY_REVISIONS "
        "names the folder prices on it for a request with this plant_revision."
    )
    parser.add_argument("file", metavar="FILE", type=Path, help="a plant file")
    parser.add_argument("folder", metavar="FOLDER", type=Path, help="where revisions are kept")


def _add_check(parser: argparse.ArgumentParser) -> None:
    parser.description = "Tell every fault of a plant file, or of all plant files in a folder."
    parser.add_argument("file", metavar="FILE", type=Path, help="a plant file, or a folder of them")
