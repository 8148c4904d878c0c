"""Settings of the service, read once from the environment by the app factory."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

PACKAGED_PLANTS = Path(__file__).parent / "plants"
MAX_BODY_BYTES = 256 * 1024


class BadSetting(ValueError):  # noqa: N818  (a fault of the deployment, named as such)
    """An environment variable that cannot be used; the message names it and what is expected."""


@dataclass(frozen=True, slots=True)
class Settings:
    """How one process of the service is set up.

    plants: SIDELAY_PLANTS, a plant file or a folder of them (*.toml); by default the demo plants
    default_plant: SIDELAY_DEFAULT_PLANT, id of the plant that answers a request that names none;
        by default the first in the order of ids
    max_body_bytes: SIDELAY_MAX_BODY_BYTES, largest request body that is read; 262144 by default
    """

    plants: Path = PACKAGED_PLANTS
    default_plant: str = ""
    max_body_bytes: int = MAX_BODY_BYTES

    @classmethod
    def from_environment(cls, environ: Mapping[str, str] | None = None) -> Settings:
        """Return the settings of an environment, by default the process's own.

        A variable that is empty counts as not set. Raises BadSetting.
        """
        given = os.environ if environ is None else environ
        return cls(
            plants=Path(given.get("SIDELAY_PLANTS") or PACKAGED_PLANTS),
            default_plant=given.get("SIDELAY_DEFAULT_PLANT", ""),
            max_body_bytes=_bytes(given, "SIDELAY_MAX_BODY_BYTES", MAX_BODY_BYTES),
        )


def _bytes(given: Mapping[str, str], name: str, default: int) -> int:
    text = given.get(name) or str(default)
    if not (text.isascii() and text.isdigit() and len(text) <= 12 and int(text) >= 1):
        raise BadSetting(f"{name}: expected a whole number of bytes, 1 or more, not {text!r}")
    return int(text)
