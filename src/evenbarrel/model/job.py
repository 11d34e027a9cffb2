"""A planned job: what a mould shoots, in which resin, in what time."""

from typing import Annotated, Literal

from pydantic import Field

from evenbarrel.model.base import Frozen, Identifier
from evenbarrel.model.datum import Datum
from evenbarrel.model.quantity import Quantity

_MASS = (1e-5, 200.0)


def _mass(label: str, help_text: str = "") -> Datum:
    return Datum(label, help_text, "shot", ("mass",), *_MASS)


def _time(label: str, help_text: str = "", group: str = "cycle") -> Datum:
    return Datum(label, help_text, group, ("time",), 0.05, 3600.0)


def _length(label: str, help_text: str, low: float, high: float) -> Datum:
    return Datum(label, help_text, "part", ("length",), low, high)


def _temperature(label: str, help_text: str = "", group: str = "cycle") -> Datum:
    return Datum(label, help_text, group, ("temperature",), 273.0, 723.0)


class Job(Frozen):
    """A mould run in a resin, which the machine is bought for."""

    id: Identifier
    name: Annotated[str, Datum("Mould", "Name of the planned mould", "shot")] = ""
    resin: Annotated[str | None, Datum("Resin", "The resin actually run", "shot")] = None
    part_mass: Annotated[Quantity | None, _mass("Part mass", "One moulding, without runner")] = None
    cavities: Annotated[
        Annotated[int, Field(ge=1, le=1024)] | None, Datum("Cavities", group="shot")
    ] = None
    runner_kind: Annotated[
        Literal["none", "cold", "hot", "mixed"] | None, Datum("Runner", group="shot")
    ] = None
    runner_mass: Annotated[
        Quantity | None,
        Datum(
            "Runner mass",
            "Cold runner ejected each shot",
            "shot",
            ("mass",),
            0.0,
            50.0,
            "non_negative",
        ),
    ] = None
    hot_runner_volume: Annotated[
        Quantity | None,
        Datum(
            "Hot runner volume",
            "Melt that stays in the hot runner",
            "shot",
            ("volume",),
            1e-7,
            0.05,
        ),
    ] = None
    shot_mass: Annotated[
        Quantity | None, _mass("Shot mass", "Whole shot, instead of cavities × part + runner")
    ] = None
    smallest_shot_mass: Annotated[
        Quantity | None,
        _mass("Smallest shot", "Whole shot, with cavities blocked or inserts changed"),
    ] = None
    largest_shot_mass: Annotated[Quantity | None, _mass("Largest shot", "Whole shot")] = None
    shot_mass_tolerance: Annotated[
        Quantity | None,
        Datum("Shot mass tolerance", "± share of the shot mass", "shot", ("share",), 1e-4, 0.2),
    ] = None
    cycle_time: Annotated[Quantity | None, _time("Cycle time")] = None
    cooling_time: Annotated[
        Quantity | None,
        _time("Cooling time", "As on the machine's timer: end of hold to mould opening"),
    ] = None
    fill_time: Annotated[Quantity | None, _time("Fill time")] = None
    hold_time: Annotated[
        Quantity | None, Datum("Hold time", "", "cycle", ("time",), 0.0, 600.0, "non_negative")
    ] = None
    mould_motion_time: Annotated[
        Quantity | None,
        Datum(
            "Mould motion time",
            "Open, eject, robot, close",
            "cycle",
            ("time",),
            0.0,
            600.0,
            "non_negative",
        ),
    ] = None
    screw_delay: Annotated[
        Quantity | None,
        Datum(
            "Screw delay",
            "From end of hold to screw start",
            "cycle",
            ("time",),
            0.0,
            600.0,
            "non_negative",
        ),
    ] = None
    recovery_during_opening: Annotated[
        Quantity | None,
        Datum(
            "Recovery past opening",
            "Time the screw may still turn while the mould moves",
            "cycle",
            ("time",),
            0.0,
            600.0,
            "non_negative",
        ),
    ] = None
    melt_temperature: Annotated[
        Quantity | None, _temperature("Melt temperature", "If different from the resin's")
    ] = None
    mould_temperature: Annotated[
        Quantity | None, _temperature("Mould temperature", "If different from the resin's")
    ] = None
    ejection_temperature: Annotated[
        Quantity | None, _temperature("Ejection temperature", "If different from the resin's")
    ] = None
    required_pressure: Annotated[
        Quantity | None,
        Datum(
            "Required pressure",
            "Peak melt pressure ahead of the screw tip",
            "part",
            ("melt_pressure",),
            1e6,
            4e8,
        ),
    ] = None
    required_rate: Annotated[
        Quantity | None,
        Datum(
            "Required rate",
            "Instead of shot volume / fill time",
            "part",
            ("volume_rate",),
            1e-7,
            0.05,
        ),
    ] = None
    back_pressure: Annotated[
        Quantity | None,
        Datum("Back pressure", "", "part", ("melt_pressure",), 0.0, 5e7, "non_negative"),
    ] = None
    cushion: Annotated[
        Quantity | None,
        Datum(
            "Cushion",
            "5 % of the shot stroke, at least 3 mm, if empty",
            "part",
            ("length",),
            0.0,
            0.1,
            "non_negative",
        ),
    ] = None
    decompression: Annotated[
        Quantity | None,
        Datum(
            "Decompression",
            "0.05 diameters if empty",
            "part",
            ("length",),
            0.0,
            0.1,
            "non_negative",
        ),
    ] = None
    wall_thickness: Annotated[
        Quantity | None, _length("Wall thickness", "Thickest section: decides cooling", 2e-4, 0.1)
    ] = None
    flow_wall: Annotated[
        Quantity | None,
        _length("Flow wall", "Wall along the flow path, if not the thickest", 2e-4, 0.1),
    ] = None
    flow_length: Annotated[
        Quantity | None, _length("Flow length", "Longest path from gate", 1e-3, 5.0)
    ] = None
    flow_width: Annotated[Quantity | None, _length("Flow width", "", 1e-3, 5.0)] = None
    cooling_shape: Annotated[
        Literal["plate", "cylinder"] | None, Datum("Cooling shape", group="part")
    ] = None
    cooling_target: Annotated[
        Literal["centre", "mean"] | None,
        Datum("Cooling target", "Which temperature must fall to the ejection temperature", "part"),
    ] = None
    annual_quantity: Annotated[
        Annotated[int, Field(ge=0)] | None, Datum("Parts per year", group="programme")
    ] = None
    batches_per_year: Annotated[
        Annotated[int, Field(ge=0, le=10**6)] | None,
        Datum("Batches per year", "Set-ups a year", "programme"),
    ] = None
    moulds: Annotated[
        Annotated[int, Field(ge=1, le=1000)] | None,
        Datum("Moulds", "How many identical moulds there are; one if empty", "programme"),
    ] = None
    hours_per_year: Annotated[
        Quantity | None,
        Datum(
            "Hours per year",
            "Machine hours the job needs, if parts per year is empty",
            "programme",
            ("time",),
            3600.0,
            3.2e7,
            unit="h",
        ),
    ] = None
    start_year: Annotated[
        Annotated[int, Field(ge=1990, le=2100)] | None, Datum("First year", group="programme")
    ] = None
    end_year: Annotated[
        Annotated[int, Field(ge=1990, le=2100)] | None, Datum("Last year", group="programme")
    ] = None
    clamp_force_needed: Annotated[
        Quantity | None,
        Datum(
            "Clamp force needed",
            "Only compared with the clamp force offered; not assessed",
            "programme",
            ("force",),
            1e3,
            1e8,
        ),
    ] = None
