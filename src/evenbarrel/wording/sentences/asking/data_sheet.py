"""What a data sheet says to the supplier who fills it in, and why one that came back is refused."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from evenbarrel.wording.sentences.cells import listed
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import resin_called
from evenbarrel.wording.words.numbers import between, with_unit

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

SHEET_TITLE = "Injection units offered: one column for each screw"
SHEET_HOW = (
    "Please fill in the white cells. Choose the unit in its column, or type it after the "
    "number. Leave a cell empty if you do not state it. The sheet “Terms” explains each line."
)
HEADINGS: Mapping[str, str] = {
    "label": "What",
    "unit": "Unit",
    "screw": "Screw {number}",
    "place": "Printed in (document, page)",
    "question": "What we ask",
    "remark": "Your remark",
}
TERMS_HEADINGS = ("What", "What it means", "Units")
SCOPE_STATE, SCOPE_AMOUNT = "{item}: in the price?", "{item}: amount if extra"
ZONE_LABEL = "Screw zone: {zone}, share of the flighted length"

TERMS: Mapping[str, str] = {
    "currency": "Three letters, such as EUR.",
    "price": "Of one machine with its standard screw; the total only where you name one total.",
    "delivery": "Delivery time and terms.",
    "warranty": "Please also say whether wear of screw and barrel is excluded.",
    "designation": "What you call the injection unit.",
    "unit_kind": "Reciprocating: single-stage reciprocating screw.",
    "size_number": "Maximum pressure in bar × swept volume in cm³ / 1000.",
    "drive_power": "Power of the drive that moves the screw forward.",
    "injection_power": "Maximum power delivered to the melt.",
    "plasticising_drive_power": "Power of the drive that rotates the screw.",
    "heating_power": "Installed power of the barrel heaters.",
    "position_scatter": "Shot-to-shot scatter, ±, of the screw's position at the end of the "
    "forward stroke.",
    "max_back_pressure": "In the melt, not in the oil.",
    "clamp_force": "Maximum clamp force of the machine. A tf is the tonne of 9.81 kN, a tonf the "
    "US ton of 8.90 kN.",
    "second_barrel_price": "Of a second barrel with its screw, for the same injection unit.",
    "dry_cycle_time": "As printed, and by which method.",
    "energy_per_mass": "Of the whole machine, for each kg of shot.",
    "energy_method": "The method or standard that the energy was measured by.",
    "label": "What you call the screw.",
    "screw_diameter": "Nominal diameter of the screw.",
    "stroke": "Maximum injection stroke of the screw, not the travel of the whole unit.",
    "length_ratio": "Flighted length of the screw in diameters.",
    "compression_ratio": "Channel depth in the feed zone / channel depth in the metering zone.",
    "feed_depth": "Channel depth in the feed zone.",
    "metering_depth": "Channel depth in the metering zone.",
    "pitch": "Lead of the flight for one revolution.",
    "flight_width": "Width of the flight land, along the axis.",
    "ring_kind": "Kind of check ring (non-return valve).",
    "ring_travel": "Travel of the check ring (non-return valve) from open to closed.",
    "swept_volume": "Screw area × stroke, as calculated. Not what an air shot weighs.",
    "rated_shot_mass": "Maximum mass of one air shot, in the reference resin.",
    "reference_resin": "The resin that the shot mass is rated in, such as polystyrene.",
    "reference_factor": "Mass for each cm³ of swept volume that you used for the rating.",
    "injection_pressure": "Maximum melt pressure in front of the screw. If you print the oil "
    "pressure, say so below and add the intensification ratio.",
    "pressure_kind": "Whether the injection pressure is that of the melt or of the oil.",
    "system_pressure": "Maximum oil pressure of the hydraulic system.",
    "intensification_ratio": "Piston area / screw area.",
    "injection_rate": "Maximum volume, or mass, per second in an air shot.",
    "injection_speed": "Maximum forward speed of the screw.",
    "plasticising_rate": "Mass plasticised per second while the screw rotates. Please add the "
    "resin, the screw speed, the share of the stroke and, as a remark, melt temperature and back "
    "pressure.",
    "plasticising_resin": "The resin in which the plasticising rate was measured.",
    "plasticising_speed": "Screw speed at which the plasticising rate was measured.",
    "plasticising_stroke_share": "Share of the stroke over which that rate was measured.",
    "screw_speed": "If you print only one screw speed, without saying which.",
    "peripheral_speed": "Circumferential speed of the screw, as printed.",
    "melt_inventory": "Volume of melt that the screw channel holds.",
    "barrel_package": "Material or coating of the barrel, against wear and corrosion.",
    "screw_package": "Material or coating of the screw, against wear and corrosion.",
    "price_difference": "Of this screw against the standard screw; 0 for the standard screw.",
    "zones": "Lengths of the feed, compression and metering zones, as shares of the flighted "
    "length.",
}
"""What a datum means to the supplier who fills in a data sheet: in which resin, measured how."""

SHEET_WORDS: Mapping[str, str] = {
    "version": "it is a data sheet of version {detail}; this program reads version 1",
    "unknown_bid": "it is the data sheet of the offer “{detail}”, which the evaluation does not "
    "have",
    "columns": "the row that names its columns has no “screw” in it: send the sheet out again",
}
"""Why a data sheet is refused."""


def wanted_lines(appraisal: Appraisal) -> tuple[str, ...]:
    """Return what the machine is to run, for a supplier: volumes, resins and the least asked."""
    # Loaded where it is wanted: it brings numpy along.
    from evenbarrel.decision.asking.ask import Ask
    from evenbarrel.wording.standing_by.ask import wanted_of

    evaluation = appraisal.evaluation
    lines = []
    if appraisal.planned_range is not None:
        low, high = (
            with_unit(end, "volume", evaluation.display_units) for end in appraisal.planned_range
        )
        lines.append(f"Planned shots: {between(low, high)} of melt.")
        lines += wanted_of(Ask(appraisal))
    run = dict.fromkeys(job.resin for job in evaluation.jobs if job.resin is not None)
    resins = [resin for resin in evaluation.resins if resin.id in run]
    if resins:
        named = listed([_resin_words(resin_called(evaluation, r), r.resin_class) for r in resins])
        lines.append(f"Resins to be run: {named}.")
    asks = ", ".join(part for part in (evaluation.buyer, evaluation.site) if part)
    return (*([f"Asked by {asks}."] if asks else []), *lines)


def _resin_words(name: str, resin_class: str | None) -> str:
    return name if resin_class is None else f"{name} ({labels.choice(resin_class)})"


def answered_in(name: str) -> str:
    """Return what an answer says that came in a data sheet."""
    return f"In the data sheet {name}."
