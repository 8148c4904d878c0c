"""How a server asks an app for the one to take its place. Imports nothing of ours.

The app has a function among its extensions; a server that knows nothing of the app calls it.
"""

from __future__ import annotations

from collections.abc import Callable

EXTENSION = "sidelay.successor"

Successor = Callable[[], object]


def successor_of(app: object) -> Successor | None:
    """Return what makes the app that takes the place of one; None where it is no app of ours."""
    extensions: dict[str, Successor] = getattr(app, "extensions", {})
    return extensions.get(EXTENSION)
