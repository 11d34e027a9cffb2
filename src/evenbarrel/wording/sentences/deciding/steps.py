"""What is said on the Decision page: what each step is for, what is empty, what to do first."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.words.names import job_name

_MOST_PAIRS, _LONGEST_NAME = 3, 80
"""Pairs that are named, and letters of a name, where the line stands above every step."""

NOT_PROPOSED = "Nothing is proposed yet."
NO_PROPOSAL = (
    f"{NOT_PROPOSED} Propose a barrel under Order or a set of machines under Cover: the jobs that "
    "each runs come with it."
)
NOTHING_TO_PROPOSE = "Plan jobs and enter offers first; then something can be proposed."
PROPOSING = (
    "Who runs which job, why, and who stands by it. It changes no other barrel's gate, and is part "
    "of what is signed."
)
WHY_PROPOSED = "Why these machines, in a sentence that will still hold in three years"
NOBODY = "nobody"
NO_JOB_GIVEN = "Give at least one job to a barrel."
NOTHING_IN_ITS_WAY = "Nothing that was assessed stands in its way."
REPLACED = "No longer offered: withdrawn, or revised since."
BASIS_INTRODUCTION = (
    "What costs are computed from. Nothing is computed until it is stated; the prices of an "
    "offer are entered with it on the Bids page."
)
REAL = "Growth and discount rates are real, not nominal"
WAITING_FITS = "A set may use a barrel for a job that still &waits for a decision"
NO_RATES = "No exchange rate is stated."
RATES_INTRODUCTION = "A rate is needed for each currency used in an offer."
NO_LINES = "No cost line is entered."
LINES_INTRODUCTION = (
    "Service, wear, a second barrel: each applies to one machine or offer, once, every year "
    "or by hours run; enter wear by the material of each barrel."
)
NO_SCOPE = "No item is listed."
SCOPE_INTRODUCTION = (
    "Freight, installation and training are always compared; list what else an offer may "
    "leave out, such as spare parts, commissioning or safety approval."
)
NO_FORBIDDEN = "No barrel is barred from a job."
FORBIDDEN_INTRODUCTION = "A barrel that fits may still be wrong for a job, for reasons of your own."
NO_MEASURES = "No measure is chosen."
MEASURES_INTRODUCTION = (
    "Choose two or three, and Order shows under which share of all weightings each barrel leads."
)
NO_SHARES = (
    "Choose two or three measures under Basis to see which barrel leads, whatever their weights."
)
FINDING = "Looking for the best sets of machines…"
COSTING = "Costs are being computed…"
STOPPED = "Stopped: no set is shown, because none is known to be the best."
NOTHING_TO_COVER = "Sets of machines are compared once jobs are planned and offers are entered."
FOLLOW = "Choose a set above to see here which machine runs what."
RATE_WANTED = "Enter a rate above zero."
CURRENCY_WANTED = "Enter a currency, such as USD."
KIND_WANTED = "Say what it is for, such as service."
AMOUNT_WANTED = "Enter an amount."
ITEM_WANTED = "Say which item, such as spare parts."
PAIR_WANTED = "Choose a job and a barrel."
MEASURE_WANTED = "Choose a measure."
ALREADY = "That is already in the list."
EVERY_BOUGHT = "every machine that is bought"
WEIGHT = "Marks one point among all weightings; may be left empty"


def safety_line(appraisal: Appraisal) -> str:
    """Return what must never happen on one machine, "" where nothing is known of."""
    pairs = appraisal.incompatible_pairs
    if not pairs:
        return ""
    what = "all of them, and the reason" if len(pairs) > _MOST_PAIRS else "the reason"
    return f"Safety, never on one machine: {kept_apart(appraisal)}. For {what}, see Gate, Cautions."


def kept_apart(appraisal: Appraisal) -> str:
    """Return the pairs of jobs that never share a machine, the first of many."""
    pairs = appraisal.incompatible_pairs
    texts = [
        " with ".join(fitted(job_name(appraisal, job), _LONGEST_NAME, len) for job in pair)
        for pair in pairs[:_MOST_PAIRS]
    ]
    if len(texts) < len(pairs):
        texts.append(f"{len(pairs) - len(texts)} more pairs")
    return "; ".join(texts)
