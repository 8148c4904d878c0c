"""Arguments that several commands have: where the service is, how long to wait, whole numbers."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from .serving import PORT


def add_service(parser: argparse.ArgumentParser, wait_s: int, longest_s: int, what: str) -> None:
    """Add --url and --timeout.

    wait_s, longest_s: seconds to wait by default, and at most
    what: is waited for, in words
    """
    parser.add_argument(
        "--url",
        default=f"http://127.0.0.1:{PORT}",
        help="where the service is, by default %(default)s; sidelay serve starts one there",
    )
    parser.add_argument(
        "--timeout",
        type=whole(1, longest_s),
        default=wait_s,
        metavar="SECONDS",
        help=f"how long to wait for {what}; by default %(default)s",
    )


def whole(least: int, most: int) -> Callable[[str], int]:
    """Return a reader of whole numbers within limits, for argparse."""

    def read(text: str) -> int:
        if not (text.isascii() and text.isdigit() and least <= int(text[:9]) <= most):
            raise argparse.ArgumentTypeError(f"expected a whole number from {least} to {most}")
        return int(text)

    return read
