"""Plants whose prices are alike and whose costs are not look alike to who sees no costs.

One works at some hourly rates and doubles what hours cost; the other works at rates twice as high
and adds nothing. Every line of hours comes to whole cents, so that the prices are alike to the bit.
"""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from shop import (
    answer,
    compared,
    plain_bindery,
    plain_litho,
    plain_toner,
    plant,
)
from sidelay.http.cut import without_costs
from sidelay.http.render import to_json
from sidelay.http.schemas.answer_compare import ComparisonSchema
from sidelay.http.schemas.answers import EstimateSchema
from sidelay.plant import Plant
from sidelay.pricing import PricePolicy

# A cent a cycle, and whole cents a minute: 12,000 and 2,400 cycles an hour.
RATES = {"litho": 120.0, "toner": 24.0}


def shop(times: float, markup: float) -> Plant:
    """A plant whose hours cost so many times RATES and are marked up so much."""
    presses = (
        plain_litho(rated_sheets_per_hour=12_000, make_ready_min_per_form=8),
        plain_toner(per_hour=2_400, make_ready_min=5, click_mono_price=0.05),
    )
    rates = {name: rate * times for name, rate in RATES.items()}
    return plant(
        *presses,
        rates=rates | {"cutting": 0.0, "folding": 0.0},
        bindery=plain_bindery(),
        price_policy=PricePolicy(0.15, markup, 0.15, 0, 1),
    )


CHEAP, DEAR = shop(1.0, 1.0), shop(2.0, 0.0)
QUANTITIES = st.lists(st.integers(1, 200_000), min_size=1, max_size=3, unique=True)


def wish(quantities: list[int], size: str) -> dict[str, Any]:
    part = {
        "name": "leaf",
        "size": size,
        "stock": {"id": "silk"},
        "front": {"inks": ["black"]},
    }
    return {"quantities": quantities, "parts": [part]}


@given(quantities=QUANTITIES, size=st.sampled_from(["a6", "a5", "a4", "a3"]))
def test_who_sees_no_costs_cannot_tell_them_apart(quantities: list[int], size: str) -> None:
    wanted = wish(quantities, size)
    for ask, schema in ((answer, EstimateSchema), (compared, ComparisonSchema)):
        mine, theirs = (ask(each, **wanted) for each in (CHEAP, DEAR))
        assert to_json(mine) != to_json(theirs)
        cut = [to_json(without_costs(schema, each)) for each in (mine, theirs)]
        assert cut[0] == cut[1]


def test_their_costs_do_differ_and_both_presses_win_somewhere() -> None:
    mine, theirs = (compared(each, **wish([50, 20_000], "a5")) for each in (CHEAP, DEAR))
    assert {band["process"] for band in mine["bands"]} == {"sheetfed_litho", "toner"}
    for one, other in zip(mine["quantities"], theirs["quantities"], strict=True):
        costs = [each["choices"][0]["cost"]["total"] for each in (one, other)]
        assert costs[0] < costs[1]


def test_a_plant_with_dearer_hours_at_the_same_mark_up_does_not_look_alike() -> None:
    """The test above can fail: prices that differ are seen."""
    wanted = wish([1000], "a5")
    mine, theirs = (answer(each, **wanted) for each in (CHEAP, shop(2.0, 1.0)))
    cut = [to_json(without_costs(EstimateSchema, each)) for each in (mine, theirs)]
    assert cut[0] != cut[1]
