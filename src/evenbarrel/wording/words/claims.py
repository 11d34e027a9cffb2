"""One record of words for each claim: its label, what it compares and the data behind it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenbarrel.appraisal.claims.agreement import UNLIKELY
from evenbarrel.appraisal.claims.checks.drive import COPIED_NOTE
from evenbarrel.appraisal.claims.checks.plasticising import BESIDE_OTHERS


@dataclass(frozen=True, slots=True)
class ClaimWords:
    """The words of one claim.

    `formula` says what is held against what; `of_barrel` and `of_unit` name the data it is
    computed from. `numbers` is its sentence with `{stated}` and `{derived}`, `each` the same for
    one of several screws in a letter, `asked` the question, with `{each}`. `sources` are its keys
    in the bibliography.
    """

    label: str
    formula: str = ""
    of_barrel: tuple[str, ...] = ()
    of_unit: tuple[str, ...] = ()
    numbers: str = ""
    each: str = ""
    asked: str = ""
    sources: tuple[str, ...] = ("definition",)


_SPEEDS = ("plasticising_speed", "screw_speed", "screw_speed_max")
_PRESSURE = ("injection_pressure", "intensification_ratio")

CLAIM_WORDS: Mapping[str, ClaimWords] = {
    "volume_geometry": ClaimWords(
        "Volume against geometry",
        "quoted swept volume against π / 4 × diameter² × stroke",
        ("screw_diameter", "stroke", "swept_volume"),
        numbers="Quoted {stated}; diameter and stroke give {derived}.",
        each="{barrel}: {stated} quoted, {derived} from diameter and stroke",
        asked="The quoted swept volume does not agree with diameter and stroke ({each})."
        " Which of these numbers should we use?",
    ),
    "rated_mass_basis": ClaimWords(
        "Basis of rated mass",
        "rated shot mass / swept volume against the output factor of the resin it is rated in",
        (
            "screw_diameter",
            "stroke",
            "swept_volume",
            "rated_shot_mass",
            "reference_resin",
            "reference_factor",
        ),
        numbers="Rated mass / swept volume is {stated}; the output factor to expect is {derived}.",
        each="{barrel}: {stated} rated, {derived} expected",
        asked=(
            "The rated shot mass divided by the swept volume does not give the mass that one cm³ "
            "of swept volume delivers in the rated resin ({each}). Which density is the rating "
            "based on, and what mass do you measure in an air shot?"
        ),
        sources=("common_practice",),
    ),
    "common_stroke": ClaimWords(
        "Common stroke",
        "stroke, else swept volume / screw area, against the one that the unit's screws share",
        ("screw_diameter", "stroke", "swept_volume"),
        numbers="Stroke {stated}; the screws of this unit share {derived}.",
        each="{barrel}: {stated}, against {derived} for the unit",
        asked="The screws of one injection unit should share one stroke ({each}). Please "
        "confirm the stroke of each.",
    ),
    "drive_force": ClaimWords(
        "Common drive force",
        "melt pressure × screw area against the force that the unit's screws share",
        ("screw_diameter", *_PRESSURE),
        ("size_number",),
        numbers="Pressure × screw area is {stated}; the drive of this unit gives {derived}.",
        each="{barrel}: {stated}, against {derived} for the drive",
        asked="Injection pressure × screw area is the force of the drive and should be the "
        "same for all its screws ({each}). Please confirm the highest injection pressure in the "
        "melt for each screw.",
        sources=("definition", "euromap_1"),
    ),
    "size_number": ClaimWords(
        "Size number",
        "size number against force of the drive in N × stroke in m / 100",
        ("screw_diameter", "stroke", *_PRESSURE),
        ("size_number",),
        numbers="Size number {stated}; force × stroke gives {derived}.",
        each="{barrel}: {stated} printed, {derived} from force and stroke",
        asked=(
            "The size number of the unit does not agree with pressure and volume ({each}). "
            "Please confirm it, and the pressure and volume it is calculated from."
        ),
        sources=("euromap_1",),
    ),
    "injection_speed": ClaimWords(
        "Injection speed",
        "injection speed against injection rate / screw area",
        ("screw_diameter", "injection_rate", "injection_speed"),
        numbers="Speed {stated}; rate / screw area gives {derived}.",
        each="{barrel}: {stated} printed, {derived} from rate and area",
        asked="The injection speed does not agree with injection rate and screw area "
        "({each}). Please confirm both.",
    ),
    "injection_power": ClaimWords(
        "Injection power",
        "quoted injection power, and highest pressure × highest rate, against the drive's power",
        (*_PRESSURE, "injection_rate"),
        ("injection_power", "drive_power"),
        numbers="Injection power {stated}; the drive has {derived}.",
        each="{barrel}: {stated}, against {derived} of drive power",
        asked="The injection power exceeds the power of the drive ({each}). Please "
        "confirm both, and whether an accumulator supplies the forward stroke.",
    ),
    "pressure_kind": ClaimWords(
        "Melt or oil pressure",
        "printed pressure, as that of the melt, against system pressure × intensification ratio "
        "and what is usual",
        ("injection_pressure", "system_pressure", "intensification_ratio"),
        numbers="The printed pressure would be {stated} in the melt; system pressure × "
        "intensification ratio gives {derived}.",
        each="{barrel}: {stated}",
        asked=(
            "Please say whether the injection pressure is that of the melt or of the oil, and in "
            "which unit it is printed ({each}); if it is of the oil, please add the "
            "intensification ratio (piston area / screw area)."
        ),
        sources=("common_practice",),
    ),
    "plasticising_energy": ClaimWords(
        "Plasticising energy",
        "plasticising rate × enthalpy against the power of screw drive and heaters",
        ("plasticising_rate", "plasticising_resin", "reference_resin"),
        ("plasticising_drive_power", "heating_power"),
        numbers="Melting at the quoted rate takes {stated}; screw drive and heaters supply "
        "{derived}.",
        each="{barrel}: {stated} needed to melt, {derived} installed",
        asked=(
            "The plasticising rate needs more power than screw drive and heaters have ({each}). "
            "Please confirm the rate, its resin and the installed powers."
        ),
    ),
    "output_per_turn": ClaimWords(
        "Output per revolution",
        "plasticising rate / (melt density × screw speed × diameter³) against what screws, and the "
        "others of the unit, deliver",
        ("screw_diameter", "plasticising_rate", "plasticising_resin", "reference_resin", *_SPEEDS),
        numbers=(
            "One revolution of the screw would deliver {stated} D³ of melt; screws usually "
            "deliver {usual} D³, none {side} than {derived} D³ (common practice, no source)."
        ),
        each="{barrel}: {rate} printed, {usual} usual for its diameter and speed",
        asked="The plasticising rate does not fit screw diameter and screw speed "
        "({each}). Please confirm the rate, its unit and the screw speed at which it was measured.",
        sources=("common_practice", "groover"),
    ),
    "peripheral_speed": ClaimWords(
        "Peripheral speed",
        "peripheral speed against π × diameter × the nearest printed screw speed",
        ("screw_diameter", "peripheral_speed", *_SPEEDS),
        numbers="Printed {stated}; diameter and screw speed give {derived}.",
        each="{barrel}: {stated} printed, {derived} from diameter and speed",
        asked="The peripheral speed does not agree with diameter and screw speed "
        "({each}). Please confirm both.",
    ),
    "length_ratio": ClaimWords(
        "L/D",
        "L/D against the other screws of the unit and what is usual",
        ("screw_diameter", "length_ratio"),
        numbers="L/D {stated}; the other screws imply {derived}.",
        each="{barrel}: {stated} printed, {derived} expected",
        asked="The L/D is unusual or does not fit the other screws of the unit ({each}). Please "
        "confirm it.",
        sources=("common_practice",),
    ),
    "reference_resin": ClaimWords(
        "Reference resin",
        "factor quoted against the output factor of the resin the mass is rated in",
        ("rated_shot_mass", "reference_resin", "reference_factor"),
        numbers="The factor quoted is {stated}; the reference resin's is {derived}.",
        each="{barrel}: {stated} quoted, {derived} usual",
        asked=(
            "The factor that you used for the rating, in g per cm³ of swept volume, is unusual "
            "for the rated resin ({each}). Please confirm the resin and the factor."
        ),
        sources=("common_practice",),
    ),
    "completeness": ClaimWords(
        "Completeness", "what the criteria need against what is stated", sources=()
    ),
    "validity": ClaimWords(
        "Validity", "end of the offer's validity against the date of the evaluation", sources=()
    ),
}
"""The words of every claim by its key."""

ASKED_OF: Mapping[tuple[str, str], tuple[str, str]] = {
    ("common_stroke", UNLIKELY): (
        "The stroke, or the one that swept volume and diameter give, is none that a screw of its "
        "diameter has ({each}). Please confirm diameter, stroke and swept volume.",
        "{barrel}: {stated}",
    ),
    ("injection_speed", UNLIKELY): (
        "The injection rate does not fit the screw diameter: it takes a forward speed that no "
        "screw has ({each}). Please confirm the rate, its unit and the diameter.",
        "{barrel}: {stated}",
    ),
    ("rated_mass_basis", UNLIKELY): (
        "The rated shot mass does not fit the swept volume: no resin weighs so much or so little "
        "({each}). Please confirm both, their units, and the resin.",
        "{barrel}: {stated}",
    ),
    ("output_per_turn", UNLIKELY): (
        "The plasticising rate is none that a screw of its diameter gives ({each}). Please confirm "
        "the rate, its unit, its resin and the screw speed at which it was measured.",
        "{barrel}: {rate} printed",
    ),
    ("output_per_turn", BESIDE_OTHERS): (
        "The plasticising rate does not go with those of the unit's other screws ({each}). Please "
        "confirm the rate of each screw, its unit, its resin and the screw speed at which it was "
        "measured.",
        "{barrel}: {rate} printed, {usual} by the other screws",
    ),
    ("drive_force", COPIED_NOTE): (
        "A smaller screw has the same injection pressure as a larger one that bears the whole "
        "force of the drive ({each}). Is its pressure limited to that, or is its own higher?",
        "{barrel}: {stated}, against {derived} for the drive",
    ),
}
"""What is asked, and of each screw, where a note says what a claim is about."""
