"""Keys of clients: made new, checked for their form, and known by their hash alone.

A key is as random as 256 bits, so that one round of SHA-256 hides it: there is nothing to guess.
Imports nothing of ours.
"""

from __future__ import annotations

import hashlib
import re
import secrets

KEY_BYTES = 32
LEAST_CHARACTERS, MOST_CHARACTERS = 32, 256
# token68 of RFC 9110, section 11.2: no comma, which would join two header fields, and no space.
_FORM = re.compile(rf"(?=.{{{LEAST_CHARACTERS},{MOST_CHARACTERS}}}\Z)[A-Za-z0-9._~+/-]+=*")
EXPECTED = (
    f"a key of {LEAST_CHARACTERS} to {MOST_CHARACTERS} characters out of A-Z a-z 0-9 . _ ~ + / - "
    "and = at its end"
)


def new_key() -> str:
    """Return a key that nobody had before: 43 characters, 256 random bits."""
    return secrets.token_urlsafe(KEY_BYTES)


def is_key(text: str) -> bool:
    """Whether a text has the form of a key. Others are unknown, whatever they hash to."""
    return _FORM.fullmatch(text) is not None


def key_hash(key: str) -> str:
    """Return the SHA-256 of a key, 64 hexadecimal digits: what the access file holds of it."""
    return hashlib.sha256(key.encode()).hexdigest()


def client_table(client_id: str, digest: str) -> str:
    """Return the lines of an access file for a new client. client_id: a snake_case id"""
    return (
        "[[clients]]\n"
        f'id = "{client_id}"\n'
        f'name = "{client_id}"\n'
        'scopes = ["price"]\n'
        f'key_hashes = ["{digest}"]\n'
    )
