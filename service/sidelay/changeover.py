"""What differs between a press's last job and the next: inks to wash out, stock to change.

Same colours next: no wash-up and no ink change. A light ink after a dark one needs a longer wash
(Russian inter-sector time norms for printing: 20 min more); opaque white, metallic and fluorescent
inks about twice a wash (from memory).
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from .job import Ink
from .work import Work

HEAVY_KINDS = frozenset(("white", "metallic", "fluorescent"))
# From light to dark. Common practice, no source.
PROCESS_DEPTH = {"yellow": 1, "cyan": 3, "magenta": 3, "black": 5}
KIND_DEPTH = {"varnish": 0, "white": 1, "fluorescent": 1, "spot": 3, "metallic": 4, "process": 3}


@dataclass(frozen=True, slots=True)
class Changeover:
    """What to change on a press before a work can run.

    kept: inks of the work that stand in the press already
    washed: units to wash: after a job that is known, those that must take another ink (what stands
        in units that the work leaves idle stays); where none is known, those that the work's own
        inks do not stay in afterwards
    light_after_dark: of these, units that go from a darker to a lighter ink
    heavy: of these, units that hold an opaque, metallic or fluorescent ink
    same_stock: whether the stock stays
    """

    kept: int
    washed: int
    light_after_dark: int
    heavy: int
    same_stock: bool
    because: str

    def wash_min(
        self, per_unit: float, *, light_after_dark: float = 0.0, heavy_times: float = 2.0
    ) -> float:
        """Minutes of washing: so many a unit, more for light after dark, `heavy_times` a heavy one.

        per_unit, light_after_dark: minutes
        """
        return (
            per_unit * (self.washed - self.heavy)
            + per_unit * heavy_times * self.heavy
            + light_after_dark * self.light_after_dark
        )


def changeover(work: Work, standing: Collection[str] = ()) -> Changeover:
    """Return what to change for a work.

    standing: names of inks that stay in the press from job to job; it counts where nothing is known
        of the last one, and every other ink of the work is then washed out after it
    """
    inks = tuple(dict.fromkeys(ink for form in work.forms for ink in form.inks))
    if work.previous is None:
        return _after_the_run(inks, standing)
    return _before_the_run(inks, work.previous.inks, work.previous.stock == work.part.stock.id)


def _after_the_run(inks: tuple[Ink, ...], standing: Collection[str]) -> Changeover:
    washed = [ink for ink in inks if ink.name not in standing]
    heavy = sum(ink.kind in HEAVY_KINDS for ink in washed)
    because = f"last job not known: {len(washed)} of {len(inks)} ink(s) washed out after this one"
    return Changeover(len(inks) - len(washed), len(washed), 0, heavy, False, because)


def _before_the_run(
    inks: tuple[Ink, ...], previous: tuple[Ink, ...], same_stock: bool
) -> Changeover:
    wanted, held = {ink.name for ink in inks}, {ink.name for ink in previous}
    coming = sorted((ink for ink in inks if ink.name not in held), key=_depth, reverse=True)
    going = sorted((ink for ink in previous if ink.name not in wanted), key=_depth, reverse=True)
    # An incoming ink takes the place of the darkest that is left, dark for dark.
    pairs = list(zip(coming, going, strict=False))
    lighter = sum(_depth(new) < _depth(old) for new, old in pairs)
    washed = going[: len(coming)]
    heavy = sum(ink.kind in HEAVY_KINDS for ink in washed)
    because = (
        f"{len(wanted & held)} ink(s) stay from the last job, {len(washed)} unit(s) washed, "
        f"{lighter} of them light after dark, {heavy} opaque, metallic or fluorescent"
    )
    return Changeover(len(wanted & held), len(washed), lighter, heavy, same_stock, because)


def _depth(ink: Ink) -> int:
    return PROCESS_DEPTH.get(ink.name, KIND_DEPTH[ink.kind])
