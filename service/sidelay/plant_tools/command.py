"""`sidelay plant`: runs a command on plant files.

Each command is a module of its own with `run(options)`, which returns an exit status as
`sidelay.cli` tells them: 0 done, 1 refused, 2 a file that cannot be read.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping

from . import check, diff, keep, new, stocks

COMMANDS: Mapping[str, Callable[[argparse.Namespace], int]] = {
    "check": check.run,
    "diff": diff.run,
    "keep": keep.run,
    "new": new.run,
    "stocks": stocks.run,
}


def run(options: argparse.Namespace) -> int:
    """Run the command asked for, and return its exit status."""
    return COMMANDS[options.plant_command](options)
