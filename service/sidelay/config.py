"""Settings of the service, read once from the environment by the app factory."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

PACKAGED_PLANTS = Path(__file__).parent / "plants"
# Who may ask the demo plants: anyone, because this file says so.
DEMO_ACCESS = Path(__file__).parent / "demo_access.toml"
MAX_BODY_BYTES = 256 * 1024
MAX_BATCH_BYTES = 16 * 1024 * 1024
# One that signs, and the one before it, whose quotes still hold.
MOST_QUOTE_KEYS = 2
LEAST_QUOTE_KEY = 32
# Longer than a program pauses between two writes to one file: common practice, no source.
RELOAD_STILL_S = 1.0
MOST_STILL_S = 60.0


class BadSetting(ValueError):  # noqa: N818  (a fault of the deployment, named as such)
    """An environment variable that cannot be used; the message names it and what is expected."""


@dataclass(frozen=True, slots=True)
class Settings:
    """How one process of the service is set up.

    plants: SIDELAY_PLANTS, a plant file or a folder of them (*.toml); by default the demo plants
    default_plant: SIDELAY_DEFAULT_PLANT, id of the plant that answers a request that names none;
        by default the first in the order of ids
    max_body_bytes: SIDELAY_MAX_BODY_BYTES, largest request body that is read; 262144 by default
    access: SIDELAY_ACCESS, the file that says who may ask; for the demo plants one that lets
        anyone, and required for any others
    quote_keys: SIDELAY_QUOTE_KEYS, one or two secrets between commas that quotes are signed with,
        the new one first; without, no price is quoted
    redis_url: SIDELAY_REDIS_URL, where all processes count requests together; without, each
        process counts its own
    revisions: SIDELAY_REVISIONS, a folder of plant files of old, which a request may name by their
        revision; without, there are none
    reload_still_s: SIDELAY_RELOAD_STILL_S, for how long no file may have changed before a reload
        reads them [s]; 1 by default, 60 at most
    max_batch_bytes: SIDELAY_MAX_BATCH_BYTES, largest batch that is read; 16777216 by default
    """

    plants: Path = PACKAGED_PLANTS
    default_plant: str = ""
    max_body_bytes: int = MAX_BODY_BYTES
    access: Path = DEMO_ACCESS
    quote_keys: tuple[str, ...] = ()
    redis_url: str = ""
    revisions: Path | None = None
    reload_still_s: float = RELOAD_STILL_S
    max_batch_bytes: int = MAX_BATCH_BYTES

    @classmethod
    def from_environment(cls, environ: Mapping[str, str] | None = None) -> Settings:
        """Return the settings of an environment, by default the process's own.

        A variable that is empty counts as not set. Raises BadSetting.
        """
        given = os.environ if environ is None else environ
        plants = Path(given.get("SIDELAY_PLANTS") or PACKAGED_PLANTS)
        return cls(
            plants=plants,
            default_plant=given.get("SIDELAY_DEFAULT_PLANT", ""),
            max_body_bytes=_bytes(given, "SIDELAY_MAX_BODY_BYTES", MAX_BODY_BYTES),
            access=_access(given.get("SIDELAY_ACCESS", ""), plants),
            quote_keys=_quote_keys(given.get("SIDELAY_QUOTE_KEYS", "")),
            redis_url=given.get("SIDELAY_REDIS_URL", ""),
            revisions=Path(kept) if (kept := given.get("SIDELAY_REVISIONS")) else None,
            reload_still_s=_seconds(given, "SIDELAY_RELOAD_STILL_S", RELOAD_STILL_S),
            max_batch_bytes=_bytes(given, "SIDELAY_MAX_BATCH_BYTES", MAX_BATCH_BYTES),
        )


def _bytes(given: Mapping[str, str], name: str, default: int) -> int:
    text = given.get(name) or str(default)
    if not (text.isascii() and text.isdigit() and len(text) <= 12 and int(text) >= 1):
        raise BadSetting(f"{name}: expected a whole number of bytes, 1 or more, not {text!r}")
    return int(text)


def _seconds(given: Mapping[str, str], name: str, default: float) -> float:
    text = given.get(name) or str(default)
    plain = re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,3})?", text, re.ASCII)
    if not plain or float(text) > MOST_STILL_S:
        raise BadSetting(f"{name}: expected seconds from 0 to {MOST_STILL_S:g}, not {text!r}")
    return float(text)


def _access(named: str, plants: Path) -> Path:
    """Return the file that says who may ask; plants of one's own are never open by default."""
    if not named and plants != PACKAGED_PLANTS:
        raise BadSetting(
            "SIDELAY_ACCESS: name the file that says who may ask for prices of these plants; "
            'one with the line open = ["price", "cost"] lets anyone'
        )
    return Path(named or DEMO_ACCESS)


def _quote_keys(text: str) -> tuple[str, ...]:
    keys = tuple(filter(None, (key.strip() for key in text.split(","))))
    if len(keys) > MOST_QUOTE_KEYS or any(len(key) < LEAST_QUOTE_KEY for key in keys):
        # The keys themselves are never told.
        raise BadSetting(
            f"SIDELAY_QUOTE_KEYS: expected at most {MOST_QUOTE_KEYS} secrets between commas, the "
            f"new one first, of {LEAST_QUOTE_KEY} characters or more each"
        )
    return keys
