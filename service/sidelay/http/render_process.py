"""The table of processes as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..characteristics import Characteristic, ForThisJob, Here, PlantAbilities
from .render import write_facts


def write_characteristic(row: Characteristic) -> dict[str, Any]:
    """Return the row of one process: facts, what the plant has, the job, where it wins."""
    return {
        "process": row.process.id,
        **write_facts(row.process),
        "here": _here(row.here),
        "for_this_job": _for_this_job(row.for_this_job) if row.for_this_job else None,
        "wins": [write_stretch(*stretch) for stretch in row.wins],
    }


def write_stretch(first: int, last: int) -> dict[str, int]:
    """Return quantities from .. to, both ends included."""
    return {"from": first, "to": last}


def _here(here: Here) -> dict[str, Any]:
    return {
        "presses": [
            {
                "press": each.press,
                "name": each.name,
                "feed": each.feed,
                "largest_mm": _pair(each.largest_mm),
                "pages_up": each.pages_up,
            }
            for each in here.presses
        ],
        "largest_press": here.largest.press,
        "largest_mm": _pair(here.largest.largest_mm),
        "pages_up": here.largest.pages_up,
        "abilities": _abilities(here.abilities) if here.abilities else None,
    }


def _abilities(can: PlantAbilities) -> dict[str, Any]:
    return {
        "inks_in_one_pass": _listed(can.inks_in_one_pass),
        "two_sided": can.two_sided,
        "special_inks": _listed(can.special_inks),
        "grades": _listed(can.grades),
        "caliper_um": _pair(can.caliper_um),
        "grammage_gsm": _pair(can.grammage_gsm),
        "finest_ruling_lpi": _pair(can.finest_ruling_lpi),
        "tone_steps": _listed(can.tone_steps),
        "quality": _listed(can.quality),
        "register_mm": _pair(can.register_mm),
        "rated": [
            {"unit": unit, "slowest": _figure(slowest), "fastest": _figure(fastest)}
            for unit, slowest, fastest in can.rated
        ],
    }


def _for_this_job(made: ForThisJob) -> dict[str, Any]:
    return {
        "quantity": made.quantity,
        "press": made.press,
        "carriers": made.carriers,
        "carrier_lead_days": made.carrier_lead_days,
        "make_ready_min": _figure(made.make_ready_min),
        "wash_up_min": _figure(made.wash_up_min),
        "passes": made.passes,
        "work_style": made.style,
        "up": made.up,
        "colours": list(made.inks),
        "ruling_lpi": None if made.ruling_lpi is None else _figure(made.ruling_lpi),
        "tone_steps": made.tone_steps,
        "drying_h": _figure(made.drying_h),
        "dry_after_h": _figure(made.dry_after_h),
        "rated_per_hour": None if made.rated_per_hour is None else round(made.rated_per_hour, 1),
        "net_per_hour": round(made.net_per_hour, 1),
        "sheets_per_hour": round(made.good_per_hour, 1),
        "run_length_cycles": made.run_cycles,
        "within_usual_run_length": made.within_usual_run,
    }


def _listed(words: Sequence[Any] | None) -> list[Any] | None:
    return None if words is None else list(words)


def _pair(span: Sequence[float] | None) -> list[float] | None:
    return None if span is None else [_figure(figure) for figure in span]


def _figure(figure: float) -> float:
    """A figure of a plant or a model, a float whichever it was, to three decimals."""
    return round(float(figure), 3)
