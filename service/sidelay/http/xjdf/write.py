"""From a request's job to a document of product intent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ...stock import Stock
from ...work import Process
from .notes import Ignored


def write_product(
    body: Mapping[str, Any],
    processes: Mapping[str, Process],
    stocks: Mapping[str, Stock],
    *,
    quantity: int | None = None,
    job_id: str = "job",
) -> tuple[dict[str, Any], tuple[Ignored, ...]]:
    """Return a request's job as an XJDF document, and what of it a document cannot say.

    body: one that the request schema takes
    quantity: the one of the job's that the document is about; None for the first
    """
    raise NotImplementedError
