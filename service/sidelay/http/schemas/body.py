"""The body of POST /estimate, /compare and /validate."""

from __future__ import annotations

from ...compare import EXPLAINED
from ...plan import MOST_COMPARED
from .fields import Among, Between, ListOf, Object, Strict, Switch, Text, Whole, identifier
from .job import MOST_FILTERS, JobSchema

UP_TO = 1_000_000
DETAILS = ("price", "lines", "trace")


class RequestSchema(Strict):
    """A job, and how to price it."""

    job = Object(JobSchema, required=True)
    plant = identifier(metadata={"description": "id of a plant; the default plant if left out"})
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
            "about by its formula, the mark-ups and margins of the plant among them"
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
            "sensitivity: what each crossover hangs on; remedies: what would admit excluded presses"
        },
    )
    curves = Switch(
        load_default=False,
        metadata={"description": "whether /compare adds the cost curve of every press"},
    )
