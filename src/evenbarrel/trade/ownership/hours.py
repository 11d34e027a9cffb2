"""Shots of a year, and the machine hours they take."""

from __future__ import annotations

from evenbarrel.trade.formula import N, formula


@formula
def shots_a_year(quantity: N, cavities: N) -> N:
    """n = parts / cavities.

    Parameters
        quantity: parts in a year [1/year]
        cavities: parts of one shot [-]

    Returns
        shots in a year [1/year]

    Valid range: exact; scrap and start-up shots are not in it.
    Source: definition
    """
    return quantity / cavities


@formula
def shots_in_hours(hours: N, oee: N, cycle_time: N) -> N:
    """n = 3600 h x oee / t_cycle.

    Parameters
        hours: machine hours of the job in a year, stops included [h/year]
        oee: share of these hours in which good shots are made [-]
        cycle_time: planned time from shot to shot [s]

    Returns
        shots in a year [1/year]

    Valid range: exact for one share over the year.
    Source: definition
    """
    return 3600.0 * hours * oee / cycle_time


@formula
def hours_a_year(shots: N, cycle_time: N, seconds_lost: N, oee: N, batches: N, change_time: N) -> N:
    """h = n (t_cycle + t_lost) / (3600 oee) + batches x t_change / 3600.

    Parameters
        shots: n, shots in a year [1/year]
        cycle_time: planned time from shot to shot [s]
        seconds_lost: what each cycle is longer on this machine [s]
        oee: share of the hours in which good shots are made, without changes of job [-]
        batches: how often the job is set up in a year [1/year]
        change_time: time a change of job takes [s]

    Returns
        hours that the job occupies the machine [h/year]

    Valid range: exact for one share over the year.
    Source: definition
    """
    return shots * (cycle_time + seconds_lost) / (3600.0 * oee) + batches * change_time / 3600.0


@formula
def stretched_hours(hours: N, cycle_time: N, seconds_lost: N) -> N:
    """h (t_cycle + t_lost) / t_cycle.

    Parameters
        hours: hours that the job takes at the planned cycle [h/year]
        cycle_time: planned time from shot to shot [s]
        seconds_lost: what each cycle is longer on this machine [s]

    Returns
        hours that the job occupies this machine [h/year]

    Valid range: exact for the same number of shots.
    Source: definition
    """
    return hours * (cycle_time + seconds_lost) / cycle_time
