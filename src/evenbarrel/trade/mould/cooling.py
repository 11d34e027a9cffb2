"""Cooling of a plate or a long cylinder by the first term of its series.

With Fo = a t / (h/2)² and the mould's surface at one temperature throughout,
(T - Tw) / (Tm - Tw) = k exp(-λ² Fo), for a wall thickness or a diameter h.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from evenbarrel.trade.formula import N, formula, larger, log, only_where, smaller

Shape = Literal["plate", "cylinder"]
Target = Literal["centre", "mean"]

_BESSEL_ZERO = 2.404825557695773
_BESSEL_SLOPE = 0.5191474972894669

DECAY: dict[Shape, float] = {"plate": np.pi**2 / 4, "cylinder": _BESSEL_ZERO**2}
"""λ² of the first term [-]: (π/2)²; first zero of J0, squared."""

LEAD: dict[tuple[Shape, Target], float] = {
    ("plate", "centre"): 4 / np.pi,
    ("plate", "mean"): 8 / np.pi**2,
    ("cylinder", "centre"): 2 / (_BESSEL_ZERO * _BESSEL_SLOPE),
    ("cylinder", "mean"): 4 / _BESSEL_ZERO**2,
}
"""k of the first term [-], for the temperature in the centre and the mean over the section."""

LEAST_FOURIER_NUMBER = 0.2
"""Below it one term is not enough [-]."""

LEAST_EJECTION_GAP = 5.0
"""Ejection temperature above the mould's [K]; closer, the time is not to be trusted."""


@formula
def cooling_time(
    size: N,
    diffusivity: N,
    melt_temperature: N,
    mould_temperature: N,
    ejection_temperature: N,
    shape: Shape,
    target: Target,
) -> N:
    """t = h² / (4 λ² a) ln[k (Tm - Tw) / (Te - Tw)].

    Parameters
        size: wall thickness of a plate or diameter of a cylinder [m]
        diffusivity: thermal diffusivity of the resin, effective over the cooling [m2/s]
        melt_temperature: Tm, temperature at the end of filling [K]
        mould_temperature: Tw, temperature of the mould's surface [K]
        ejection_temperature: Te, temperature to be reached [K]
        shape: plate or cylinder [-]
        target: temperature in the centre or mean over the section [-]

    Returns
        time from the end of filling [s]

    Valid range: Tm > Te > Tw + 5 K and Fo >= 0.2; nan outside. Hot mould surfaces and the
        thickest section lengthen it.
    Source: menges_mohren
    """
    warm = ejection_temperature - mould_temperature
    ratio = LEAD[shape, target] * (melt_temperature - mould_temperature) / warm
    fourier = log(ratio) / DECAY[shape]
    ordered = (melt_temperature > ejection_temperature) & (warm > LEAST_EJECTION_GAP)
    time = fourier * size * size / (4 * diffusivity)
    return only_where(ordered & (fourier >= LEAST_FOURIER_NUMBER), time)


@formula
def time_left_in_cycle(cycle_time: N, fill_time: N, hold_time: N, motion_time: N) -> N:
    """t = t_cycle - t_fill - t_hold - t_motion.

    Parameters
        cycle_time: time from shot to shot [s]
        fill_time: time to fill the cavities [s]
        hold_time: time under holding pressure [s]
        motion_time: time the mould opens, ejects, waits for a robot and closes [s]

    Returns
        time from end of hold to mould opening that the cycle leaves [s]

    Valid range: exact; with 0 for what is not known it is the most that can be left, and below
        zero the cycle is too short for what it holds.
    Source: definition
    """
    return cycle_time - fill_time - hold_time - motion_time


@formula
def recovery_window(time: N, screw_delay: N, past_opening: N, longest: N) -> N:
    """t_window = max(0, min(t - t_delay + t_past_opening, t_longest)).

    Parameters
        time: time from end of hold to mould opening [s]
        screw_delay: time from end of hold to screw start [s]
        past_opening: time the screw turns on while the mould moves [s]
        longest: time from screw start to the next shot, infinite where not known [s]

    Returns
        time left for recovery [s]

    Valid range: zero where no window is left.
    Source: definition
    """
    return larger(smaller(time - screw_delay + past_opening, longest), 0.0)
