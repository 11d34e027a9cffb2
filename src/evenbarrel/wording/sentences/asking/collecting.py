"""What is said while bids are collected: the data sheet's words, and what was noticed of a line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from evenbarrel.wording.sentences.cells import listed
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import resin_called
from evenbarrel.wording.words.numbers import counted, with_unit

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


def wanted_lines(appraisal: Appraisal) -> tuple[str, ...]:
    """Return what the machine is to run, for a supplier: volumes, resins and the least asked."""
    # Loaded where it is wanted: it brings numpy along.
    from evenbarrel.decision.asking.ask import Ask
    from evenbarrel.wording.standing.ask import wanted_of

    evaluation = appraisal.evaluation
    lines = []
    if appraisal.planned_range is not None:
        low, high = (
            with_unit(end, "volume", evaluation.display_units) for end in appraisal.planned_range
        )
        lines.append(f"Planned shots: {low} to {high} of melt.")
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


FINDINGS: Mapping[str, str] = {
    "not_stated": "nothing stated: “{detail}”",
    "not_read": "not read. {detail}",
    "range": "two numbers where one is expected: choose one",
    "gauge": "gauge or absolute? {detail}",
    "approximate": "printed as approximate",
    "limit": "printed as a limit, not as a value",
    "tolerance": "printed with a tolerance",
    "footnote": "a footnote belongs to it: “{detail}”",
    "thousands": "read as {detail}: its mark may separate thousands or decimals",
    "mark_settled": "read as {detail}: other numbers in it show which mark separates decimals",
    "rounded": "{detail}",
    "impossible": "{detail}",
    "unusual": "{detail}",
    "unit_missing": "no unit is printed; {detail} is a guess",
    "unit_unknown": "“{detail}” is not a unit of this datum",
    "tons": "tons may be US tons of 8.90 kN or tonnes of 9.81 kN: check which",
    "two_units": "its own unit is used, not “{detail}” beside it",
    "also_stated": "also stated as {detail}",
    "two_numbers": "a second number beside it disagrees or is not read: {detail}",
    "currency_missing": "no currency is printed; {detail} is a guess",
    "currency_sign": "$ may be one of several dollars",
    "day_or_month": "read as {detail}: day and month may be the other way round",
    "unknown_resin": "the evaluation has no resin “{detail}”",
    "table_resin": "“{detail}” will be added from the resin table",
    "ambiguous_screw": "not clear which screw this is",
    "ambiguous_label": "the label may mean something else with the same unit",
    "nearly": "the label is only close to a known wording",
    "bare_head": "“{detail}” does not say of what: read by its unit and its size",
    "beside": "the label says more than was understood: “{detail}”",
    "more_beside": "the cell says more: “{detail}”",
    "resin_in_label": "rated in {detail}, says the label",
    "label_alone": "recognised by its label alone",
    "in_a_sentence": "read from a sentence: is this what it means?",
    "titled": "named by the title or the worksheet above its screws",
    "head_alone": "taken as a name because of its position",
    "name_alone": "no number under this name is sure",
    "cut_off": "the box cuts off its label or its number: draw it wider",
    "set_together": "there is more than one text here: the columns may be wrong",
    "for_all": "printed once; perhaps for all screws",
    "conflict": "another number is given for the same: {detail}",
    "stated_before": "the same as in {detail}, in another unit",
    "formula": "computed by a formula; its last result was taken",
    "formula_unknown": "a formula without a result: open and save the workbook once",
    "formula_error": "a formula that failed",
    "text_number": "a number stored as text",
    "sent_elsewhere": "sent for an offer that is not in this evaluation, so read as a new one",
    "sent_for_another": "its hidden id belongs to another offer here ({detail}), so read as a "
    "new one",
    "id_alone": "only its hidden id says which offer it is for",
    "no_key": "its hidden key is missing; recognised by its label",
    "key_unknown": "its hidden key does not name any datum",
    "label_unknown": "not understood",
    "no_value": "no value beside it",
    "no_screw": "no screw to assign it to",
    "remark": "a remark, not entered into any datum",
    "noted": "with the remark “{detail}”",
    "sheet_beside": "a worksheet besides the data sheet; not read",
    "sheet_hidden": "a hidden worksheet; not read",
    "resin_differs": "the evaluation's resin has different data; it stays as it is",
    "new_resin": "a resin the evaluation does not have",
    "not_described": "it names another file's offer: say here which offer this one revises",
    "corrected": "corrected by hand",
    "aside": "put aside by hand",
    "matched": "the same screw by its name or its diameter",
    "decided_before": "decided about the earlier offer: does it still apply?",
}
"""Why a line is less sure, or what was noticed; `{detail}` is the text or number it is about."""

OUTCOMES: Mapping[str, str] = {
    "fills": "new",
    "same": "unchanged",
    "differs": "differs from {now}",
    "settled": "differs from {now}, which is confirmed or measured",
    "not_read": "not taken",
}

LEFT: Mapping[str, str] = {
    "unsure": "not sure",
    "differs": "different from what is there",
    "settled": "different from what was confirmed or measured",
    "same": "unchanged",
    "not_read": "not taken",
}
"""Why lines are not taken unseen, in the order they are counted."""

MARKS: Mapping[bool, str] = {True: "sure", False: "check"}


def finding_text(code: str, detail: str) -> str:
    """Return what was noticed, in words."""
    return FINDINGS[code].format(detail=detail).strip()


def outcome_text(outcome: str, now: str) -> str:
    """Return what taking a line would do."""
    return OUTCOMES[outcome].format(now=now)


def proposal_title(source: str, bid: str, is_new: bool) -> str:
    """Return what a proposal is made from, and for whom."""
    return f"{source}, for {'a new bid' if is_new else bid}"


def numbered_screw(number: int) -> str:
    """Return what a screw is called that has no letter yet."""
    return f"screw {number}"


def taken_line(
    taken: int, counts: Sequence[tuple[str, int]], new: Sequence[tuple[str, int]]
) -> str:
    """Return how many lines may be taken unseen, and why the others wait."""
    parts = [f"{count} {word}" for word, count in counts if count]
    made = [counted(count, word) for word, count in new if count]
    with_new = f", with {listed(made)} new" if made and taken else ""
    waiting = f"; left: {', '.join(parts)}" if parts else ""
    return f"{counted(taken, 'line')} sure, filling a gap{with_new}{waiting}."


def answered_in(name: str) -> str:
    """Return what an answer says that came in a data sheet."""
    return f"In the data sheet {name}."


NOTHING_WRITTEN = "Nothing was written. To take the lines that are sure, add: --yes -o OUT"


def written_line(name: str) -> str:
    """Return that the evaluation with the sure lines was written."""
    return f"Taken; the evaluation is in {name}."


SHEET_WORDS: Mapping[str, str] = {
    "version": "it is a data sheet of version {detail}; this program reads version 1",
    "unknown_bid": "it is the data sheet of the bid “{detail}”, which the evaluation does not have",
    "columns": "the row that names its columns has no “screw” in it: send the sheet out again",
}
"""Why a data sheet is refused."""
