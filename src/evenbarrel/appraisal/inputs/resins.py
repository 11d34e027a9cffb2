"""Each resin's output factor by every route side by side, and its density in the melt."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite

from evenbarrel.appraisal.results import FactorRouteResult, ResinResult
from evenbarrel.model.datum import si_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import Uncertainty
from evenbarrel.model.resin import FactorRoute, Resin
from evenbarrel.trade import melt
from evenbarrel.trade.filling import DEFAULT_LEAK_SHARE, implied_leak_share, output_factor

DEFAULT_BACK_PRESSURE = 10e6
"""Melt pressure while the screw recovers, where a resin states none [Pa]; common practice."""

NEAR_PRESSURE = 2e6
"""Two melt pressures closer than this differ by less than 0.3 % in density [Pa]."""

ROUTES: tuple[FactorRoute, ...] = ("trade_table", "melt_density", "data_sheet", "air_shot", "own")

Density = tuple[float | None, tuple[str, ...]]
"""A density [kg/m3] or None, with notes on how it came about."""


def tait_set(resin: Resin) -> melt.TaitSet | None:
    """Return the resin's Tait coefficients in SI with the range of their fit, or None."""
    tait = resin.tait
    if tait is None:
        return None
    return melt.TaitSet(
        tait.form,
        tait.coefficients,
        si_of(tait, "t_low"),
        si_of(tait, "t_high"),
        si_of(tait, "p_high"),
    )


def melt_density(resin: Resin, temperature: float | None, pressure: float) -> Density:
    """Return the compound's melt density: as entered, else by Tait at that state [K, Pa].

    Fillers are mixed into a Tait matrix by the reciprocal mass rule; an entered density is the
    compound's own. Notes: entered, other_pressure where it was entered for another than `pressure`,
    tait, extrapolated, filled, no_density where the coefficients give none at that state.
    """
    entered, entered_at = si_of(resin, "melt_density"), si_of(resin, "melt_density_pressure")
    if entered is not None:
        elsewhere = entered_at is not None and abs(entered_at - pressure) > NEAR_PRESSURE
        return entered, ("entered", "other_pressure") if elsewhere else ("entered",)
    coefficients = tait_set(resin)
    if coefficients is None or temperature is None:
        return None, ()
    notes = ["tait"]
    if not coefficients.in_range(temperature, pressure):
        notes.append("extrapolated")
    matrix = melt.tait_density(coefficients, temperature, pressure)
    if not (isfinite(matrix) and matrix > 0.0):
        return None, (*notes, "no_density")
    if not resin.fillers:
        return matrix, tuple(notes)
    shares = [filler.mass_share for filler in resin.fillers]
    densities = [si_of(filler, "density") or float("nan") for filler in resin.fillers]
    mixed = melt.filled_density([1.0 - sum(shares), *shares], [matrix, *densities])
    return mixed, (*notes, "filled")


def _flow_density(resin: Resin) -> tuple[float | None, float]:
    """Return MFR / MVR [kg/m3] and the share that the printed digits of both leave open."""
    mass_flow, volume_flow = si_of(resin, "mfr"), si_of(resin, "mvr")
    if mass_flow is None or volume_flow is None or resin.mfr is None or resin.mvr is None:
        return None, 0.0
    digits = (
        resin.mfr.last_digit("melt_mass_flow") / mass_flow
        + resin.mvr.last_digit("melt_volume_flow") / volume_flow
    )
    return melt.melt_density_from_flow(mass_flow, volume_flow), digits


def _delivered(density: float, leak_share: float) -> float | None:
    """Return the output factor [kg/m3]; None where all of the stroke is lost and none is shot."""
    factor = output_factor(density, leak_share)
    return factor if factor > 0.0 else None


def _route(
    resin: Resin, route: FactorRoute, density: Density, uncertainty: Uncertainty
) -> FactorRouteResult:
    half_width = uncertainty.half_width("output_factor", route)
    entered = getattr(resin.output_factors, route)
    if entered is not None and entered.half_width is not None:
        half_width = entered.half_width
    factor = si_of(resin.output_factors, route)
    leak = DEFAULT_LEAK_SHARE if resin.leak_share is None else resin.leak_share
    if factor is not None:
        at_melt = density[0]
        implied = None if at_melt is None else implied_leak_share(factor, at_melt)
        return FactorRouteResult(route, factor, half_width, implied, ("entered",))
    if route == "melt_density" and density[0] is not None:
        return FactorRouteResult(route, _delivered(density[0], leak), half_width, leak, density[1])
    if route == "data_sheet":
        from_flow, digits = _flow_density(resin)
        if from_flow is not None:
            return FactorRouteResult(
                route, _delivered(from_flow, leak), max(half_width, digits), leak, ("mfr_mvr",)
            )
    return FactorRouteResult(route, None, half_width)


def appraise_resin(resin: Resin, uncertainty: Uncertainty) -> ResinResult:
    """Return every route of one resin's output factor and the one its evaluation uses."""
    entered_pressure = si_of(resin, "back_pressure")
    pressure = DEFAULT_BACK_PRESSURE if entered_pressure is None else entered_pressure
    density = melt_density(resin, si_of(resin, "melt_temperature"), pressure)
    routes = tuple(_route(resin, route, density, uncertainty) for route in ROUTES)
    chosen = next((r for r in routes if r.route == resin.output_factor_route), None)
    return ResinResult(
        id=resin.id,
        route=resin.output_factor_route,
        factor=None if chosen is None else chosen.factor,
        half_width=0.0 if chosen is None else chosen.half_width,
        routes=routes,
        solid_density=si_of(resin, "solid_density"),
        melt_density=density[0],
        enthalpy=si_of(resin, "enthalpy"),
        density_notes=density[1],
        back_pressure=pressure,
    )


def appraise_resins(
    evaluation: Evaluation, known: Mapping[int, ResinResult] | None = None
) -> Mapping[str, ResinResult]:
    """Return the result of every resin by its id.

    `known` are results by the identity of their resin, of half-widths that are alike.
    """
    kept = known or {}
    return {
        resin.id: kept[id(resin)]
        if id(resin) in kept
        else appraise_resin(resin, evaluation.uncertainty)
        for resin in evaluation.resins
    }
