"""What a plant has and cannot use: stocks, presses, machines, cost centres, products.

Presses are asked: a few plain jobs, one small piece of little ink each, on every stock. What none
of them takes is told; it may still be of use for a job of another kind.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from ..asked_once import AskedOnce
from ..binders import Binder
from ..choosing import Contradiction, settle
from ..http.catalogues import Sold, request_for
from ..http.faults import Faults, InvalidRequest
from ..http.job_reader import read_job
from ..http.schemas.request import load_request
from ..job import Ink, Job, Kind, Operation, Part, Side
from ..machine_clocks import MachineClocks
from ..operation_choice import machine_findings
from ..operation_items import Item
from ..operations import FinishingMachine
from ..plan import Planner, plan_part
from ..plant import Plant
from ..plant_references import named_centres
from ..processes import Processes, watching
from ..products import Choices, NumberOption, Product
from ..stock import Stock
from ..toml_file import FileFaults
from .unlikely import usual_figures

DAY_S = 86_400
# Nobody prints fewer at a time on a press that takes a while to make ready.
RUN = 1000
PLAIN = Side((Ink("black"),), 0.05)
BLANK = Side()
OTHER_KIND = "kind_not_made"
# What is refused for the stock, whatever the job.
FOR_THE_STOCK = (
    "operation_grade",
    "operation_surface",
    "operation_grammage",
    "operation_caliper",
)


def warn_of_idle(
    data: Mapping[str, Any], plant: Plant, processes: Processes, now: int, found: FileFaults
) -> None:
    """Add a warning for whatever the plant has and no plain job can use.

    data: the plant file as it stands; now: instant from which on machines may stand still
    [s since 1970, UTC]
    """
    _warn_of_presses(data, plant, processes, found)
    _warn_of_centres(data, found)
    for machine in plant.operations:
        _warn_of_operation(machine, plant, found)
    for binder in plant.binders:
        _warn_of_binder(binder, plant, found)
    _warn_of_stillness(data, plant, now, found)


# ---------------------------------------------------------------- presses and stocks


def _warn_of_presses(
    data: Mapping[str, Any], plant: Plant, processes: Processes, found: FileFaults
) -> None:
    used: set[str] = set()
    refusals: dict[str, list[str]] = {}
    for number, table in enumerate(data["stocks"]):
        able, against = _presses_for(plant.stocks[table["id"]], plant, processes)
        used |= able
        for press, why in against.items():
            refusals.setdefault(press, []).append(why)
        if not able:
            told = f"no press of the plant prints on it: {_some(against.values())}"
            fix = "Check its grade, grammage, thickness and sizes, or leave it out."
            found.add(f"stocks[{number}]", "id", told, fix)
    for number, table in enumerate(data["presses"]):
        if table["id"] not in used:
            told = f"it prints on no stock of the plant: {_some(refusals.get(table['id'], ()))}"
            fix = "Check its feed and its limits, or add a stock for it."
            found.add(f"presses[{number}]", "id", told, fix)


def _some(reasons: Iterable[str], most: int = 3) -> str:
    """Return the reasons given most often."""
    told = Counter(reasons)
    return "; ".join(why for why, _ in told.most_common(most))


def _presses_for(
    stock: Stock, plant: Plant, processes: Processes
) -> tuple[set[str], dict[str, str]]:
    """Return the presses that take some plain job on a stock, and why others do not, by id.

    A press whose plug-in fails counts among the first: that is no fault of the plant file.
    """
    able: set[str] = set()
    against: dict[str, str] = {}
    for part in plain_parts(stock):
        job = Job("", (RUN,), (part,), quality="draft")
        with watching():
            planned = plan_part(part, job, plant, AskedOnce(processes), plant.presses, None)
        able |= {installed.press.id for installed, _ in planned.ways}
        able |= {failed.press for failed in planned.unavailable}
        for each in planned.excluded:
            first = each.findings[0]
            if first.code != OTHER_KIND or each.press not in against:
                against[each.press] = first.message
    return able, {name: why for name, why in against.items() if name not in able}


def plain_parts(stock: Stock) -> Iterator[Part]:
    """Yield the parts that presses are asked for on a stock: black, one side, little of it."""
    if stock.sheets or stock.reels:
        yield _part(stock, "leaf", 105, 148)
        yield _part(stock, "leaf", 210, 297)
        for width_mm, height_mm in ((210, 297), (280, 400)):
            for pages in (8, 16, 32):
                yield _part(stock, "section", width_mm, height_mm, pages)
    if stock.sheets:
        yield _part(stock, "carton", 200, 200)
    if stock.reels:
        yield _part(stock, "label", 60, 40)
        yield _part(stock, "web", 150, 200)
    for blank in stock.blanks:
        yield _part(stock, "envelope", blank.width_mm, blank.height_mm)
        for width_mm, height_mm in ((50, 50), (30, 6)):
            fits = min(width_mm, blank.width_mm), min(height_mm, blank.height_mm)
            yield _part(stock, "piece", *fits)


def _part(
    stock: Stock, kind: Kind, width_mm: float, height_mm: float, pages: int = 2
) -> Part:
    section = kind == "section"
    return Part(
        name="",
        kind=kind,
        width_mm=width_mm,
        height_mm=height_mm,
        flat_width_mm=width_mm * (2 if section else 1),
        flat_height_mm=height_mm,
        pages=pages,
        folds=0,
        bleed_mm=0.0,
        stock=stock,
        grain="any",
        front=PLAIN,
        back=PLAIN if section else BLANK,
        ruling_lpi=0.0,
        variable_share=0.0,
    )


# ---------------------------------------------------------------- cost centres and finishing


def _warn_of_centres(data: Mapping[str, Any], found: FileFaults) -> None:
    named = {centre for _, centre in named_centres(data)}
    for number, table in enumerate(data["cost_centres"]):
        if table["id"] not in named:
            told = "no machine names this cost centre"
            found.add(f"cost_centres[{number}]", "id", told, "Leave it out, or name it.")


def _warn_of_operation(machine: FinishingMachine, plant: Plant, found: FileFaults) -> None:
    """Tell a machine that takes none of the stocks; sizes are not looked at."""
    wish = Operation(machine.operation, machine.id)
    reasons = []
    for stock in plant.stocks.values():
        against = [
            finding.message
            for finding in machine_findings(machine, wish, _item(machine, stock))
            if finding.code in FOR_THE_STOCK
        ]
        if not against:
            return
        reasons += against[:1]
    told = f"no stock of the plant goes in: {_some(reasons)}"
    fix = "Check its grades, surfaces, grammages and thicknesses."
    found.add(f"operations ({machine.id})", "id", told, fix)


def _item(machine: FinishingMachine, stock: Stock) -> Item:
    """Return one leaf of a stock, or as many as a machine takes that works on copies."""
    leaf_um = stock.caliper_um
    single = machine.unit in ("sheet", "flat")
    caliper_um = leaf_um if single else max(leaf_um, machine.min_caliper_um)
    kind = stock.grammage_gsm, 0.01, stock.grade, stock.finish
    return Item(200.0, 200.0, caliper_um, *kind, 1, 0.04, 800.0)


def _warn_of_binder(binder: Binder, plant: Plant, found: FileFaults) -> None:
    """Tell a binder for which no stock makes a block of its pages and its thickness."""
    for stock in plant.stocks.values():
        leaf_mm = stock.caliper_um / 1000
        least_mm, most_mm = binder.min_pages / 2 * leaf_mm, binder.max_pages / 2 * leaf_mm
        if least_mm <= binder.max_block_mm and most_mm >= binder.min_block_mm:
            return
    told = (
        f"no stock of the plant makes a block of {binder.min_block_mm:g} to "
        f"{binder.max_block_mm:g} mm in {binder.min_pages} to {binder.max_pages} pages"
    )
    found.add(f"binders ({binder.id})", "max_block_mm", told, "Check its pages and thicknesses.")


def _warn_of_stillness(
    data: Mapping[str, Any], plant: Plant, now: int, found: FileFaults
) -> None:
    """Tell machines with times of their own that do not work for long, overtime included."""
    most_days = usual_figures()["still"]["high"]
    clocks = MachineClocks(plant.time, datetime.fromtimestamp(now, UTC).year)
    machines = data.get("time", {}).get("machines", [])
    places = [("", "time"), *((m["id"], f"time.machines[{n}]") for n, m in enumerate(machines))]
    for machine, table in places:
        if not clocks.of(machine, overtime=True).between(now, now + most_days * DAY_S):
            told = f"no work at all in the next {most_days} days"
            fix = "Check its shifts, its maintenance and the closed days."
            found.add(table, "id" if machine else "", told, fix)
            if not machine:
                return  # all that follow the plant would be told the same


# ---------------------------------------------------------------- products


def warn_of_products(products: Sequence[Sold], processes: Processes, found: FileFaults) -> None:
    """Add a warning for each product of a catalogue that no press makes in any choice tried.

    Tried are the defaults, and each value of each option beside them, for all quantities at once:
    whether a press can make a job does not hang on how many.
    """
    planner = Planner(processes)
    for sold in products:
        if not any(_is_made(sold, choice, planner) for choice in _choices(sold.product)):
            where = f"products ({sold.product.id})"
            told = "no press of the plant makes it, in any of the choices tried"
            found.add(where, "id", told, "Ask /compare for its job: the answer says why.")


def _choices(product: Product) -> Iterator[Choices]:
    yield {}
    for option in product.options:
        if isinstance(option, NumberOption):
            yield from ({option.id: value} for value in (option.least, option.most))
        else:
            yield from ({option.id: value.id} for value in option.values)


def _is_made(sold: Sold, chosen: Choices, planner: Planner) -> bool:
    product = sold.product
    try:
        choices = settle(product, chosen)
        data, faults = load_request(request_for(product, choices, product.ladder))
        job = read_job(data, sold.plant, Faults(faults))
    except (Contradiction, InvalidRequest):  # a fault, where it is one, was told as such
        return False
    plan = planner.plan_aside(job, sold.plant, only_processes=product.processes)
    return plan.job_table is not None
