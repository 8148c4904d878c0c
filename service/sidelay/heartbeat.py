"""Tells whatever watches this process that a long answer is still being worked on.

A server takes a worker that is silent for too long for one that hangs. Who streams beats now and
then; who watches says how (`serving.post_fork`). Imports nothing of ours.
"""

from __future__ import annotations

from collections.abc import Callable

_watchers: list[Callable[[], None]] = []


def watched_by(notify: Callable[[], None]) -> None:
    """Have something called at each beat, in place of what was before."""
    _watchers[:] = [notify]


def beat() -> None:
    """Say that the work goes on; nothing where nobody watches."""
    for notify in _watchers:
        notify()
