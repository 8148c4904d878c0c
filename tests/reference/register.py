"""The register of adapters: topic -> function from a case's inputs to the figures sidelay computes.

An adapter converts units, calls sidelay and names the results as the cases do. It holds none of
the arithmetic under test. It may give more figures than a case asks for.
"""

from collections.abc import Callable, Mapping
from typing import Any

from reference.given import Inputs

Figures = Mapping[str, Any]
Adapter = Callable[[Inputs], Figures]
ADAPTERS: dict[str, Adapter] = {}


def answers(*topics: str) -> Callable[[Adapter], Adapter]:
    """Register an adapter for its topics; a topic answered twice is a mistake in this file."""

    def register(adapter: Adapter) -> Adapter:
        for topic in topics:
            if topic in ADAPTERS:
                raise ValueError(f"two adapters answer {topic!r}")
            ADAPTERS[topic] = adapter
        return adapter

    return register
