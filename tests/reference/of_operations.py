"""Adapters for finishing operations: drilling, packing, work priced by the pass."""

from collections.abc import Iterable

from reference.given import Inputs, caliper_um, has, mm, share
from reference.register import Figures, answers
from shop import leaf, stock
from sidelay.job import Operation
from sidelay.operation_items import flat_item
from sidelay.operations import FinishingMachine, Item, lots, operation_step
from sidelay.paper import MM_PER_INCH
from sidelay.spoilage import most_copies_accepted


@answers("finishing.drilling_rate")
def drilling_rate(inputs: Inputs) -> Figures:
    rates = [
        FinishingMachine(
            "drill", "Drill", "drill", "piece", lifts_per_hour=60 * lifts, lift_mm=lift
        ).hourly(Operation("drill"), _thick(_caliper_um(inputs)))
        for lifts, lift in zip(
            _all(inputs["lifts_per_min"]), _all(mm(inputs, "lift")), strict=True
        )
    ]
    return {
        "sheets_per_hour": rates[0],
        "sheets_per_hour_low": min(rates),
        "sheets_per_hour_high": max(rates),
    }


@answers("packing.shrinkwrap")
def shrinkwrap(inputs: Inputs) -> Figures:
    machine = FinishingMachine("wrap", "Wrap", "shrink_wrap", "copy", packs_per_hour=100)
    per, copies = inputs["per_pack"], inputs["quantity"]
    step = operation_step(machine, Operation("shrink_wrap", per=per), _thick(100))
    over = {"max_overrun_pct", "max_overrun"} & set(inputs)
    most = most_copies_accepted(copies, share(inputs, "max_overrun")) if over else copies
    return {"packs": lots(step, copies), "max_delivered": most, "max_packs": lots(step, most)}


@answers("finishing.public_estimate_form")
def public_estimate_form(inputs: Inputs) -> Figures:
    """Each operation that the form prices by the pass; what is left of the total is the padding.

    The form's own difference, not a figure of sidelay's: its padding line is unclear in the scan.
    """
    passes, figures = inputs["passes"], {}
    for key, price in inputs.items():
        operation, priced, rest = key.partition("_price")
        if priced and not rest:
            machine = FinishingMachine(
                "bought", "Bought", operation, "sheet", bought_out=True, price_per_1000=1000 * price
            )
            step = operation_step(machine, Operation(operation), _thick(100))
            figures[f"{operation.removesuffix('e')}ing"] = step.price * lots(step, passes)
    if "binding_total" in inputs:
        figures["padding_by_difference"] = inputs["binding_total"] - sum(figures.values())
    return figures


@answers("press.public_estimate_form")
def public_printing_form(inputs: Inputs) -> Figures:
    """Printing that a form prices by the pass: each side and each colour takes one."""
    machine = FinishingMachine(
        "bought",
        "Bought",
        "print",
        "sheet",
        bought_out=True,
        sides_per_pass=1,
        counts_per_pass=1,
        price_per_1000=1000 * inputs["price_per_pass"],
    )
    wish = Operation("print", sides=inputs["sides"], count=inputs["colours_per_side"])
    step = operation_step(machine, wish, _thick(100))
    return {"printing": step.price * lots(step, inputs["passes_per_side"])}


def _caliper_um(inputs: Inputs) -> float:
    """The caliper, or that of the pages in an inch of paper, two to the leaf."""
    if "ppi" in inputs:
        return 2 * MM_PER_INCH * 1000 / float(inputs["ppi"])
    if has(inputs, "caliper", "thickness") or "volume" in inputs:
        return caliper_um(inputs)
    raise KeyError(f"no caliper in {sorted(inputs)}")


def _thick(thickness_um: float) -> Item:
    return flat_item(leaf(stock=stock(caliper_um=thickness_um)))


def _all(figures: float | Iterable[float]) -> list[float]:
    return list(figures) if isinstance(figures, Iterable) else [figures]
