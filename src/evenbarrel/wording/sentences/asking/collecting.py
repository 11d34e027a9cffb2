"""What is said while bids are collected: the data sheet's words, and what was noticed of a line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from evenbarrel.wording.sentences.cells import listed
from evenbarrel.wording.sentences.pages import counted
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import resin_called
from evenbarrel.wording.words.numbers import with_unit

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

SHEET_TITLE = "Injection units offered: one column for each screw"
SHEET_HOW = (
    "Please fill the white cells. Choose the unit in its column, or type it behind the number. "
    "Leave a cell empty where you state nothing. The sheet Terms explains each line."
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
    "screw_diameter": "Nominal diameter of the screw.",
    "stroke": "Greatest stroke of the screw for injection, not that of the whole unit.",
    "swept_volume": "Screw area × stroke, as calculated. Not what an air shot weighs.",
    "rated_shot_mass": "Greatest mass of one shot into air, in the reference resin.",
    "reference_resin": "The resin that the shot mass is rated in, as polystyrene.",
    "reference_factor": "Mass delivered for each cm³ of swept volume that you rated with.",
    "injection_pressure": "Greatest pressure in the melt in front of the screw. Where you print "
    "the pressure of the oil, say so below and add the intensification ratio.",
    "injection_rate": "Greatest volume, or mass, a second into air.",
    "injection_speed": "Greatest speed of the screw forward, as a length a second.",
    "plasticising_rate": "Mass plasticised a second, while the screw turns. Please add the resin, "
    "the speed, the share of the stroke and, as a remark, melt temperature and back pressure.",
    "plasticising_speed": "Screw speed at which the plasticising rate was measured.",
    "plasticising_stroke_share": "Share of the stroke over which that rate was measured.",
    "screw_speed": "Where you print one speed without saying which.",
    "length_ratio": "Flighted length of the screw in diameters.",
    "compression_ratio": "Channel depth at the feed to that at the metering zone.",
    "ring_travel": "Way of the check ring, the non-return valve, from open to closed.",
    "melt_inventory": "Volume of melt that the screw channel holds.",
    "position_scatter": "Scatter, ±, of the screw's position at the end of the forward stroke, "
    "from shot to shot.",
    "size_number": "Greatest pressure in bar × swept volume in cm³ / 1000.",
    "drive_power": "Power of the drive of the forward stroke.",
    "injection_power": "Greatest power on the melt.",
    "price": "With the standard screw where it stands for one machine.",
    "price_difference": "Of this screw against the standard one; 0 for the standard one itself.",
}
"""What a datum means on a data sheet, where its help is short: in which resin, measured how."""


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
        lines.append(f"Planned shots: {low} to {high} of melt as delivered.")
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
    "range": "two numbers where one is wanted: choose one",
    "gauge": "gauge or absolute? {detail}",
    "approximate": "printed as approximate",
    "limit": "printed as a limit, not as a value",
    "tolerance": "printed with a tolerance",
    "footnote": "a footnote belongs to it: “{detail}”",
    "thousands": "read as {detail}: its mark may part thousands or decimals",
    "mark_settled": "read as {detail}: other numbers of it show which mark parts decimals",
    "rounded": "{detail}",
    "impossible": "{detail}",
    "unusual": "{detail}",
    "unit_missing": "no unit is printed; {detail} is a guess",
    "unit_unknown": "“{detail}” is no unit of this datum",
    "two_units": "its own unit counts, not “{detail}” beside it",
    "also_stated": "also stated as {detail}",
    "two_numbers": "a second number beside it disagrees or is not read: {detail}",
    "currency_missing": "no currency is printed; {detail} is a guess",
    "currency_sign": "$ may be one of several dollars",
    "day_or_month": "read as {detail}: day and month may be the other way round",
    "unknown_resin": "no resin of the evaluation is called “{detail}”",
    "table_resin": "with it “{detail}” comes from the resin table",
    "ambiguous_screw": "not clear which screw this is",
    "ambiguous_label": "the label may mean something else with the same unit",
    "nearly": "the label is not a known wording, only nearly",
    "beside": "the label says more than is understood: “{detail}”",
    "resin_in_label": "rated in {detail}, says the label",
    "label_alone": "taken for this by its label alone",
    "in_a_sentence": "read from what a sentence says: is it meant so?",
    "titled": "the title or the sheet that its screws stand under",
    "head_alone": "taken for the screw's name by where it stands",
    "name_alone": "no sure number stands under this name",
    "cut_off": "the box cuts its label or its number: draw it wider",
    "set_together": "more than one text stands here: the columns may be others",
    "for_all": "printed once; perhaps for all screws",
    "conflict": "another number is given for the same: {detail}",
    "stated_before": "the same as in {detail}, in another unit",
    "formula": "computed by a formula; its last result was taken",
    "formula_unknown": "a formula without a result: open and save the workbook once",
    "formula_error": "a formula that failed",
    "text_number": "a number kept as text",
    "sent_elsewhere": "sent for an offer that is not here, so read as a new one",
    "sent_for_another": "the offer that has its hidden id here is another ({detail}): read as a "
    "new one",
    "id_alone": "nothing but its hidden id says which offer it is for",
    "no_key": "its hidden key is missing; taken by its label",
    "key_unknown": "its hidden key names no datum",
    "label_unknown": "not understood",
    "no_value": "no value beside it",
    "no_screw": "no screw to put it to",
    "remark": "a remark, not put into any datum",
    "sheet_beside": "a worksheet beside the data sheet; not read",
    "sheet_hidden": "a hidden worksheet; not read",
    "resin_differs": "the evaluation's resin has other data; it stays as it is",
    "new_resin": "a resin the evaluation does not have",
    "not_described": "it names another file's offer: say here which offer this one revises",
    "corrected": "put right by hand",
    "aside": "put aside by hand",
    "matched": "the same screw by its name or its diameter",
    "decided_before": "decided about the offer before: does it still hold?",
}
"""Why a line is less sure, or what was noticed; `{detail}` is the text or number it is about."""

OUTCOMES: Mapping[str, str] = {
    "fills": "new",
    "same": "as it stands",
    "differs": "differs from {now}",
    "settled": "differs from {now}, which is confirmed or measured",
    "not_read": "not taken",
}

LEFT: Mapping[str, str] = {
    "unsure": "not sure",
    "differs": "other than what stands",
    "settled": "other than what was confirmed or measured",
    "same": "as it stands",
    "not_read": "not taken",
}
"""Why lines are not taken unseen, in the order they are counted."""

MARKS: Mapping[bool, str] = {True: "sure", False: "look"}


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
    return f"{counted(taken, 'line')} sure and filling a gap{with_new}{waiting}."


def answered_in(name: str) -> str:
    """Return what an answer says that came in a data sheet."""
    return f"In the data sheet {name}."


NOTHING_WRITTEN = "Nothing is written. To take the sure lines: --yes -o OUT"


def written_line(name: str) -> str:
    """Return that the evaluation with the sure lines was written."""
    return f"Taken; the evaluation is in {name}."


SHEET_WORDS: Mapping[str, str] = {
    "version": "it is a data sheet of version {detail}; this program reads version 1",
    "unknown_bid": "it is the data sheet of the bid “{detail}”, which the evaluation does not have",
    "columns": "the row that names its columns has no “screw” in it: send the sheet out again",
}
"""Why a data sheet is refused."""
