"""Two clocks that are plain enough to be right: one that never stops, one that counts the hours."""

from collections.abc import Iterable

from sidelay.clocks import BeyondHorizon


class Always:
    """Runs day and night, without end."""

    def after(self, start: int, amount: int) -> int:
        return start + amount

    def begin(self, start: int) -> int:
        return start

    def before(self, end: int, amount: int) -> int:
        return end - amount

    def between(self, start: int, end: int) -> int:
        return max(end - start, 0)


class Open:
    """Runs in the units of time given, each from its number to the next, found by looking."""

    def __init__(self, units: Iterable[int]) -> None:
        self.units = sorted(units)

    def after(self, start: int, amount: int) -> int:
        return self._units(start, amount)[-1] + 1 if amount else start

    def begin(self, start: int) -> int:
        return self._units(start, 1)[0]

    def before(self, end: int, amount: int) -> int:
        found = [unit for unit in self.units if unit < end]
        if amount > len(found):
            raise BeyondHorizon
        return found[-amount] if amount else end

    def between(self, start: int, end: int) -> int:
        return sum(start <= unit < end for unit in self.units)

    def _units(self, start: int, amount: int) -> list[int]:
        found = [unit for unit in self.units if unit >= start][:amount]
        if len(found) < amount:
            raise BeyondHorizon
        return found
