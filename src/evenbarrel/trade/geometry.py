"""Screw, stroke, pressure and rate: the identities every quoted barrel has to satisfy."""

from __future__ import annotations

import numpy as np

from evenbarrel.trade.formula import N, formula, square_root


@formula
def screw_area(diameter: N) -> N:
    """A = π D² / 4.

    Parameters
        diameter: screw diameter [m]

    Returns
        area of the screw's front [m2]

    Valid range: exact.
    Source: definition
    """
    return np.pi * diameter * diameter / 4


@formula
def swept_volume(diameter: N, stroke: N) -> N:
    """V = π D² s / 4.

    Parameters
        diameter: screw diameter [m]
        stroke: greatest screw stroke [m]

    Returns
        volume swept by one full stroke [m3]

    Valid range: exact; nothing leaks and nothing is displaced by rotation.
    Source: definition
    """
    return screw_area(diameter) * stroke


@formula
def diameter_from_area(area: N) -> N:
    """D = √(4 A / π).

    Parameters
        area: area of the screw's front [m2]

    Returns
        screw diameter [m]

    Valid range: nan for a negative area.
    Source: definition
    """
    return square_root(4 * area / np.pi)


@formula
def diameter_from_volume(volume: N, stroke: N) -> N:
    """D = √(4 V / (π s)).

    Parameters
        volume: swept volume [m3]
        stroke: greatest screw stroke [m]

    Returns
        screw diameter that sweeps the volume with the stroke [m]

    Valid range: nan where volume and stroke differ in sign.
    Source: definition
    """
    return diameter_from_area(volume / stroke)


@formula
def stroke_from_volume(volume: N, diameter: N) -> N:
    """s = V / A.

    Parameters
        volume: swept volume [m3]
        diameter: screw diameter [m]

    Returns
        stroke that sweeps the volume [m]

    Valid range: exact.
    Source: definition
    """
    return volume / screw_area(diameter)


@formula
def stroke_in_diameters(stroke: N, diameter: N) -> N:
    """s / D.

    Parameters
        stroke: greatest screw stroke [m]
        diameter: screw diameter [m]

    Returns
        stroke in screw diameters [-]

    Valid range: exact.
    Source: definition
    """
    return stroke / diameter


@formula
def length_ratio(length: N, diameter: N) -> N:
    """L / D.

    Parameters
        length: flighted length of the screw [m]
        diameter: screw diameter [m]

    Returns
        length in screw diameters [-]

    Valid range: exact.
    Source: definition
    """
    return length / diameter


@formula
def axial_force(pressure: N, area: N) -> N:
    """F = p A.

    Parameters
        pressure: melt pressure ahead of the screw [Pa]
        area: area of the screw's front [m2]

    Returns
        force on the screw [N]

    Valid range: exact; friction left out.
    Source: definition
    """
    return pressure * area


@formula
def pressure_from_force(force: N, area: N) -> N:
    """p = F / A.

    Parameters
        force: force on the screw [N]
        area: area of the screw's front [m2]

    Returns
        melt pressure ahead of the screw [Pa]

    Valid range: exact; friction left out.
    Source: definition
    """
    return force / area


@formula
def size_number(pressure: N, volume: N) -> N:
    """N = p V / 100 in SI, which is p[bar] V[cm3] / 1000.

    Parameters
        pressure: melt pressure ahead of the screw [Pa]
        volume: swept volume [m3]

    Returns
        size number of the injection unit [-]

    Valid range: the same for every screw of one drive and stroke.
    Source: euromap_1
    """
    return pressure * volume / 100


@formula
def force_from_size_number(number: N, stroke: N) -> N:
    """F = 100 N / s, as p V = F s.

    Parameters
        number: size number of the injection unit [-]
        stroke: greatest screw stroke [m]

    Returns
        force of the injection drive [N]

    Valid range: exact by the definition of the size number.
    Source: euromap_1
    """
    return 100 * number / stroke


@formula
def size_number_from_force(force: N, stroke: N) -> N:
    """N = F s / 100, as p V = F s.

    Parameters
        force: force on the screw [N]
        stroke: greatest screw stroke [m]

    Returns
        size number of the injection unit [-]

    Valid range: exact by the definition of the size number.
    Source: euromap_1
    """
    return force * stroke / 100


@formula
def injection_speed(rate: N, area: N) -> N:
    """v = Q / A.

    Parameters
        rate: injection rate [m3/s]
        area: area of the screw's front [m2]

    Returns
        forward speed of the screw [m/s]

    Valid range: exact; leakage past the ring left out.
    Source: definition
    """
    return rate / area


@formula
def injection_rate(speed: N, area: N) -> N:
    """Q = v A.

    Parameters
        speed: forward speed of the screw [m/s]
        area: area of the screw's front [m2]

    Returns
        injection rate [m3/s]

    Valid range: exact; leakage past the ring left out.
    Source: definition
    """
    return speed * area


@formula
def injection_power(pressure: N, rate: N) -> N:
    """P = p Q.

    Parameters
        pressure: melt pressure ahead of the screw [Pa]
        rate: injection rate [m3/s]

    Returns
        power on the melt [W]

    Valid range: exact where both act at once.
    Source: definition
    """
    return pressure * rate


@formula
def melt_pressure_from_oil(oil_pressure: N, ratio: N) -> N:
    """p = p_oil i.

    Parameters
        oil_pressure: system pressure behind the injection piston [Pa]
        ratio: intensification ratio [-]

    Returns
        melt pressure ahead of the screw [Pa]

    Valid range: hydraulic drives only; friction left out.
    Source: definition
    """
    return oil_pressure * ratio


@formula
def peripheral_speed(diameter: N, rotational_speed: N) -> N:
    """v = π D n.

    Parameters
        diameter: screw diameter [m]
        rotational_speed: turns in unit time [rev/s]

    Returns
        speed of the flight tip [m/s]

    Valid range: exact.
    Source: definition
    """
    return np.pi * diameter * rotational_speed


@formula
def rotational_speed(diameter: N, peripheral_speed: N) -> N:
    """n = v / (π D).

    Parameters
        diameter: screw diameter [m]
        peripheral_speed: speed of the flight tip [m/s]

    Returns
        turns in unit time [rev/s]

    Valid range: exact.
    Source: definition
    """
    return peripheral_speed / (np.pi * diameter)
