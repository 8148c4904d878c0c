"""What a plug-in's answers must be before the arithmetic sees them."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from numbers import Real
from typing import Any, get_args, get_type_hints

from .changes import fault_of
from .curve import Curve
from .feeds import WORK_STYLES
from .halftone import Tones
from .imposition.pattern import Pattern
from .job import QUALITIES, SPECIAL_INKS, Part
from .job import Kind as PartKind
from .stock import Blank, ParentSheet, Reel
from .work import (
    Abilities,
    Charge,
    Delivery,
    Finding,
    Kind,
    Layout,
    Per,
    Process,
    RatedUnit,
    Run,
    Severity,
)

# Beyond anything a shop has. Within these, no sum of money outgrows a 64-bit whole number even at
# 100,000,000 pieces in a currency of four decimals.
MOST_MONEY_PER_COUNT = 1e6
MOST = {
    "passes": 1_000,
    "make_ready_min": 1e6,
    "make_ready_cycles": 1e7,
    "wash_up_min": 1e6,
    "drying_h": 1e5,
    "running_waste": 10.0,
}
LEAST_CYCLES_PER_HOUR = 1.0
SNAKE_CASE = r"[a-z][a-z0-9_]{0,62}"
_PERS, _KINDS = frozenset(get_args(Per)), frozenset(get_args(Kind))
_PLAIN_NUMBERS = frozenset((int, float))
MOST_MM = 1e5
DELIVERIES: dict[PartKind, tuple[Delivery, ...]] = {
    "leaf": ("sheet",),
    "section": ("sheet", "copy"),
    "cover": ("sheet",),
    "insert": ("sheet",),
    "envelope": ("sheet",),
    "carton": ("sheet",),
    "label": ("reel",),
    "web": ("reel",),
    "piece": ("piece",),
}
MOST_LEAD_DAYS = 365.0


class BadAnswer(ValueError):  # noqa: N818
    """A hook answered something that the contract does not allow."""


def checked_process(about: Any) -> Process:
    """Return the facts of a process, or raise BadAnswer naming the one that cannot be shown."""
    if not isinstance(about, Process):
        raise BadAnswer("process() must return a Process")
    for name, kind in get_type_hints(Process).items():
        value = getattr(about, name)
        if kind is str:
            _text(name, value)
            if name == "id" and not re.fullmatch(SNAKE_CASE, value):
                raise BadAnswer(f"id must be snake_case, a letter first, not {value!r}")
        elif kind is bool and not isinstance(value, bool):
            raise BadAnswer(f"{name} must be true or false, not {value!r}")
    for name in ("usual_run_length", "quality", "crew"):
        pair = getattr(about, name)
        if not (isinstance(pair, tuple) and len(pair) == 2 and all(map(_is_number, pair))):
            raise BadAnswer(f"{name} must be two numbers, from and to, not {pair!r}")
        if not 0 < pair[0] <= pair[1]:
            raise BadAnswer(f"{name} must rise and be above 0, not {pair!r}")
    if not isinstance(about.cautions, tuple) or not isinstance(about.sources, Mapping):
        raise BadAnswer("cautions must be a tuple of sentences, sources a mapping")
    for text in (*about.cautions, *about.sources, *about.sources.values()):
        _text("cautions and sources", text)
    return about


def checked_findings(findings: Sequence[Any]) -> list[Finding]:
    """Return the findings, or raise BadAnswer for one that is not a well-formed Finding."""
    for finding in findings:
        if not isinstance(finding, Finding) or finding.severity not in get_args(Severity):
            raise BadAnswer(f"constraints must answer Findings, not {finding!r}")
        for name in ("code", "message", "unit", "remedy"):
            _text(f"finding {finding.code}: {name}", getattr(finding, name))
        for name in ("asked", "limit"):
            value = getattr(finding, name)
            if value is not None and not _is_number(value):
                _text(f"finding {finding.code}: {name}", value)
        if finding.change and (fault := fault_of(finding.change)):
            raise BadAnswer(f"finding {finding.code}: {fault}")
    return list(findings)


def checked_layouts(layouts: Any, part: Part) -> tuple[Layout, ...]:
    """Return a model's own layouts, or raise BadAnswer for one that cannot be costed."""
    for layout in layouts:
        if not isinstance(layout, Layout) or layout.style not in WORK_STYLES:
            raise BadAnswer(f"layouts must answer Layouts, not {layout!r}")
        counts = (
            "up",
            "parts_across",
            "parts_along",
            "cycles_per_piece",
            "webs",
            "across",
            "around",
        )
        if not isinstance(layout.supply, ParentSheet | Reel | Blank):
            raise BadAnswer("a layout's supply must be a ParentSheet, a Reel or a Blank")
        if layout.delivery not in get_args(Delivery):
            raise BadAnswer(f"a layout cannot be delivered as {layout.delivery!r}")
        for name in counts:
            if not (type(getattr(layout, name)) is int and getattr(layout, name) >= 1):
                raise BadAnswer(f"a layout's {name} must be a whole number of 1 or more")
        for name in ("width_mm", "length_mm"):
            _not_negative(f"a layout's {name}", getattr(layout, name), MOST_MM)
            if not getattr(layout, name):
                raise BadAnswer(f"a layout's {name} must be above 0")
        _check_pattern(layout)
        _check_delivery(layout, part)
        _text("a layout's because", layout.because)
    return tuple(layouts)


def _check_pattern(layout: Layout) -> None:
    pattern = layout.pattern
    if pattern is None:
        return
    if not isinstance(pattern, Pattern) or pattern.up < 1 or layout.up % pattern.up:
        raise BadAnswer("a layout's pattern must be a Pattern of which `up` is a multiple, or None")


def _check_delivery(layout: Layout, part: Part) -> None:
    if layout.supply not in (*part.stock.sheets, *part.stock.reels, *part.stock.blanks):
        raise BadAnswer("a layout's supply must be one that the stock is bought in")
    if layout.delivery not in DELIVERIES[part.kind]:
        wanted = " or ".join(DELIVERIES[part.kind])
        raise BadAnswer(f"a {part.kind} is delivered as {wanted}, not as {layout.delivery}")
    if isinstance(layout.supply, Blank) and layout.up != 1:
        raise BadAnswer("a layout on a piece bought whole has one up")


def checked_run(run: Any) -> Run:
    """Return the run, or raise BadAnswer naming the figure that breaks a promise."""
    if not isinstance(run, Run):
        raise BadAnswer(f"speed must answer a Run, not {type(run).__name__}")
    for name in ("passes", "make_ready_min", "make_ready_cycles", "wash_up_min", "drying_h"):
        _not_negative(name, getattr(run, name), MOST[name])
    _not_negative("once_min", run.once_min, run.make_ready_min)
    if run.passes < 1 or run.passes != int(run.passes):
        raise BadAnswer(f"passes must be a whole number of 1 or more, not {run.passes!r}")
    if run.make_ready_cycles != int(run.make_ready_cycles):
        raise BadAnswer("make_ready_cycles must be whole")
    for name, reason in run.because.items():
        _text("because", name)
        if not (type(reason) is str and reason.isascii()):
            _text(f"because of {name}", reason)
    _check_speed(run.cycles_per_hour)
    _check_waste(run.running_waste)
    if run.rated_per_hour is not None:
        _above_nothing("rated_per_hour", run.rated_per_hour)
    return run


def checked_charges(charges: Sequence[Any]) -> tuple[Charge, ...]:
    """Return the charges, or raise BadAnswer naming the one that breaks a promise."""
    for charge in charges:
        if not _is_plain(charge):
            _check_charge(charge)
    return tuple(charges)


def _is_plain(charge: Any) -> bool:
    """Whether a charge is as nearly all are, of plain numbers and letters, and keeps its promises.

    A plan has a thousand of them: what is wrong with one is only put in words where something is.
    """
    return (
        type(charge) is Charge
        and type(charge.unit_cost) in _PLAIN_NUMBERS
        and type(charge.amount) in _PLAIN_NUMBERS
        and charge.unit_cost >= 0
        and charge.amount >= 0
        and charge.unit_cost * charge.amount <= MOST_MONEY_PER_COUNT
        and type(charge.lead_days) in _PLAIN_NUMBERS
        and 0 <= charge.lead_days <= MOST_LEAD_DAYS
        and (charge.life is None or (type(charge.life) is int and charge.life >= 1))
        and charge.per in _PERS
        and charge.kind in _KINDS
        and all(
            type(text) is str and text.isascii()
            for text in (charge.stage, charge.label, charge.because, charge.source)
        )
    )


def _check_charge(charge: Any) -> None:
    if not isinstance(charge, Charge):
        raise BadAnswer(f"cost must answer Charges, not {charge!r}")
    if charge.per not in _PERS or charge.kind not in _KINDS:
        raise BadAnswer(f"{charge.label}: unknown per {charge.per!r} or kind {charge.kind!r}")
    _not_negative(f"{charge.label}: unit_cost", charge.unit_cost, math.inf)
    _not_negative(f"{charge.label}: amount", charge.amount, math.inf)
    for name in ("stage", "label", "because", "source"):
        _text(f"charge {charge.label}: {name}", getattr(charge, name))
    money = charge.unit_cost * charge.amount
    _not_negative(f"{charge.label}: unit_cost x amount", money, MOST_MONEY_PER_COUNT)
    _not_negative(f"{charge.label}: lead_days", charge.lead_days, MOST_LEAD_DAYS)
    if charge.life is not None and not (charge.life >= 1 and math.isfinite(charge.life)):
        raise BadAnswer(f"{charge.label}: life must be 1 cycle or more, not {charge.life!r}")


def checked_abilities(told: Any) -> Abilities | None:
    """Return the abilities of a press, or raise BadAnswer naming the one that cannot be shown."""
    if told is None:
        return None
    if not isinstance(told, Abilities):
        raise BadAnswer(f"abilities must answer Abilities, not {told!r}")
    for name in ("finest_ruling_lpi", "register_mm", "rated_speed"):
        if getattr(told, name) is not None:
            _above_nothing(name, getattr(told, name))
    inks = told.inks_in_one_pass
    if inks is not None and not (type(inks) is int and inks >= 1):
        raise BadAnswer(f"inks_in_one_pass must be a whole number of 1 or more, not {inks!r}")
    if not (told.two_sided is None or isinstance(told.two_sided, bool)):
        raise BadAnswer(f"two_sided must be true or false, not {told.two_sided!r}")
    if told.rated_unit not in get_args(RatedUnit):
        raise BadAnswer(f"rated_unit must be one of {', '.join(get_args(RatedUnit))}")
    if told.finest_quality not in (None, *QUALITIES):
        raise BadAnswer(f"finest_quality must be one of {', '.join(QUALITIES)}")
    _check_words(told)
    for name in ("caliper_um", "grammage_gsm"):
        _check_window(name, getattr(told, name))
    _check_tones(told.tones)
    return told


def _check_words(told: Abilities) -> None:
    for name in ("special_inks", "grades"):
        words = getattr(told, name)
        if not (words is None or isinstance(words, tuple)):
            raise BadAnswer(f"{name} must be a tuple of words, not {words!r}")
        for word in words or ():
            _text(name, word)
    if unknown := set(told.special_inks or ()) - set(SPECIAL_INKS):
        raise BadAnswer(f"special_inks holds {', '.join(sorted(unknown))}, which are no such kinds")


def _check_window(name: str, window: Any) -> None:
    if window is None:
        return
    if not (isinstance(window, tuple) and len(window) == 2 and all(map(_is_number, window))):
        raise BadAnswer(f"{name} must be two numbers, from and to, not {window!r}")
    if not 0 <= window[0] <= window[1]:
        raise BadAnswer(f"{name} must rise and not be negative, not {window!r}")


def _check_tones(tones: Any) -> None:
    if tones is None:
        return
    if not isinstance(tones, Tones):
        raise BadAnswer(f"tones must be Tones, not {tones!r}")
    _not_negative("tones: held_share", tones.held_share, 1.0)
    if tones.levels is None:
        _above_nothing("tones: dpi", tones.dpi)
        _above_nothing("tones: grey_levels", tones.grey_levels)
    elif not (type(tones.levels) is int and tones.levels >= 1):
        raise BadAnswer(f"tones: levels must be a whole number of 1 or more, not {tones.levels!r}")


def _above_nothing(name: str, value: Any) -> None:
    if not (_is_number(value) and value > 0):
        raise BadAnswer(f"{name} must be a number above 0, not {value!r}")


def _check_speed(speed: Any) -> None:
    if isinstance(speed, Curve):
        if not speed.quotient_rises():
            raise BadAnswer("cycles_per_hour must be above 0 and x / speed(x) must not fall")
        speed = min(value for _, value in speed.points)
    if not (_is_number(speed) and speed >= LEAST_CYCLES_PER_HOUR):
        raise BadAnswer(f"cycles_per_hour must be {LEAST_CYCLES_PER_HOUR:g} or more, not {speed!r}")


def _check_waste(waste: Any) -> None:
    if isinstance(waste, Curve):
        if not waste.product_rises():
            raise BadAnswer("x * running_waste(x) must not fall as the run grows")
    else:
        _not_negative("running_waste", waste, MOST["running_waste"])


def _not_negative(name: str, value: Any, most: float) -> None:
    if not (_is_number(value) and 0 <= value <= most):
        raise BadAnswer(f"{name} must be a number from 0 to {most:g}, not {value!r}")


def _text(name: str, value: Any) -> None:
    """Refuse what is no text, or holds half a surrogate pair, which no answer can carry."""
    if not isinstance(value, str) or not (value.isascii() or _can_be_written(value)):
        raise BadAnswer(f"{name} must be plain text, not {value!r}")


def _can_be_written(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


def _is_number(value: Any) -> bool:
    # Asked dozens of times for every layout, nearly always of a plain int or float.
    plain = type(value) in _PLAIN_NUMBERS
    if not (plain or (isinstance(value, Real) and not isinstance(value, bool))):
        return False
    return math.isfinite(value)
