"""Present cost against an outside library."""

from __future__ import annotations

import numpy as np
import numpy_financial
import pytest

from evenbarrel.trade.ownership import cost


@pytest.mark.parametrize("rate", [0.0, 0.05, 0.12])
@pytest.mark.parametrize("growth", [0.0, 0.02, -0.01])
def test_present_cost_is_the_librarys_net_present_value(rate, growth):
    """numpy_financial.npv, whose first amount is not discounted."""
    amounts = (12_000.0, 12_500.0, 40_000.0, 13_000.0, 13_500.0)
    paid = [90_000.0, *(amount * (1 + growth) ** year for year, amount in enumerate(amounts, 1))]
    paid[-1] -= 15_000.0
    present = cost.present_cost(90_000.0, amounts, growth, rate, 15_000.0)
    assert present == pytest.approx(numpy_financial.npv(rate, paid), rel=1e-12)


@pytest.mark.parametrize("rate", [1e-9, 0.01, 0.08, 0.25])
@pytest.mark.parametrize("years", [1, 7, 15])
def test_annuity_is_the_librarys_payment(rate, years):
    """numpy_financial.pmt, which counts payments as negative."""
    expected = -numpy_financial.pmt(rate, years, 1.0)
    assert cost.annuity_factor(rate, years) == pytest.approx(expected, rel=1e-6)


def test_yearly_payments_repay_the_price():
    """numpy_financial.npv of ten annuities is the price."""
    yearly = 250_000.0 * cost.annuity_factor(0.07, 10.0)
    repaid = numpy_financial.npv(0.07, np.array([0.0, *[yearly] * 10]))
    assert repaid == pytest.approx(250_000.0, rel=1e-12)
