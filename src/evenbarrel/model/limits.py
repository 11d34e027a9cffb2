"""The limits an evaluation judges by, and how uncertain each kind of input is."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Annotated, Self

from pydantic import Field, model_validator

from evenbarrel.model.base import Frozen, Rows, refusal
from evenbarrel.model.resin import Origin

Positive = Annotated[float, Field(gt=0.0)]
HalfWidths = (
    Annotated[float, Field(ge=0.0, le=1.0)] | Mapping[str, Annotated[float, Field(ge=0, le=1)]]
)

CRITERIA = (
    "capacity",
    "utilisation",
    "stroke",
    "ring_share",
    "residence",
    "recovery",
    "screw_speed",
    "pressure",
    "rate",
    "power",
    "repeatability",
    "wear",
    "corrosion",
    "screw_geometry",
)
"""Every criterion, in the order of the rules' table."""

RESIN_LIMITS = (
    *("utilisation_low", "utilisation_high", "residence_limits", "peripheral_speed_limit"),
    *("abrasive", "corrosive"),
    *("length_ratio_low", "compression_low", "compression_high", "unsuited_rings"),
)
"""Data of a resin that a criterion has its edge from."""

REQUIRED = ("capacity", "utilisation", "stroke")
"""Criteria that a cell must be able to state; an evaluation may add more."""


class LimitEntry(Frozen):
    """A limit with where it comes from."""

    value: Positive
    origin: Origin | None = None
    note: str = ""


Limit = Positive | LimitEntry
"""A bare number is the user's own."""


def limit_value(limit: Limit) -> float:
    """Return the number of a limit."""
    return limit.value if isinstance(limit, LimitEntry) else limit


def limit_origin(limit: Limit) -> Origin | None:
    """Return where a limit comes from; None is the user's own."""
    return limit.origin if isinstance(limit, LimitEntry) else None


def _usual(value: float, note: str) -> LimitEntry:
    return LimitEntry(value=value, origin="common_practice", note=note)


class Limits(Frozen):
    """Hard and comfort edges; shares of 1, strokes in diameters."""

    general_low: Limit = _usual(0.20, "share of swept volume, general resins")
    general_high: Limit = _usual(0.80, "share of swept volume, general resins")
    engineering_low: Limit = _usual(0.30, "share of swept volume, engineering resins")
    engineering_high: Limit = _usual(0.50, "share of swept volume, engineering resins")
    stroke_low: Limit = _usual(0.5, "diameters: check ring closing takes a large part below")
    stroke_comfort_low: Limit = _usual(1.0, "diameters: many count less as out of bounds")
    stroke_comfort_high: Limit = _usual(3.0, "diameters")
    stroke_high: Limit = _usual(4.0, "diameters: effective screw length falls beyond")
    ring_share: Limit = _usual(0.10, "check-ring travel as share of the shot stroke")
    recovery_share: Limit = _usual(0.80, "recovery as share of the cooling window")
    pressure_share: Limit = _usual(0.85, "required as share of quoted pressure")
    rate_share: Limit = _usual(0.90, "required as share of quoted rate")
    rated_basis: Limit = _usual(0.02, "agreement of an implied factor with a density")
    force_agreement: Limit = _usual(0.02, "agreement of screw forces on one drive")
    required: Rows[str] = ()

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        for names in (
            ("general_low", "general_high"),
            ("engineering_low", "engineering_high"),
            ("stroke_low", "stroke_comfort_low", "stroke_comfort_high", "stroke_high"),
        ):
            for lower, upper in pairwise(names):
                low, high = limit_value(getattr(self, lower)), limit_value(getattr(self, upper))
                if low >= high and not (low == high and "comfort" in lower + upper):
                    raise refusal(
                        "crossed_limits",
                        "{lower} ({low}) and {upper} ({high}) are crossed",
                        lower=lower.replace("_", " "),
                        low=low,
                        upper=upper.replace("_", " "),
                        high=high,
                    )
        unknown = [key for key in self.required if key not in CRITERIA]
        if unknown:
            raise refusal(
                "required", "required names '{key}', which is not a criterion", key=unknown[0]
            )
        return self


LIMITS = tuple(name for name in Limits.model_fields if name != "required")
"""The limits of an evaluation itself; which criteria are required is none."""


class Uncertainty(Frozen):
    """Half-widths as shares of the value, one number for all routes or one for each.

    Routes: output_factor air_shot own data_sheet melt_density trade_table · part_mass measured
    confirmed quoted assumed · plasticising_rate same_resin converted · cooling_window given
    computed · required_pressure given estimated · melt_inventory quoted geometry diameter_rule ·
    cycle_time given.
    """

    output_factor: HalfWidths | None = None
    part_mass: HalfWidths | None = None
    plasticising_rate: HalfWidths | None = None
    cooling_window: HalfWidths | None = None
    required_pressure: HalfWidths | None = None
    melt_inventory: HalfWidths | None = None
    cycle_time: HalfWidths | None = None

    def half_width(self, quantity: str, route: str) -> float:
        """Return the half-width for one quantity that came by one route (share of the value)."""
        entered: HalfWidths | None = getattr(self, quantity)
        default = USUAL_HALF_WIDTHS[quantity][route]
        if entered is None:
            return default
        if isinstance(entered, Mapping):
            return entered.get(route, default)
        return entered

    @model_validator(mode="after")
    def _known_routes(self) -> Self:
        for quantity, routes in USUAL_HALF_WIDTHS.items():
            entered = getattr(self, quantity)
            for route in entered if isinstance(entered, Mapping) else ():
                if route not in routes:
                    raise refusal(
                        "route",
                        "{quantity} has no route '{route}'; it has {routes}",
                        quantity=quantity,
                        route=route,
                        routes=", ".join(routes),
                    )
        return self


USUAL_HALF_WIDTHS: Mapping[str, Mapping[str, float]] = {
    "output_factor": {
        "air_shot": 0.01,
        "own": 0.03,
        "data_sheet": 0.02,
        "melt_density": 0.05,
        "trade_table": 0.04,
    },
    "part_mass": {"measured": 0.005, "confirmed": 0.02, "quoted": 0.02, "assumed": 0.07},
    "plasticising_rate": {"same_resin": 0.10, "converted": 0.20},
    "cooling_window": {"given": 0.10, "motion": 0.10, "computed": 0.40},
    "required_pressure": {"given": 0.10, "estimated": 0.50},
    "melt_inventory": {"quoted": 0.15, "geometry": 0.25, "diameter_rule": 0.35},
    "cycle_time": {"given": 0.05},
}
"""Common practice, no source; every one editable in the evaluation."""
