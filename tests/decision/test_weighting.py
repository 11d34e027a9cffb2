"""Shares of all weightings: by hand, against sampling, and who is weighed at all."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from evenbarrel.decision.durations import first_duration
from evenbarrel.decision.weighting import _sampled, leading_shares, scaled, undominated

SCORES = st.floats(0.0, 1.0).map(lambda x: round(x, 3))


def test_two_measures_by_hand():
    """(1, 0), (0, 1) and (0.6, 0.6): the third leads from w = 0.4 to 0.6."""
    shares, error = leading_shares(np.array([[1.0, 0.0], [0.0, 1.0], [0.6, 0.6]]))

    np.testing.assert_allclose(shares, [0.4, 0.4, 0.2], atol=1e-12)
    assert error == 0.0


def test_three_measures_by_hand():
    """Each the best in one measure and nought elsewhere: a third each."""
    shares, _ = leading_shares(np.eye(3))

    np.testing.assert_allclose(shares, [1 / 3] * 3, atol=1e-12)


def test_equal_ones_share():
    shares, _ = leading_shares(np.array([[1.0, 0.2], [1.0, 0.2], [0.0, 1.0]]))

    assert shares[0] == shares[1]
    assert shares.sum() == pytest.approx(1.0)


@pytest.mark.parametrize("measures", [1, 2, 3, 4])
@settings(deadline=None)
@given(data=st.data())
def test_shares_add_up_to_the_whole(measures, data):
    scores = data.draw(arrays(np.float64, (5, measures), elements=SCORES))
    shares, _ = leading_shares(scores)

    assert shares.sum() == pytest.approx(1.0)
    assert (shares >= 0.0).all()


@pytest.mark.parametrize("measures", [2, 3])
@pytest.mark.parametrize("seed", range(4))
def test_exact_shares_are_those_of_many_weightings(measures, seed):
    scores = np.random.default_rng(seed).random((6, measures))
    exact, _ = leading_shares(scores)
    sampled, error = _sampled(scores)

    np.testing.assert_allclose(exact, sampled, atol=6 * error + 1e-9)


def test_a_dominated_one_is_not_weighed_and_scaling_runs_from_worst_to_best():
    goods = np.array([[3.0, 10.0], [5.0, 4.0], [2.0, 3.0]])

    assert undominated(goods) == [0, 1]
    np.testing.assert_allclose(scaled(goods[:2]), [[0.0, 1.0], [1.0, 0.0]])


def test_a_flat_measure_counts_nothing():
    np.testing.assert_array_equal(scaled(np.array([[2.0, 1.0], [2.0, 3.0]]))[:, 0], [0.0, 0.0])


def test_a_bid_without_a_measure_is_left_out_and_named(decided, make_bid, as_money):
    measures = [{"key": "price"}, {"key": "delivery"}]
    bids = [
        make_bid("a", delivery="12 weeks from order"),
        make_bid("b", delivery="soon", unit={"price": as_money(90_000)}),
        make_bid("c", delivery="4 weeks", unit={"price": as_money(120_000)}),
    ]
    shares = decided(*bids, measures=measures).shares

    assert ("ba", "delivery") in shares.left_out
    assert shares.shares == {"aa": pytest.approx(0.5), "ca": pytest.approx(0.5)}
    assert shares.marked == ()


def test_a_weight_marks_a_point_and_changes_no_share(decided, make_bid, as_money):
    bids = [
        make_bid("a", delivery="12 weeks"),
        make_bid("c", delivery="4 weeks", unit={"price": as_money(120_000)}),
    ]
    measures = [{"key": "price", "weight": 0.9}, {"key": "delivery", "weight": 0.1}]
    shares = decided(*bids, measures=measures).shares

    assert shares.marked == ("aa",)
    assert shares.shares == {"aa": pytest.approx(0.5), "ca": pytest.approx(0.5)}


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("22 weeks from order, delivered", 154.0),
        ("12 weeks, stock machine", 84.0),
        ("24 months or 8000 hours", 730.5),
        ("10-12 weeks", None),
        ("10 to 12 weeks", None),
        ("on site", None),
        ("none", None),
        ("", None),
        ("2.5 months", None),
    ],
)
def test_a_duration_is_read_where_there_is_one(text, days):
    assert first_duration(text) == days
