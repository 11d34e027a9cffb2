"""What each input of a criterion is called, and where it was stated."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Owner = Literal["barrel", "unit", "job", "resin", "limit", "derived"]


@dataclass(frozen=True, slots=True)
class Input:
    """An input of a criterion: its label, kind, who states it, in which fields.

    `otherwise` says what stands in where none of the fields is stated, `how` what that is.
    """

    label: str
    kind: str
    owner: Owner
    fields: tuple[str, ...] = ()
    otherwise: str = ""
    how: Literal["assumed", "computed", "estimated"] = "assumed"


INPUTS: Mapping[str, Input] = {
    "shot_mass": Input("Shot mass", "mass", "derived"),
    "output_factor": Input("Output factor", "density", "derived"),
    "factor_of_volume": Input("Output factor", "density", "derived"),
    "swept_volume": Input("Swept volume", "volume", "derived"),
    "diameter": Input("Screw diameter", "length", "barrel", ("screw_diameter",)),
    "nominal_diameter": Input("Screw diameter", "length", "barrel", ("screw_diameter",)),
    "stroke": Input("Stroke", "length", "barrel", ("stroke",)),
    "cushion": Input(
        "Cushion", "length", "job", ("cushion",), "5 % of the shot stroke, at least 3 mm"
    ),
    "decompression": Input(
        "Decompression", "length", "job", ("decompression",), "0.05 screw diameters"
    ),
    "ring_travel": Input(
        "Ring travel", "length", "barrel", ("ring_travel",), "0.05 screw diameters; no verdict"
    ),
    "position_scatter": Input("Position scatter", "length", "unit", ("position_scatter",)),
    "melt_inventory": Input(
        "Melt inventory",
        "volume",
        "barrel",
        ("melt_inventory",),
        "from screw depths and zones, else 4.4 D³ × (L/D) / 20 with L/D 20 if not stated",
        "estimated",
    ),
    "cycle_time": Input("Cycle time", "time", "job", ("cycle_time",)),
    "hot_runner_volume": Input("Hot runner volume", "volume", "job", ("hot_runner_volume",)),
    "melt_density": Input(
        "Melt density",
        "density",
        "resin",
        ("melt_density",),
        "Tait equation at melt temperature and back pressure",
        "computed",
    ),
    "rate_in_resin": Input(
        "Plasticising rate in this resin",
        "mass_rate",
        "barrel",
        ("plasticising_rate",),
    ),
    "cooling_window": Input("Window for recovery", "time", "job", ("cooling_time",)),
    "rated_speed": Input(
        "Screw speed at which the rate was measured",
        "rotational_speed",
        "barrel",
        ("plasticising_speed", "screw_speed", "screw_speed_max"),
    ),
    "screw_speed_max": Input(
        "Highest screw speed", "rotational_speed", "barrel", ("screw_speed_max",)
    ),
    "required_pressure": Input(
        "Required pressure",
        "melt_pressure",
        "job",
        ("required_pressure",),
        "power-law flow through a slit, plus 0.35 of it for nozzle and runner",
        "estimated",
    ),
    "melt_pressure": Input("Quoted pressure", "melt_pressure", "barrel", ("injection_pressure",)),
    "filling_rate": Input(
        "Required rate",
        "volume_rate",
        "job",
        ("required_rate",),
        "shot volume / fill time",
        "computed",
    ),
    "injection_rate": Input("Quoted rate", "volume_rate", "barrel", ("injection_rate",)),
    "quoted_power": Input("Quoted power", "power", "unit", ("injection_power",)),
}

CAPACITY_BY_VOLUME = "1.05 × shot mass / output factor / swept volume + 0.02"
"""Capacity where the swept volume alone is known, with a stroke of 4 D."""
