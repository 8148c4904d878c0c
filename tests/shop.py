"""Small shops and jobs for tests: all has a default, so that a test names only what it is about."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import sidelay
from sidelay.compare import compare
from sidelay.estimate import estimate
from sidelay.http.asked import Asked
from sidelay.http.faults import Faults
from sidelay.http.job_reader import read_job
from sidelay.http.render import write_estimate
from sidelay.http.render_compare import write_comparison
from sidelay.http.schemas.request import load_request
from sidelay.job import PROCESS_INKS, Ink, Job, Part, Side
from sidelay.machines import Bindery, Folder, Guillotine
from sidelay.plan import Planner
from sidelay.plant import CostCentre, InstalledPress, Plant, ProofRate
from sidelay.plant_file import read_plant
from sidelay.pricing import PricePolicy
from sidelay.processes import Processes
from sidelay.stock import ParentSheet, Stock
from sidelay.timing import Timing

CMYK = tuple(Ink(name) for name in PROCESS_INKS)
BLACK = (Ink("black"),)
# Tuesday, 2026-11-24T09:00:00Z: the clock of every test that is not about clocks.
CLOCK = 1_795_510_800
NOW = Timing(CLOCK)
EXAMPLES = Path(__file__).parents[1] / "openapi" / "examples"
DEMO_FILE = Path(sidelay.__file__).parent / "plants" / "demo.toml"


def clock() -> float:
    """What time it is for a service under test [s since 1970, UTC]."""
    return float(CLOCK)


@cache
def processes() -> Processes:
    """The installed plug-ins."""
    return Processes.discover()


def demo_text(*processes: str) -> str:
    """The demo plant file with the presses of some processes only."""
    head, *presses = DEMO_FILE.read_text().split("[[presses]]\n")
    presses[-1], rule, tail = presses[-1].partition("# ------")
    kept = [table for table in presses if table.split('"')[1] in processes]
    gone = {table.split('"')[3] for table in presses if table not in kept}
    head, *machines = head.split("[[time.machines]]\n")
    timed = [table for table in machines if table.split('"')[1] not in gone]
    head = "[[time.machines]]\n".join([head, *timed])
    return "[[presses]]\n".join([head, *kept]) + rule + tail


@cache
def demo_of(*names: str) -> Plant:
    """The demo plant with the presses of some processes only."""
    return replace(demo(), presses=tuple(p for p in demo().presses if p.process in names))


@cache
def demo() -> Plant:
    """The demo plant."""
    return read_plant(DEMO_FILE, processes())


def example(name: str) -> Job:
    """One of the jobs under openapi/examples, read on the demo plant."""
    data, found = load_request(json.loads((EXAMPLES / f"{name}.json").read_text()))
    return read_job(data, demo(), Faults(found))


def answer(of: Plant, *, only_presses: tuple[str, ...] = (), **wanted: Any) -> dict[str, Any]:
    """The answer of /estimate on a plant, with cost lines; wanted: members of the job."""
    wish = read(of, wanted)
    result = estimate(wish, of, Planner(processes()), NOW, only_presses=only_presses)
    return write_estimate(result, _asked(of, wish, 1_000_000))


def compared(of: Plant, *, up_to: int = 100_000, **wanted: Any) -> dict[str, Any]:
    """The answer of /compare on a plant, with cost lines; wanted: members of the job."""
    wish = read(of, wanted)
    result = compare(wish, of, Planner(processes()), NOW, up_to=up_to)
    return write_comparison(result, _asked(of, wish, up_to))


def read(of: Plant, wanted: dict[str, Any]) -> Job:
    """The job of a request on a plant."""
    data, found = load_request({"job": {"title": "test", **wanted}, "plant": of.id})
    return read_job(data, of, Faults(found))


def _asked(of: Plant, wish: Job, up_to: int) -> Asked:
    timing = NOW
    return Asked(
        wish, of, "0" * 16, (), (), "lines", up_to, False, timing=timing, clock_given=False
    )


def press(process: str, **figures: Any) -> InstalledPress:
    """A press loaded through its plug-in's schema, as from a plant file."""
    feed = {
        "min_width_mm": 100,
        "max_width_mm": 1030,
        "min_length_mm": 100,
        "max_length_mm": 720,
        "work_styles": ["one_side", "sheetwise", "work_and_turn", "work_and_tumble", "perfecting"],
    } | figures.pop("feed", {})
    table = DEFAULTS[process] | figures | {"feed": feed}
    return InstalledPress(process, processes().press_schema(process).load(table))


DEFAULTS: dict[str, dict[str, Any]] = {
    "sheetfed_litho": {
        "id": "litho",
        "name": "Litho",
        "cost_centre": "litho",
        "units": 4,
        "rated_sheets_per_hour": 12_000,
        "make_ready_min_per_form": 8,
        "make_ready_min_per_plate": 2,
        "plate_price": 8.0,
    },
    "toner": {
        "id": "toner",
        "name": "Toner",
        "cost_centre": "toner",
        "stations": list(PROCESS_INKS),
        "sides_per_minute_by_length": [[216, 80], [488, 40], [1100, 20]],
        "clicks_by_length": [[297, 1], [488, 2], [1100, 4]],
    },
}


def plain_litho(**params: Any) -> InstalledPress:
    """A litho press that costs nothing but make-ready, running, a plate a form and paper."""
    return press(
        "sheetfed_litho",
        units=1,
        running_share=1.0,
        make_ready_min_per_plate=0,
        make_ready_sheets_per_plate=0,
        blanket_wash_min=0,
        unit_wash_min=0,
        wash_price_per_unit=0,
        plate_life_impressions=2_000_000,
        process_ink_price_per_kg=0,
        fount_price_per_l=0,
        standing_inks=["black"],
        **params,
    )


def plain_toner(*, per_hour: float, **params: Any) -> InstalledPress:
    """A toner press that costs nothing but make-ready, running, one click a sheet and paper."""
    return press(
        "toner",
        stations=["black"],
        running_share=1.0,
        sides_per_minute_by_length=[[1100, per_hour / 60]],
        clicks_by_length=[[1100, 1]],
        **params,
    )


def plain_bindery() -> Bindery:
    """A bindery whose guillotine spoils nothing."""
    guillotine = replace(bindery().guillotine, set_up_waste_sheets=0, running_waste=0.0)
    return replace(bindery(), guillotine=guillotine)


def stock(**figures: Any) -> Stock:
    """A coated stock in one parent sheet."""
    given: dict[str, Any] = {
        "id": "silk",
        "name": "Silk",
        "grade": "coated",
        "finish": "silk",
        "grammage_gsm": 130.0,
        "caliper_um": 120.0,
        "sheets": (ParentSheet(640, 900, "long", 0.09, "test"),),
    }
    return Stock(**given | figures)


def plant(*presses: InstalledPress, rates: dict[str, float] | None = None, **figures: Any) -> Plant:
    """A plant with these presses; rates in money an hour by cost centre."""
    rates = {"litho": 120.0, "toner": 40.0, "cutting": 44.0, "folding": 46.0} | (rates or {})
    given: dict[str, Any] = {
        "id": "test",
        "name": "Test",
        "revision": "0",
        "currency": "EUR",
        "digits": 2,
        "stock_tolerance": 0.05,
        "cost_centres": {
            name: CostCentre(name, name, rate, "test") for name, rate in rates.items()
        },
        "stocks": {"silk": stock()},
        "bindery": bindery(),
        "proofs": {
            "soft": ProofRate(0, 5, "cutting", "test"),
            "contract": ProofRate(6, 8, "cutting", "test"),
            "press": ProofRate(0, 30, "", "test"),
        },
        "price_policy": PricePolicy(0.15, 0.25, 0.15, 1500, 1),
        "presses": tuple(sorted(presses, key=lambda each: (each.process, each.press.id))),
    }
    return Plant(**given | figures)


def bindery() -> Bindery:
    """A guillotine and a folder with handbook rates."""
    return Bindery(
        Guillotine("cutting", 5, 80, 5.0, 0.4, 2, 0.002, "test"),
        Folder("folding", 10, 6, 139.7, 95.25, 0.1, 20, 0.011, 780, 530, 250, 4, 170, "test"),
    )


def leaf(width_mm: float = 210, height_mm: float = 297, **figures: Any) -> Part:
    """A flat leaf, four colours both sides."""
    given: dict[str, Any] = {
        "name": "leaf",
        "kind": "leaf",
        "width_mm": width_mm,
        "height_mm": height_mm,
        "flat_width_mm": width_mm,
        "flat_height_mm": height_mm,
        "pages": 2,
        "folds": 0,
        "bleed_mm": 3.0,
        "stock": stock(),
        "grain": "any",
        "front": Side(CMYK, 0.2),
        "back": Side(CMYK, 0.2),
        "ruling_lpi": 150.0,
        "variable_share": 0.0,
    }
    return Part(**given | figures)


def job(part: Part | None = None, quantities: tuple[int, ...] = (100, 1000), **figures: Any) -> Job:
    """A job of one part."""
    return Job("test", quantities, (part or leaf(),), **figures)


def with_inks(
    part: Part, front: tuple[Ink, ...], back: tuple[Ink, ...] = (), coverage: float = 0.2
) -> Part:
    """The part with other inks."""
    return replace(part, front=Side(front, coverage), back=Side(back, coverage if back else 0.0))
