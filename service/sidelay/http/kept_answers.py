"""What was worked out and may be given again, byte for byte, while nothing it rests on changes.

Bounded; what is longest unasked goes first.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from cachetools import LRUCache

from .metrics import looks_into

# An answer with a ladder of ten prices takes some 4 KB.
MOST_BYTES = 32 * 1024 * 1024
# What an entry takes beside its body: the key, the strings, the object.
OVERHEAD_BYTES = 1_000
# Prices of lists; each takes some 40 bytes, with its share of the key.
MOST_PRICES = 1_000_000
OVERHEAD_PRICES = 25

T = TypeVar("T")


class Bounded(Generic[T]):
    """A store of so much and no more, which tells of each look whether it had what was asked."""

    def __init__(
        self, most: float, size: Callable[[T], float], looked: Callable[[bool], None]
    ) -> None:
        """most: sum of the sizes of all that is kept; size: how much one takes.

        looked: is called after each look with whether something was found
        """
        self._kept: LRUCache[Hashable, T] = LRUCache(most, getsizeof=size)
        self._looked = looked

    def get(self, key: Hashable) -> T | None:
        """Return what was kept under a key, None where nothing was."""
        found: T | None = self._kept.get(key)
        self._looked(found is not None)
        return found

    def keep(self, key: Hashable, value: T) -> None:
        """Keep something, unless it alone takes more than all may."""
        if self._kept.getsizeof(value) <= self._kept.maxsize:
            self._kept[key] = value

    def __len__(self) -> int:
        return len(self._kept)


@dataclass(frozen=True, slots=True)
class Kept:
    """An answer. tag: its strong entity tag, quoted; language: of its texts"""

    body: bytes
    tag: str
    language: str


@dataclass(frozen=True, slots=True)
class Listed:
    """Prices of a choice in a list [minor units]; None where no press can make it."""

    prices: Sequence[int] | None


KeptAnswers = Bounded[Kept]
KeptLists = Bounded[Listed]


def kept_answers(most_bytes: int = MOST_BYTES) -> KeptAnswers:
    """Return a store of answers, bounded by their bytes."""

    def size(kept: Kept) -> int:
        return len(kept.body) + OVERHEAD_BYTES

    return Bounded(most_bytes, size, looks_into("answers"))


def kept_lists(most_prices: int = MOST_PRICES) -> KeptLists:
    """Return a store of listed prices, bounded by how many they are."""

    def size(listed: Listed) -> int:
        return len(listed.prices or ()) + OVERHEAD_PRICES

    return Bounded(most_prices, size, looks_into("lists"))
