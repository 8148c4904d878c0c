"""What choices are ranked by: ratios to the best, weighed as stated."""

from __future__ import annotations

from fractions import Fraction

import pytest

from sidelay.ranking import BY_PRICE, Figures, RankBy, scores

CHEAP, MIDDLE, FAST = Figures(1000, 900, 4.0), Figures(1250, 1000, 2.0), Figures(2000, 800, 1.0)


def ranked(figures, by):
    found = scores(figures, by)
    return sorted(range(len(figures)), key=lambda n: found[n].key)


def test_each_ratio_is_to_the_best_of_its_kind():
    found = scores([CHEAP, MIDDLE, FAST], BY_PRICE)
    assert [each.ratios for each in found] == [
        (1, Fraction(9, 8), 4),
        (Fraction(5, 4), Fraction(5, 4), 2),
        (2, 1, 1),
    ]
    assert [each.score for each in found] == [1, Fraction(5, 4), 2]


def test_a_score_is_the_sum_of_weight_and_ratio():
    found = scores([CHEAP, MIDDLE, FAST], RankBy(price=0.5, cost=0.25, readiness=0.25))
    assert [float(each.score) for each in found] == [
        0.5 * 1 + 0.25 * 1.125 + 0.25 * 4,
        0.5 * 1.25 + 0.25 * 1.25 + 0.25 * 2,
        0.5 * 2 + 0.25 * 1 + 0.25 * 1,
    ]
    assert ranked([CHEAP, MIDDLE, FAST], RankBy(price=0.5, readiness=0.5)) == [2, 1, 0]
    assert ranked([CHEAP, MIDDLE, FAST], RankBy(price=0.75, readiness=0.25)) == [1, 0, 2]


def test_the_best_in_everything_scores_one():
    by = RankBy(price=0.25, cost=0.5, readiness=0.25)
    assert scores([Figures(10, 8, 1.5), Figures(20, 8, 3.0)], by)[0].score == 1


def test_equal_scores_keep_their_order():
    """A third more in the one and in the other are the same, however binary fractions fall."""
    pair = [Figures(300, 1, 4.0), Figures(400, 1, 3.0)]
    for order in (pair, pair[::-1]):
        assert ranked(order, RankBy(price=0.5, readiness=0.5)) == [0, 1]


def test_where_the_best_is_nothing_the_others_are_infinitely_worse():
    figures = [Figures(500, 100, 1.0), Figures(0, 0, 9.0), Figures(400, 0, 2.0)]
    found = scores(figures, RankBy(price=0.5, readiness=0.5))
    assert [each.ratios[0] for each in found] == [None, 1, None]
    assert [each.score for each in found] == [None, 5, None]
    # Those of infinite score by what makes it so: 400 before 500.
    assert ranked(figures, RankBy(price=0.5, readiness=0.5)) == [1, 2, 0]
    assert ranked(figures, BY_PRICE) == [1, 2, 0]
    assert ranked(figures, RankBy(cost=1.0)) == [1, 2, 0]
    # What does not count cannot be infinitely bad.
    assert [each.score for each in scores(figures, RankBy(readiness=1.0))] == [1, 9, 2]


def test_all_at_nothing_are_equal():
    assert [each.score for each in scores([Figures(0, 0, 0.0)] * 2, BY_PRICE)] == [1, 1]


@pytest.mark.parametrize("weights", [(-0.5, 1.0, 0.5), (0.0, 0.0, 0.0)])
def test_weights_that_mean_nothing(weights):
    with pytest.raises(ValueError, match="0 or more"):
        RankBy(*weights)


def test_alone():
    assert RankBy(0, 1.0, 0).alone == "cost"
    assert RankBy(0.5, 0.5, 0).alone is None
