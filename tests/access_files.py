"""Access files for tests, and services that are kept by them. Every key here is made up."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from flask import Flask

from shop import clock as stopped
from sidelay.config import Settings
from sidelay.http.app import create_app
from sidelay.keys import key_hash

SHOP_KEY = "shop-key-" + "s" * 32
OFFICE_KEY = "office-key-" + "o" * 32
NEXT_KEY = "next-key-" + "n" * 32
PROBE_KEY = "probe-key-" + "p" * 32
ORIGIN = "https://shop.example"


def client(name: str, scopes: str, *keys: str, more: str = "") -> str:
    """The lines of one client. scopes: between spaces"""
    listed = ", ".join(f'"{scope}"' for scope in scopes.split())
    hashes = ", ".join(f'"{key_hash(key)}"' for key in keys)
    return (
        f'[[clients]]\nid = "{name}"\nname = "{name}"\nscopes = [{listed}]\n'
        f"key_hashes = [{hashes}]\n{more}"
    )


CLIENTS = (
    client("shop", "price", SHOP_KEY)
    + client("office", "cost", OFFICE_KEY)
    + client("probe", "admin", PROBE_KEY)
)
CLOSED = f'open = []\norigins = ["{ORIGIN}"]\n{CLIENTS}'


def kept_app(
    folder: Path,
    text: str = CLOSED,
    *,
    clock: Callable[[], float] = stopped,
    redis_url: str = "",
) -> Flask:
    """The service on the demo plant, for those that an access file lets in."""
    file = folder / "access.toml"
    file.write_text(text)
    return create_app(Settings(access=file, redis_url=redis_url), clock=clock)


class Clock:
    """A clock that tests set [s since 1970, UTC]."""

    def __init__(self, now: float = stopped()) -> None:
        self.now = now

    def __call__(self) -> float:
        return self.now
