"""A service with products, its clock and its plant file free to be changed; for tests."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from shop import CLOCK, DEMO_FILE
from sidelay.catalogue_file import catalogue_path
from sidelay.config import Settings
from sidelay.http.access import Access
from sidelay.http.app import create_app
from sidelay.http.callers import Allowance, Caller

KEYS = ("the key that signs now, of 32 or more", "the key before it, whose quotes still hold")


@dataclass
class Shop:
    """One shop: a folder with the demo plant and its catalogue, and what time it is."""

    folder: Path
    keys: tuple[str, ...] = KEYS[:1]
    now: float = CLOCK
    client: FlaskClient = field(init=False)

    def __post_init__(self) -> None:
        for file in (DEMO_FILE, catalogue_path(DEMO_FILE)):
            shutil.copy(file, self.folder)
        self.restart()

    def restart(self, **settings: Any) -> None:
        """Start the service anew on what the folder holds."""
        given = {"plants": self.folder, "quote_keys": self.keys} | settings
        app = create_app(Settings(**given), clock=lambda: self.now)
        self.client = app.test_client()

    def change(self, old: str, new: str, *, catalogue: bool = False) -> None:
        """Change the plant file, or the catalogue, and start anew."""
        file = self.folder / DEMO_FILE.name
        file = catalogue_path(file) if catalogue else file
        text = file.read_text()
        assert old in text, old
        file.write_text(text.replace(old, new, 1))
        self.restart()

    def get(self, path: str, **headers: str) -> Any:
        """Ask for something, fields of the request by name, _ for -."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        return self.client.get(path, headers=named)

    def check(self, **body: Any) -> dict[str, Any]:
        """Ask what has become of a quote."""
        answer = self.client.post("/quotes/check", json=body)
        assert answer.status_code == 200, answer.text
        told: dict[str, Any] = answer.get_json()
        return told


def comes(
    patch: pytest.MonkeyPatch,
    *scopes: str,
    group: str = "",
    client: str = "c",
    allowance: Allowance = Allowance(),  # noqa: B008  (frozen)
) -> None:
    """Have every request come from one client."""
    caller = Caller(client, frozenset(scopes), group, allowance)
    # A word in the URL is nobody's key; whoever comes with none is this client.
    patch.setattr(Access, "caller_of", lambda _, key: None if key else caller)
