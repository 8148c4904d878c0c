"""Types of answers: batch.

Written by `python -m sidelay.http.client_types`; not to be edited.
"""

from __future__ import annotations

from typing import NotRequired, TypedDict

from .answers import EstimateAnswer, ValidAnswer
from .catalogue import Problem
from .compare import ComparisonAnswer


class BatchAnswer(TypedDict):
    """The answer to one line of a batch: either `answer` or `problem`."""

    line: int
    id: str
    status: int
    answer: NotRequired[EstimateAnswer | ComparisonAnswer | ValidAnswer]
    problem: NotRequired[Problem]
    retry_after_s: NotRequired[int]


class BatchDoneAnswer(TypedDict):
    """The last line of an answer: without it, the answer was cut."""

    done: bool
    lines: int
    answered: int
    refused: int
    failed: int
