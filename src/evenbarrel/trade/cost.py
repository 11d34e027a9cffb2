"""Cost over life, before tax, payments at year end."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evenbarrel.trade.formula import N, choose, formula, only_where, power


@formula
def discount_factor(rate: N, years: N | float) -> N:
    """1 / (1 + r)^t.

    Parameters
        rate: discount rate of a year [-]
        years: time from now [year]

    Returns
        present worth of one paid then [-]

    Valid range: rate above -1; nan at and below.
    Source: definition
    """
    return only_where(rate > -1, power(1 + rate, -years))


@formula
def present_value(amounts: Sequence[N], growth: N, rate: N) -> N:
    """Σ C_t (1 + g)^t / (1 + r)^t, t = 1 ... N.

    Parameters
        amounts: C_1 ... C_N at today's prices, paid at each year's end [currency]
        growth: growth of this line in a year, nominal as the rate is, or both real [-]
        rate: discount rate of a year [-]

    Returns
        present value of one line of cost [currency]

    Valid range: rate above -1; nan at and below. Nothing without amounts.
    Source: definition
    """
    step = (1 + growth) * discount_factor(rate, 1.0)
    total = 0 * step
    factor = 1 + total
    for amount in amounts:
        factor = factor * step
        total = total + amount * factor
    return total


@formula
def present_cost(initial: N, amounts: Sequence[N], growth: N, rate: N, residual: N) -> N:
    """C0 + Σ C_t (1 + g)^t / (1 + r)^t - R / (1 + r)^N.

    Parameters
        initial: C0, paid now [currency]
        amounts: C_1 ... C_N at today's prices, paid at each year's end [currency]
        growth: growth of the amounts in a year, nominal as the rate is, or both real [-]
        rate: discount rate of a year [-]
        residual: R, worth at the end of year N, at that year's prices [currency]

    Returns
        present cost over N years [currency]

    Valid range: rate above -1; nan at and below. Lines of different growth are added up by
        `present_value`.
    Source: definition
    """
    end = discount_factor(rate, float(len(amounts)))
    return initial + present_value(amounts, growth, rate) - residual * end


@formula
def annuity_factor(rate: N, years: N) -> N:
    """r / [1 - (1 + r)^-N], and 1 / N for r = 0.

    Parameters
        rate: discount rate of a year [-]
        years: time over which the price is spread [year]

    Returns
        yearly payment, at year end, for one paid now [1/year]

    Valid range: rate above -1; nan at and below.
    Source: definition
    """
    repaid: N = -np.expm1(-years * np.log1p(rate))
    return choose(rate == 0, 1 / years, only_where(rate > -1, rate / repaid))
