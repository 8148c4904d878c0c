"""Requests that hold an XJDF document in place of a job, as they are published.

They are checked where they are read: the document by xjdf/, the rest as a request with a job.
"""

from __future__ import annotations

from marshmallow import fields

from .body import RequestSchema
from .fields import Between, ListOf, Whole
from .job import MOST_QUANTITIES, MOST_QUANTITY


class DocumentRequestSchema(RequestSchema):
    """An XJDF document of one product, and how to price it."""

    class Meta(RequestSchema.Meta):
        """Leave out the job: the document says what is wanted."""

        exclude = ("job",)

    xjdf = fields.Dict(
        required=True, metadata={"description": "the document: see the schema ProductIntent"}
    )
    quantities = ListOf(
        Whole(validate=Between(1, MOST_QUANTITY), metadata={"x-unit": "{piece}"}),
        least=1,
        most=MOST_QUANTITIES,
        metadata={"description": "finished pieces, in place of the Amount of the product"},
    )
