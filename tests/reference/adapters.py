"""Every topic that the reference cases may have: answered by an adapter, or not yet and why.

A topic in neither fails its case, so that a case dropped into `cases/` is never passed over.
"""

from reference import (
    of_binding,
    of_calendar,
    of_crossovers,
    of_finishing,
    of_imposition,
    of_ink,
    of_money,
    of_operations,
    of_paper,
    of_pricing,
    of_rates,
    of_reels,
    of_rolls,
    of_spoilage,
    of_what_if,
)
from reference.register import ADAPTERS as ADAPTERS

# Importing them fills ADAPTERS.
MODULES = (
    of_binding,
    of_calendar,
    of_crossovers,
    of_finishing,
    of_imposition,
    of_ink,
    of_money,
    of_operations,
    of_paper,
    of_pricing,
    of_rates,
    of_reels,
    of_rolls,
    of_spoilage,
    of_what_if,
)


def _topics(reason: str, *topics: str) -> dict[str, str]:
    return dict.fromkeys(topics, reason)


NOT_YET: dict[str, str] = {
    **_topics(
        "a difference of the figures given; sidelay has no function for it alone",
        "ink.saving",
    ),
    **_topics(
        "sidelay prices net of tax and sends no quotation document",
        "VAT class of printed matter (UK, general)",
        "quotation validity",
        "tax per line against tax on total",
    ),
    **_topics(
        "sidelay cuts one size from a sheet; it solves no mixed-size cutting",
        "one-dimensional cutting stock, paper reels",
        "unconstrained guillotine cutting, value = area",
    ),
    **_topics(
        "sidelay sequences one job's operations; it solves no shop-floor or project network",
        "Kingman U term",
        "Kingman against M/M/1",
        "M/M/1",
        "PERT network of 14 activities",
        "critical path",
        "flow shop, fixed order",
        "three-point",
        "three-point, path",
        "three-point, path and probability",
        "two-machine flow shop",
    ),
    **_topics(
        "sidelay fits no curves and propagates no errors",
        "NIST StRD NoInt2 (through the origin)",
        "NIST StRD Norris",
        "error propagation, product",
        "high-low and least squares, 20 months",
        "high-low and least squares, four months",
        "high-low and least squares, hospital maintenance",
        "learning curve",
        "small line",
    ),
    **_topics(
        "sidelay computes no emissions",
        "UK government paper factors",
        "US grid factor 2022",
        "fountain solution potential to emit",
        "hand-wash solvent in towels",
        "heatset publication web, AP-42 style",
        "litho ink VOC, nonheatset",
        "office paper factor (Australia)",
        "paper footprint by mass",
        "sheetfed ink potential to emit",
        "solvent ink, AP-42 style",
    ),
}
