"""`sidelay plant`: runs a command on plant files.

Each command is a module of its own with `run(options)`, which returns an exit status as
`sidelay.cli` tells them: 0 done, 1 refused, 2 a file that cannot be read.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping

from . import plant_check, plant_diff, plant_keep, plant_new, plant_stocks

COMMANDS: Mapping[str, Callable[[argparse.Namespace], int]] = {
    "check": plant_check.run,
    "diff": plant_diff.run,
    "keep": plant_keep.run,
    "new": plant_new.run,
    "stocks": plant_stocks.run,
}


def run(options: argparse.Namespace) -> int:
    """Run the command asked for, and return its exit status."""
    return COMMANDS[options.plant_command](options)
