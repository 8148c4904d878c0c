"""Dates as answers write them, where rounding could turn one thing into another."""

from __future__ import annotations

import pytest

from shop import CLOCK, plant
from sidelay.http.render_dates import DateWriter
from sidelay.timing import Timing, due_of


@pytest.mark.parametrize("late_s", [-3600, -1, 0, 1, 2, 59, 3600])
def test_slack_is_below_nothing_exactly_where_it_is_late(late_s: int) -> None:
    due = due_of(Timing(CLOCK, due_at=CLOCK + 7200), CLOCK + 7200 + late_s)
    written = DateWriter(plant())._due(due)
    assert written["holds"] is (late_s <= 0)
    assert (written["slack_h"] < 0) is (late_s > 0)
    assert written["slack_h"] == pytest.approx(-late_s / 3600, abs=5e-5)
    assert str(written["slack_h"]) != "-0.0"
