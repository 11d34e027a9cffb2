"""Cost over life, before tax, payments at year end."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evenbarrel.trade.formula import N, choose, formula, log, only_where, power


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
        present value of one cost line [currency]

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


@formula
def converted_amount(amount: N, rate: N) -> N:
    """C = C_other x rate.

    Parameters
        amount: C_other, as printed [other currency]
        rate: what one unit of the other currency is worth [currency/other currency]

    Returns
        the amount in the evaluation's currency [currency]

    Valid range: any; at the rate of one day.
    Source: definition
    """
    return amount * rate


@formula
def energy_cost(shots: N, shot_mass: N, energy_per_mass: N, tariff: N) -> N:
    """C = n m e x tariff / 3.6e6.

    Parameters
        shots: n, shots in a year [1/year]
        shot_mass: m, nominal shot [kg]
        energy_per_mass: e, of the whole machine for one kilogram shot [J/kg]
        tariff: price of one kilowatt hour [currency/kWh]

    Returns
        energy of one job in a year [currency/year]

    Valid range: for the duty at which e was measured.
    Source: definition
    """
    return shots * shot_mass * energy_per_mass * tariff / 3.6e6


@formula
def time_lost_cost(shots: N, seconds_lost: N, oee: N, hour_rate: N) -> N:
    """C = n t_lost / (3600 oee) x rate.

    Parameters
        shots: n, shots in a year [1/year]
        seconds_lost: what each cycle is longer on this machine [s]
        oee: share of the hours in which good shots are made [-]
        hour_rate: labour and overhead of an occupied hour, without this machine's own costs
            [currency/h]

    Returns
        cost of slow recovery of one job in a year [currency/year]

    Valid range: exact where the hours could be used otherwise.
    Source: definition
    """
    return shots * seconds_lost / (3600.0 * oee) * hour_rate


@formula
def change_resin_cost(batches: N, turnovers: N, volume: N, density: N, price_per_kg: N) -> N:
    """C = batches x turnovers x V ρ x price.

    Parameters
        batches: changes of resin or colour in a year [1/year]
        turnovers: how often a change fills screw channel and hot runner anew [-]
        volume: V, melt held in the screw channel and the hot runner [m3]
        density: ρ, melt density [kg/m3]
        price_per_kg: price of the resin [currency/kg]

    Returns
        resin that changes waste in a year [currency/year]

    Valid range: the number of turnovers is the plant's own experience.
    Source: definition
    """
    return batches * turnovers * volume * density * price_per_kg


@formula
def change_time_cost(batches: N, change_time: N, hour_rate: N) -> N:
    """C = batches x t_change / 3600 x rate.

    Parameters
        batches: changes of job in a year [1/year]
        change_time: time one change takes [s]
        hour_rate: labour and overhead of an occupied hour [currency/h]

    Returns
        what the changes hold up in a year [currency/year]

    Valid range: exact.
    Source: definition
    """
    return batches * change_time / 3600.0 * hour_rate


@formula
def cost_of_hours(amount: N, per_hours: N, hours: N) -> N:
    """C = amount x h / h_each.

    Parameters
        amount: what is paid each time so many hours have run [currency]
        per_hours: h_each, hours that the amount is for [h]
        hours: h, hours run in a year [h/year]

    Returns
        cost of a year, linear in the hours [currency/year]

    Valid range: wear that grows with the hours alone.
    Source: definition
    """
    return amount * hours / per_hours


@formula
def present_value_of_years(amount: N, growth: N, rate: N, first: N, last: N) -> N:
    """Σ C (1 + g)^t / (1 + r)^t, t = first ... last.

    Parameters
        amount: C, of each year at today's prices [currency/year]
        growth: g, growth of the price in a year [-]
        rate: r, discount rate of a year [-]
        first: first year in which it is paid, at its end [year]
        last: last year in which it is paid [year]

    Returns
        present value; none where the last year lies before the first [currency]

    Valid range: rate above -1; nan at and below. Whole years.
    Source: definition
    """
    step = (1 + growth) * discount_factor(rate, 1.0)
    count = last - first + 1
    # In one go, and exact where growth and rate are nearly alike.
    logarithm = log(step)
    several: N = power(step, first) * np.expm1(count * logarithm) / np.expm1(logarithm)
    alike = choose(step == 1, count, several)
    none: N = 0 * (count + step)
    return amount * choose(count <= 0, none, alike)


@formula
def present_value_at(amount: N, growth: N, rate: N, year: N) -> N:
    """C (1 + g)^t / (1 + r)^t.

    Parameters
        amount: C, at today's prices [currency]
        growth: g, growth of the price in a year [-]
        rate: r, discount rate of a year [-]
        year: t, at whose end it is paid; 0 is now [year]

    Returns
        present value [currency]

    Valid range: rate above -1; nan at and below.
    Source: definition
    """
    return amount * power(1 + growth, year) * discount_factor(rate, year)


@formula
def residual_worth(price: N, share: N, rate: N, years: N) -> N:
    """R / (1 + r)^N, R = share x price.

    Parameters
        price: of the machine alone [currency]
        share: what is left of it at the end [-]
        rate: r, discount rate of a year [-]
        years: N, horizon [year]

    Returns
        present worth of what is left [currency]

    Valid range: rate above -1; nan at and below.
    Source: definition
    """
    return price * share * discount_factor(rate, years)


@formula
def yearly_cost(present_cost: N, rate: N, years: N) -> N:
    """C_year = C_present x r / [1 - (1 + r)^-N].

    Parameters
        present_cost: C_present [currency]
        rate: r, discount rate of a year [-]
        years: N, horizon [year]

    Returns
        the same cost as N equal payments, each at year end [currency/year]

    Valid range: rate above -1; nan at and below.
    Source: definition
    """
    return present_cost * annuity_factor(rate, years)


@formula
def price_of_usable_volume(price: N, swept_volume: N, share: N) -> N:
    """price / (share x V).

    Parameters
        price: landed price [currency]
        swept_volume: V [m3]
        share: the most of it that a shot may use [-]

    Returns
        price of usable volume [currency/m3]

    Valid range: exact.
    Source: definition
    """
    return price / (swept_volume * share)


@formula
def price_of_rated_mass(price: N, mass: N) -> N:
    """price / m.

    Parameters
        price: landed price [currency]
        mass: m, rated shot mass [kg]

    Returns
        price of rated mass [currency/kg]

    Valid range: exact; the rating is the supplier's.
    Source: definition
    """
    return price / mass


@formula
def price_of_common_mass(price: N, swept_volume: N, output_factor: N) -> N:
    """price / (V f).

    Parameters
        price: landed price [currency]
        swept_volume: V [m3]
        output_factor: f of the resin that all are rated in [kg/m3]

    Returns
        price of the mass that the volume delivers of that resin [currency/kg]

    Valid range: exact for one factor.
    Source: definition
    """
    return price / (swept_volume * output_factor)
