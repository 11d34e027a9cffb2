"""What is said on the Decision page: what each step is for, what is empty, what to do first."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.words.names import job_name

_MOST_PAIRS, _LONGEST_NAME = 3, 80
"""Pairs that are named, and letters of a name, where the line stands above every step."""

NO_PROPOSAL = (
    "Nothing is proposed yet. Propose a barrel under Order or a set of machines under Cover: the "
    "jobs that each runs come with it."
)
NOTHING_TO_PROPOSE = "Nothing can be proposed before jobs are planned and offers are entered."
PROPOSING = (
    "Who runs which job, why, and who stands by it. It changes no other barrel's gate, and is part "
    "of what is signed."
)
WHY_PROPOSED = "Why these machines, in a sentence that holds in three years"
NOBODY = "nobody"
NO_JOB_GIVEN = "Give at least one job to a barrel."
NOTHING_IN_ITS_WAY = "Nothing that was assessed stands in its way."
REPLACED = "No longer offered: withdrawn, or revised since."
BASIS_TOLD = (
    "What costs are computed from. Nothing is computed before it is stated; what an offer costs is "
    "entered with it on the Bids page."
)
REAL = "Growths and discount rate are real, not nominal"
WAITING_FITS = "A set may use a barrel for a job that still &waits for somebody"
NO_RATES = "No rate of exchange is stated."
RATES_TOLD = "A rate is needed for each currency that an offer is in."
NO_LINES = "No line of cost is entered."
LINES_TOLD = (
    "Service, wear, a second barrel: each stands for one machine or offer, once, every year or by "
    "the hours run; wear by what each barrel is made of."
)
NO_SCOPE = "No item is listed."
SCOPE_TOLD = (
    "Freight, installation and training are always compared; list what else an offer may leave "
    "out, as spare parts, commissioning or safety approval."
)
NO_FORBIDDEN = "No barrel is barred from a job."
FORBIDDEN_TOLD = "What fits may still be wrong for reasons of yours."
NO_MEASURES = "No measure is chosen."
MEASURES_TOLD = (
    "Choose two or three, and Order tells under which share of all weightings each barrel leads."
)
NO_SHARES = "Choose two or three measures under Basis to see which barrel leads however they weigh."
FINDING = "Looking for the best sets of machines…"
COSTING = "Costs are being computed…"
STOPPED = "Stopped: no set is shown, for none is known to be the best."
NOTHING_TO_COVER = "Sets of machines are compared once jobs are planned and offers are entered."
FOLLOW = "Choose a set above: who runs what stands here."
RATE_WANTED = "A rate above zero is wanted."
CURRENCY_WANTED = "A currency is wanted, as USD."
KIND_WANTED = "Say what it is for, as service."
AMOUNT_WANTED = "An amount is wanted."
ITEM_WANTED = "Say which item, as spare parts."
PAIR_WANTED = "Choose a job and a barrel."
MEASURE_WANTED = "Choose a measure."
ALREADY = "That stands in the list already."
EVERY_BOUGHT = "every machine that is bought"
WEIGHT = "Marks one point among all weightings; may be empty"


def safety_line(appraisal: Appraisal) -> str:
    """Return what must never happen on one machine, "" where nothing is known of."""
    pairs = appraisal.incompatible_pairs
    if not pairs:
        return ""
    which = "Which, and why, stands" if len(pairs) > _MOST_PAIRS else "Why stands"
    return f"Safety, never on one machine: {kept_apart(appraisal)}. {which} under Gate, Cautions."


def kept_apart(appraisal: Appraisal) -> str:
    """Return the pairs of jobs that never share a machine, the first of many."""
    pairs = appraisal.incompatible_pairs
    told = [
        " with ".join(fitted(job_name(appraisal, job), _LONGEST_NAME, len) for job in pair)
        for pair in pairs[:_MOST_PAIRS]
    ]
    if len(told) < len(pairs):
        told.append(f"{len(pairs) - len(told)} more pairs")
    return "; ".join(told)
