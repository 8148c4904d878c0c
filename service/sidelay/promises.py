"""What a plug-in's answers must be before the arithmetic sees them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, get_args

from .curve import Curve
from .work import Charge, Finding, Kind, Per, Run, Severity


class BadAnswer(ValueError):  # noqa: N818
    """A hook answered something that the contract does not allow."""


def checked_findings(findings: Sequence[Any]) -> list[Finding]:
    """Return the findings, or raise BadAnswer for one that is not a well-formed Finding."""
    for finding in findings:
        if not isinstance(finding, Finding) or finding.severity not in get_args(Severity):
            raise BadAnswer(f"constraints must answer Findings, not {finding!r}")
    return list(findings)


def checked_run(run: Any) -> Run:
    """Return the run, or raise BadAnswer naming the figure that breaks a promise."""
    if not isinstance(run, Run):
        raise BadAnswer(f"speed must answer a Run, not {type(run).__name__}")
    for name in ("passes", "make_ready_min", "make_ready_cycles", "wash_up_min", "drying_h"):
        _not_negative(name, getattr(run, name))
    if run.passes < 1 or run.passes != int(run.passes):
        raise BadAnswer(f"passes must be a whole number of 1 or more, not {run.passes!r}")
    if run.make_ready_cycles != int(run.make_ready_cycles):
        raise BadAnswer("make_ready_cycles must be whole")
    _check_speed(run.cycles_per_hour)
    _check_waste(run.running_waste)
    return run


def checked_charges(charges: Sequence[Any]) -> tuple[Charge, ...]:
    """Return the charges, or raise BadAnswer naming the one that breaks a promise."""
    for charge in charges:
        if not isinstance(charge, Charge):
            raise BadAnswer(f"cost must answer Charges, not {charge!r}")
        if charge.per not in get_args(Per) or charge.kind not in get_args(Kind):
            raise BadAnswer(f"{charge.label}: unknown per {charge.per!r} or kind {charge.kind!r}")
        _not_negative(f"{charge.label}: unit_cost", charge.unit_cost)
        _not_negative(f"{charge.label}: amount", charge.amount)
        if charge.life is not None and not (charge.life >= 1 and math.isfinite(charge.life)):
            raise BadAnswer(f"{charge.label}: life must be 1 cycle or more, not {charge.life!r}")
    return tuple(charges)


def _check_speed(speed: Any) -> None:
    if isinstance(speed, Curve):
        if not speed.quotient_rises():
            raise BadAnswer("cycles_per_hour must be above 0 and x / speed(x) must not fall")
    elif not (_is_number(speed) and speed > 0):
        raise BadAnswer(f"cycles_per_hour must be above 0, not {speed!r}")


def _check_waste(waste: Any) -> None:
    if isinstance(waste, Curve):
        if not waste.product_rises():
            raise BadAnswer("x * running_waste(x) must not fall as the run grows")
    else:
        _not_negative("running_waste", waste)


def _not_negative(name: str, value: Any) -> None:
    if not (_is_number(value) and value >= 0):
        raise BadAnswer(f"{name} must be a finite number of 0 or more, not {value!r}")


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
