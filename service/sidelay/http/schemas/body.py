"""The body of POST /estimate, /compare and /validate."""

from __future__ import annotations

from typing import Any

from marshmallow import validates_schema

from ...compare import EXPLAINED
from ...plan import MOST_COMPARED
from ...ranking import CRITERIA
from .fields import (
    Among,
    Between,
    Figure,
    ListOf,
    Moment,
    NameOrObject,
    Object,
    Strict,
    Switch,
    Text,
    Whole,
    identifier,
    revision,
    told,
)
from .job import MOST_FILTERS, JobSchema
from .queues import QueueAheadSchema

UP_TO = 1_000_000
MOST_QUEUES = 200
DETAILS = ("price", "lines", "trace")
# What weights may lack of a sum of 1: decimal fractions add up to it only so nearly.
SUM_NEAR = 1e-9


def _weight(about: str) -> Figure:
    described = {"description": f"{about}; 0 if left out", "x-unit": "1"}
    return Figure(validate=Between(0, 1), metadata=described)


class WeightsSchema(Strict):
    """How much each criterion counts; together 1. Each counts by its ratio to the best."""

    price = _weight("weight of the price")
    cost = _weight("weight of what it costs the plant")
    readiness = _weight("weight of the hours until it is ready")

    @validates_schema
    def sum_to_one(self, data: dict[str, Any], **_: Any) -> None:
        """Refuse weights that do not sum to 1, and tell what they sum to."""
        total = sum(data.values())
        if abs(total - 1) > SUM_NEAR:
            raise told("weights_sum", f"Expected weights that sum to 1; these sum to {total:.10g}.")


class RankByField(NameOrObject):
    """One criterion by its name, or the weights of several."""

    expected = "Expected a name or an object of weights."
    name_schema = {"type": "string", "enum": list(CRITERIA)}  # noqa: RUF012

    def named(self, name: str) -> dict[str, float]:
        """Return the weights of one criterion alone. Raises ValidationError."""
        if name not in CRITERIA:
            raise told(
                "unknown_value",
                f"A name on its own is one of {', '.join(CRITERIA)}; for several write their "
                'weights, as {"price": 0.5, "readiness": 0.5}.',
            )
        return {name: 1.0}


class RequestSchema(Strict):
    """A job, and how to price it."""

    job = Object(JobSchema, required=True)
    plant = identifier(metadata={"description": "id of a plant; the default plant if left out"})
    plant_revision = revision(
        metadata={
            "description": "revision of the plant file to price on, as an answer tells it in "
            "plant.revision: the current one, or one that the shop has kept, which needs the scope "
            "cost; the current one if left out"
        }
    )
    processes = ListOf(
        identifier(),
        most=MOST_FILTERS,
        load_default=list,
        metadata={"description": "only these processes, for every part; all if empty"},
    )
    presses = ListOf(
        identifier(),
        most=MOST_FILTERS,
        load_default=list,
        metadata={"description": "only these presses, for every part; all if empty"},
    )
    detail = Text(
        validate=Among(DETAILS),
        load_default="price",
        metadata={
            "description": "price; lines: every cost line too; trace: and how every figure comes "
            "about by its formula, the mark-ups and margins of the plant among them; the last two "
            "need the scope cost"
        },
    )
    up_to = Whole(
        validate=Between(1, MOST_COMPARED),
        load_default=UP_TO,
        metadata={"description": "last quantity of the bands of /compare", "x-unit": "{piece}"},
    )
    from_ = Whole(
        data_key="from",
        validate=Between(1, MOST_COMPARED),
        load_default=1,
        metadata={"description": "first quantity of the bands of /compare", "x-unit": "{piece}"},
    )
    explain = ListOf(
        Text(validate=Among(EXPLAINED)),
        most=10,
        load_default=list,
        metadata={
            "description": "what /compare adds. cost_bands: which presses cost the plant least; "
            "sensitivity: what each crossover and answer hangs on, of at most 20 quantities, and "
            "of at most 5 parts where they are bound; remedies: what would admit excluded presses. "
            "The first two need the scope cost"
        },
    )
    rank_by = RankByField(
        WeightsSchema,
        metadata={
            "description": "what the choices of /compare are ranked by: price if left out; cost, "
            "each press with what costs the plant least; readiness, or weights, each press with "
            "what has the least price. Bands stay by price, and /estimate the cheapest. Cost needs "
            "the scope cost"
        },
    )
    curves = Switch(
        load_default=False,
        metadata={"description": "whether /compare adds the cost curve of every press"},
    )
    as_of = Moment(
        years=(2000, 2099),
        metadata={
            "description": "the clock that the answer is reckoned at, with its offset, of the "
            "years 2000 to 2099; now if left out. Fractions of a second are dropped"
        },
    )
    queue = ListOf(
        Object(QueueAheadSchema),
        most=MOST_QUEUES,
        load_default=list,
        metadata={
            "description": "what stands before machines, each once; before the others what the "
            "plant expects there"
        },
    )
    overtime = Switch(
        load_default=False,
        metadata={"description": "whether overtime may be worked; its premium is priced"},
    )
    quotes = Switch(
        load_default=False,
        metadata={
            "description": "whether each offer carries a quote: its price, signed, which "
            "/quotes/check tells to hold or not; needs a service that has a key, and its own clock"
        },
    )
