"""Changes of a job that a customer could take for the same piece: which there are, and making them.

A plug-in names them in `Finding.change`, by member and value:

    {"ruling_lpi": 133.0}                 a figure, a whole number or a word that the member takes
    {"may_simulate": ["reflex blue"]}     the names of inks that may be built from process inks
    {"stock": "another"}                  (ANOTHER_STOCK) a stock of the plant that the core finds
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from numbers import Real
from typing import Any, get_args

from .job import QUALITIES, GrainWish, Impression, Ink, Job, Part, Side
from .work import ANOTHER_STOCK, Changed


@dataclass(frozen=True, slots=True)
class Member:
    """What may change: whose member it is, and what values it takes.

    of_job: whether it is a member of the job, and so of all its parts; else of one part
    low, high: of a figure; words: of a word; whole: whether a figure has no fractions
    unit: of a figure
    """

    of_job: bool = False
    low: float = 0.0
    high: float = 0.0
    whole: bool = False
    words: tuple[str, ...] = ()
    unit: str = ""

    def takes(self, value: Any) -> bool:
        """Whether it is a value that a job may have."""
        if self.words:
            return isinstance(value, str) and value in self.words
        if isinstance(value, bool) or not isinstance(value, Real):
            return False
        figure = float(value)
        return self.low <= figure <= self.high and (not self.whole or figure.is_integer())


_DETAIL = Member(low=0.05, high=100, unit="pt")
# The ranges are those of the request, so that what is told can be asked for.
MEMBERS: Mapping[str, Member] = {
    "ruling_lpi": Member(low=0, high=400, unit="lpi"),
    "min_type_pt": _DETAIL,
    "min_reverse_type_pt": _DETAIL,
    "min_line_pt": _DETAIL,
    "register_mm": Member(low=0.01, high=20, unit="mm"),
    "tone_steps": Member(low=2, high=1024, whole=True),
    "variable_share": Member(low=0, high=1, unit="share"),
    "impression": Member(words=get_args(Impression)),
    "grain": Member(words=get_args(GrainWish)),
    "quality": Member(of_job=True, words=QUALITIES),
}
STOCK, INKS = "stock", "may_simulate"
# What is changed: a member, and of inks the name of one of them.
Key = tuple[str, str]


def fault_of(change: Any) -> str | None:
    """Return what is wrong with a plug-in's change, None where nothing is."""
    if not isinstance(change, Mapping):
        return f"a change must be a mapping from member to value, not {change!r}"
    for name, value in change.items():
        if name == STOCK:
            fits, wanted = {STOCK: value} == ANOTHER_STOCK, repr(ANOTHER_STOCK[STOCK])
        elif name == INKS:
            fits = isinstance(value, list | tuple) and all(isinstance(ink, str) for ink in value)
            wanted = "a list of names of inks"
        elif name in MEMBERS:
            fits, wanted = MEMBERS[name].takes(value), "a value that a job may have"
        else:
            known = ", ".join((*MEMBERS, STOCK, INKS))
            return f"no change can be made to {name!r}; there is {known}"
        if not fits:
            return f"change of {name} must be {wanted}, not {value!r}"
    return None


def keyed(change: Changed) -> Iterator[tuple[Key, Any]]:
    """Yield each single change: what is changed, and to what."""
    for name, value in change.items():
        if name == INKS:
            yield from (((name, ink), True) for ink in value)
        elif name in MEMBERS and MEMBERS[name].whole:
            yield (name, ""), int(value)
        else:
            yield (name, ""), value


def changed(job: Job, number: int, wanted: Mapping[Key, Any]) -> Job:
    """Return a job with changes made to one of its parts, and to itself.

    number: of the part; wanted: values by what is changed, a Stock for the stock
    """
    inks = {ink for (name, ink) in wanted if name == INKS}
    told = {name: value for (name, _), value in wanted.items() if name != INKS}
    of_job = {name: value for name, value in told.items() if name != STOCK and MEMBERS[name].of_job}
    part = replace(job.parts[number], **{k: v for k, v in told.items() if k not in of_job})
    part = _simulating(part, inks) if inks else part
    parts = (*job.parts[:number], part, *job.parts[number + 1 :])
    return replace(job, parts=parts, **of_job)


def value_of(job: Job, number: int, key: Key) -> Any:
    """Return what a job has for what is changed: a Stock for the stock, False for an ink."""
    name, _ = key
    if name == INKS:
        return False
    of_job = name != STOCK and MEMBERS[name].of_job
    return getattr(job if of_job else job.parts[number], name)


def _simulating(part: Part, names: Collection[str]) -> Part:
    """Return a part with inks that may be built from process inks, wherever it has them."""
    over = part.overprint
    return replace(
        part,
        front=_allowed(part.front, names),
        back=_allowed(part.back, names),
        overprint=over and (_allowed(over[0], names), _allowed(over[1], names)),
    )


def _allowed(side: Side, names: Collection[str]) -> Side:
    return replace(side, inks=tuple(_may(ink) if ink.name in names else ink for ink in side.inks))


def _may(ink: Ink) -> Ink:
    return replace(ink, may_simulate=True)
