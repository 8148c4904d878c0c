"""The lines of POST /batch, and those of its answer."""

from __future__ import annotations

from typing import Any

from marshmallow import fields

from ..openapi_intent import INTENT, reference
from .answer_fields import Answer, text, whole
from .catalogue import ProblemSchema
from .fields import Among, Coded, Long, Object, Strict, Text, told

ASKS = ("estimate", "compare", "validate")
LONGEST_ID = 200


class Carried(Coded, fields.Raw):
    """An object that is taken as it is: what is wrong in it is told where it is used."""

    code, expected = Object.code, Object.expected

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, dict):
            raise told(self.code, self.expected)
        return value


class BatchLineSchema(Strict):
    """One line of a batch: a request, and what is asked with it."""

    id = Text(
        validate=Long(1, LONGEST_ID),
        metadata={
            "description": "which line it is, in the answer and for after; the number of the line "
            "as text if left out. No two lines have the same"
        },
    )
    ask = Text(
        validate=Among(ASKS),
        load_default=ASKS[0],
        metadata={"description": "the path that the request would be posted to"},
    )
    request = Carried(
        required=True,
        metadata={
            "description": "the body that it would be posted with",
            "anyOf": [reference(name) for name in ("Request", "DocumentRequest", INTENT)],
        },
    )


class BatchAnswerSchema(Answer):
    """The answer to one line of a batch: either `answer` or `problem`."""

    line = whole("number of the line, from 1; blank ones count")
    id = text("id of the line; its number as text where none could be read")
    status = whole("the status that the request alone would be answered with")
    answer = fields.Raw(
        metadata={
            "description": "what /estimate, /compare or /validate answers",
            "oneOf": [reference(name) for name in ("Estimate", "Comparison", "Valid")],
        },
    )
    problem = fields.Nested(
        ProblemSchema,
        metadata={
            "description": "why it is not answered. Its pointers lead into the request of the "
            "line; those of id, ask and request itself into the line"
        },
    )
    retry_after_s = whole("of a 429: seconds until the next window", "s", optional=True)


class BatchDoneSchema(Answer):
    """The last line of an answer: without it, the answer was cut."""

    done = fields.Boolean(required=True, metadata={"description": "true"})
    lines = whole("lines answered, in one way or another: the sum of the others")
    answered = whole("with 2xx")
    refused = whole("with 4xx")
    failed = whole("with 5xx")
