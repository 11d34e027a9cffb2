"""One record of words for each criterion: its names, what it is, and what it is judged by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CriterionWords:
    """The words of one criterion.

    `short` is its name where room is scarce, `meaning` what it is, `asked_for` what it is about
    for somebody who does not know our names. `limits` are the evaluation's limits it is judged by
    (the share of volume by its class), `of_resin` the resin's; `of_barrel` the data of the barrel
    that a criterion without a number holds against them.
    """

    label: str
    short: str
    meaning: str
    asked_for: str
    formula: str
    limits: tuple[str, ...] = ()
    of_resin: tuple[str, ...] = ()
    of_barrel: tuple[str, ...] = ()


_SHOT_STROKE = "shot stroke = shot mass / output factor / screw area"

CRITERION_WORDS: Mapping[str, CriterionWords] = {
    "capacity": CriterionWords(
        "Capacity",
        "capacity",
        "shot stroke, cushion, decompression and hot-runner relief as a share of the stroke",
        "whether the shots fit the stroke",
        f"(shot stroke + cushion + decompression + hot-runner relief) / stroke; {_SHOT_STROKE}",
    ),
    "utilisation": CriterionWords(
        "Share of volume",
        "share",
        "shot volume as a share of the swept volume, without cushion",
        "what share of the swept volume the shots use",
        "shot mass / output factor / swept volume",
    ),
    "stroke": CriterionWords(
        "Stroke in diameters",
        "stroke",
        "shot stroke in screw diameters, without cushion",
        "how many diameters the shots' stroke takes",
        "shot mass / output factor / (screw area × diameter)",
        limits=(
            "stroke_low",
            "stroke_comfort_low",
            "stroke_comfort_high",
            "stroke_high",
        ),
    ),
    "ring_share": CriterionWords(
        "Ring travel share",
        "ring",
        "closing travel of the check ring as a share of the shot stroke",
        "what share of the stroke the check ring takes to close",
        f"ring travel / shot stroke; {_SHOT_STROKE}",
        limits=("ring_share",),
    ),
    "residence": CriterionWords(
        "Residence time",
        "residence",
        "mean time the melt stays in barrel, cushion and hot runner",
        "how long the melt stays in the barrel",
        "(melt inventory + cushion + hot runner) × melt density / shot mass × cycle time",
        of_resin=("residence_limits",),
    ),
    "recovery": CriterionWords(
        "Recovery",
        "recovery",
        "time to plasticise the shot as a share of the cooling window",
        "whether the shots are plasticised in time",
        "shot mass / plasticising rate / window",
        limits=("recovery_share",),
    ),
    "screw_speed": CriterionWords(
        "Screw speed",
        "speed",
        "peripheral speed needed to recover within the window, or the screw's highest",
        "how fast the screw has to turn",
        "π × diameter × the smaller of the highest screw speed and rated speed × "
        "shot mass / (window × plasticising rate)",
        limits=("recovery_share",),
        of_resin=("peripheral_speed_limit",),
    ),
    "pressure": CriterionWords(
        "Pressure",
        "pressure",
        "required pressure as a share of the quoted melt pressure",
        "whether the pressure fills the parts",
        "required pressure / quoted pressure",
        limits=("pressure_share",),
    ),
    "rate": CriterionWords(
        "Injection rate",
        "rate",
        "required rate as a share of the quoted injection rate",
        "whether the injection rate fills the parts",
        "required rate / quoted rate",
        limits=("rate_share",),
    ),
    "power": CriterionWords(
        "Injection power",
        "power",
        "required pressure × rate as a share of the quoted injection power",
        "whether the injection power fills the parts",
        "required pressure × required rate / quoted power",
    ),
    "repeatability": CriterionWords(
        "Repeatability",
        "repeat",
        "scatter of the screw position as a share of the shot stroke, without the closing of the "
        "check ring",
        "how evenly the shots repeat",
        f"position scatter / shot stroke; {_SHOT_STROKE}",
    ),
    "wear": CriterionWords(
        "Wear",
        "wear",
        "abrasion by the resin against barrel and screw package",
        "wear",
        "attack by the resin against what each package resists",
        of_resin=("abrasive",),
        of_barrel=(
            "barrel_package",
            "screw_package",
        ),
    ),
    "corrosion": CriterionWords(
        "Corrosion",
        "corrosion",
        "corrosion by the resin against barrel and screw package",
        "corrosion",
        "attack by the resin against what each package resists",
        of_resin=("corrosive",),
        of_barrel=(
            "barrel_package",
            "screw_package",
        ),
    ),
    "screw_geometry": CriterionWords(
        "Screw geometry",
        "screw",
        "L/D, compression ratio and check ring against what the resin requires",
        "whether the screw suits our resins",
        "L/D, compression ratio and kind of check ring against the resin's requirements",
        of_resin=(
            "length_ratio_low",
            "compression_low",
            "compression_high",
            "unsuited_rings",
        ),
        of_barrel=(
            "length_ratio",
            "compression_ratio",
            "ring_kind",
        ),
    ),
}
"""The words of every criterion by its key."""


def criterion_label(key: str) -> str:
    """Return a criterion's label; the key itself where a file names one that is not known."""
    return CRITERION_WORDS[key].label if key in CRITERION_WORDS else key
