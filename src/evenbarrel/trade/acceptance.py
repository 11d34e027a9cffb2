"""What weighed shots say: factor, uncertainty of a mean, scatter, drift."""

from __future__ import annotations

from functools import cache
from math import isfinite, lgamma

import numpy as np

from evenbarrel.trade.formula import N, exp, formula, square_root
from evenbarrel.trade.geometry import screw_area

ONE_SIGMA = 0.682689492137086
"""Share of a normal distribution within one standard deviation [-]; by definition."""
COVERAGE = 2.0
"""k of an expanded uncertainty, U = k u: about 95 %; common practice, no source."""


@formula
def factor_of_shots(mass: N, diameter: N, stroke: N) -> N:
    """f = m / (A s).

    Parameters
        mass: mean mass of shots into air [kg]
        diameter: screw diameter [m]
        stroke: stroke travelled, decompression not in it [m]

    Returns
        mass delivered per volume swept [kg/m3]

    Valid range: an upper bound for moulding: no cavity pressure drives melt back past the ring.
    Source: definition
    """
    return mass / (screw_area(diameter) * stroke)


@formula
def resolution_uncertainty(resolution: N) -> N:
    """u = a / √12.

    Parameters
        resolution: a, smallest step that is shown [-]

    Returns
        standard uncertainty in the unit of the step [-]

    Valid range: a reading that lies anywhere within its last step.
    Source: jcgm_100
    """
    return resolution / square_root(12.0)


@formula
def rectangular_uncertainty(half_width: N) -> N:
    """u = a / √3.

    Parameters
        half_width: a, half of the range that a value may lie in [-]

    Returns
        standard uncertainty in the unit of the range [-]

    Valid range: any place in the range equally likely.
    Source: jcgm_100
    """
    return half_width / square_root(3.0)


@formula
def mean_uncertainty(scatter: N, count: N, student: N) -> N:
    """u = t s / √n.

    Parameters
        scatter: s, standard deviation of the single values [-]
        count: n, number of values [-]
        student: t, Student's factor of n - 1 degrees of freedom [-]

    Returns
        standard uncertainty of the mean in the unit of the values [-]

    Valid range: independent values; a drift is not in it.
    Source: jcgm_100
    """
    return student * scatter / square_root(count)


@formula
def scatter_uncertainty(scatter: N, count: N) -> N:
    """u = s / √(2 (n - 1)).

    Parameters
        scatter: s, standard deviation of the single values [-]
        count: n, number of values [-]

    Returns
        standard uncertainty of the standard deviation in its unit [-]

    Valid range: normal values, ten or more.
    Source: jcgm_100
    """
    return scatter / square_root(2.0 * (count - 1.0))


@cache
def student_factor(degrees: int) -> float:
    """t with P(|T| <= t) = 68.27 %, T of Student's distribution.

    Parameters
        degrees: degrees of freedom, n - 1 [-]

    Returns
        factor that makes the scatter of few values a standard uncertainty, 1 for many [-]

    Valid range: one degree or more; nan below.
    Source: jcgm_100
    """
    if degrees < 1:
        return np.nan
    low, high = 0.9, 2.0
    while high - low > 1e-12:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _within(middle, degrees) < ONE_SIGMA else (low, middle)
    return 0.5 * (low + high)


def _within(bound: float, degrees: int) -> float:
    """Return P(|T| <= bound) by Gauss and Legendre, smooth enough for all digits."""
    nodes, weights = np.polynomial.legendre.leggauss(60)
    x = 0.5 * bound * (nodes + 1.0)
    logarithm = lgamma(0.5 * (degrees + 1)) - lgamma(0.5 * degrees)
    density = (1.0 + x**2 / degrees) ** (-0.5 * (degrees + 1)) / np.sqrt(degrees * np.pi)
    scale = float(exp(logarithm))
    total = bound * scale * float(weights @ density)
    return total if isfinite(total) else 0.0
