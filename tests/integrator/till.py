"""A program of someone who calls the service, as a type checker sees it; nothing runs it as it is.

What is revealed is compared with what test_client_types.py expects.
"""

from __future__ import annotations

from decimal import Decimal
from typing import reveal_type

from sidelay.client import Client, ProblemError, Retries
from sidelay.client_types import Band, EstimateAnswer, Offer, Price


def net_of(answer: EstimateAnswer) -> Decimal:
    """The first price."""
    offer: Offer = answer["estimates"][0]
    price: Price = offer["price"]
    reveal_type(price["net"])
    reveal_type(offer["quantity"])
    reveal_type(price["same_price_to"])
    reveal_type(answer["excluded"][0]["findings"][0]["severity"])
    return Decimal(price["net"])


def first_band(bands: list[Band]) -> tuple[int, int]:
    """From where to where the first press wins."""
    return bands[0]["from"], bands[0]["to"]


with Client("http://127.0.0.1:8000", retries=Retries(most=2, most_wait_s=5)) as sidelay:
    try:
        told = sidelay.estimate({"job": {"title": "flyer"}})
        total = net_of(told)
        if "cost" in told["estimates"][0]:  # only with the scope cost
            total -= Decimal(told["estimates"][0]["cost"]["total"])
        reveal_type(sidelay.prices("flyer", size="a5")["prices"][0]["price"]["currency"])
        first_band(sidelay.compare(b"{}")["bands"])
        again = sidelay.estimate(sidelay.product_job("flyer", quantity=500))
    except ProblemError as problem:
        reveal_type(problem.retry_after_s)
        print(problem.type, problem.faults_at("#/job"))
