"""What is said of an extract: what was noticed of a line, and what taking it would do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenbarrel.wording.sentences.cells import listed
from evenbarrel.wording.words.numbers import counted

FINDINGS: Mapping[str, str] = {
    "not_stated": "nothing stated: “{detail}”",
    "not_read": "not read. {detail}",
    "range": "two numbers where one is expected: choose one",
    "from_zero": "printed as a range from 0; its end is taken as the highest",
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
    "label_of_another": "its label is another row's: was it moved without its hidden key?",
    "key_unknown": "its hidden key does not name any datum",
    "label_unknown": "not understood",
    "no_value": "no value beside it",
    "no_screw": "no screw to assign it to",
    "remark": "a remark, not entered into any datum",
    "noted": "with the remark “{detail}”",
    "sheet_added": "from a worksheet that was added to the data sheet",
    "sheet_beside": "a worksheet added to the data sheet; nothing in it was understood",
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
    "differs_from_confirmed": "differs from {now}, which is confirmed or measured",
    "not_read": "not taken",
}

LEFT: Mapping[str, str] = {
    "unsure": "not sure",
    "differs": "different from what is there",
    "differs_from_confirmed": "different from what was confirmed or measured",
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


def extract_title(source: str, bid: str, is_new: bool) -> str:
    """Return what an extract is made from, and for whom."""
    return f"{source}, for {'a new offer' if is_new else bid}"


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


NOTHING_WRITTEN = "Nothing was written. To take the lines that are sure, add: --yes -o OUT"


def written_line(name: str) -> str:
    """Return that the evaluation with the sure lines was written."""
    return f"Taken; the evaluation is in {name}."
