"""`sidelay key`: makes a key for a client, or hashes one that there is."""

from __future__ import annotations

import argparse
import getpass
import re
import sys

from .keys import EXPECTED, client_table, is_key, key_hash, new_key

_CLIENT_ID = re.compile(r"[a-z][a-z0-9_]{0,62}")


class BadKey(Exception):  # noqa: N818  (a fault of what was typed, named as such)
    """What was read is no key. The message says what is expected, and not what was read."""


def add_key(parser: argparse.ArgumentParser) -> None:
    """Add the arguments of the command."""
    parser.description = (
        "Make a key for a client of the service. It is printed once and kept nowhere: the access "
        "file holds its hash. To renew a key, add the new hash to the client's key_hashes."
    )
    parser.add_argument("client", metavar="CLIENT", type=_client_id, help="id of the client")
    parser.add_argument(
        "--hash", action="store_true", help="read a key from standard input, and print its hash"
    )


def _client_id(text: str) -> str:
    if not _CLIENT_ID.fullmatch(text):
        raise argparse.ArgumentTypeError(
            "expected a snake_case id: a-z, 0-9 and _, a letter first, at most 63 characters"
        )
    return text


def key_text(client_id: str, *, hash_only: bool) -> str:
    """Return what the command prints. Raises BadKey."""
    if hash_only:
        return key_hash(_read_key())
    key = new_key()
    table = client_table(client_id, key_hash(key))
    return (
        f"The key of {client_id}, shown this once:\n\n{key}\n\n"
        f"For the access file, which holds its hash alone:\n\n{table}"
    ).rstrip("\n")


def _read_key() -> str:
    """Return the key on standard input; on a terminal it is not shown while it is typed."""
    typed = getpass.getpass("Key: ") if sys.stdin.isatty() else sys.stdin.read()
    key = typed.strip("\r\n")
    if not is_key(key):
        raise BadKey(f"Expected {EXPECTED}.")
    return key
