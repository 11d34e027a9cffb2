"""An evaluation in which every text of a person or a supplier is hostile, and what may be seen."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Any

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import Deviation, Proposal
from evenbarrel.report.sign_offs import signed
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import parse_evaluation

MARKUP = '<b>x</b><img src="file:///x.png">&amp;&lt;i&gt;'
HIDING = "\u202egpj\u2066\u200b\u00ad\u061c\x1b[31m\x9b\x07\x7f\U000e0041\ufff9\u2028\ufeff\r"
_IN_UNITS = re.compile("(?<=[a-z³²]/)\N{WORD JOINER}(?=[a-z0-9])")
HOSTILE = f"{MARKUP}{HIDING}"
"""Markup of every kind, and characters that turn, hide or command."""

TEXTS = frozenset(
    (
        *("title", "buyer", "site", "supplier", "reference", "revision", "delivery", "payment"),
        *("warranty", "notes", "designation", "label", "name", "family", "source", "note"),
        *("reason", "person", "text", "condition", "statement", "conditions", "when", "item"),
        *("method", "remedy", "energy_method", "path"),
    )
)
"""Fields in which anything may be typed; the others are codes, ids and numbers."""


def hostile(thing: Any) -> Any:
    """Return a thing of the model with every free text in it made hostile."""
    if isinstance(thing, Frozen):
        changed = {
            name: _worse(name, value)
            if name in TEXTS and isinstance(value, str)
            else hostile(value)
            for name, value in thing
        }
        return thing.replace(**changed)
    if isinstance(thing, tuple):
        return tuple(hostile(one) for one in thing)
    if isinstance(thing, Mapping):
        return {key: hostile(one) for key, one in thing.items()}
    return thing


def _worse(name: str, value: str) -> str:
    # Suppliers and moulds stay apart by what they were called before.
    called = value.split(" ")[0][:12]
    long = "W" * {"title": 300, "reason": 300, "designation": 40}.get(name, 0)
    return f"{HOSTILE}{called}\nsecond {name} {long}"


@cache
def hostile_evaluation() -> Evaluation:
    """Return the sample with decisions of every kind and every text hostile."""
    name = "irrigation-parts.evenbarrel.json"
    whole = parse_evaluation(read_sample(name), name)
    # Two suppliers are enough for every kind of sentence.
    bids = whole.bids[:2]
    left = {barrel.id for bid in bids for unit in bid.units for barrel in unit.barrels}
    kept = tuple(one for one in whole.deviations if one.barrel in left)
    proposal = Proposal(barrels=("b1u1b",), reason="reason", person="person")
    whole = whole.replace(
        bids=bids,
        deviations=kept,
        proposal=proposal,
        sign_offs=(),
        signed_states=(),
        acceptance=(),
    )
    evaluation: Evaluation = hostile(whole).replace(scope_items=(HOSTILE,))
    appraisal = appraise(evaluation)
    cell = next(
        fit
        for barrel in appraisal.barrels
        for job in appraisal.jobs
        if (fit := appraisal.fit(barrel.id, job.id)).acceptable
    )
    deviation = Deviation(
        barrel=cell.barrel,
        job=cell.job,
        criterion=cell.acceptable[0],
        reason=HOSTILE,
        person=HOSTILE,
        role="process_engineering",
        date=date(2026, 3, 2),
        condition=HOSTILE,
    )
    evaluation = evaluation.replace(deviations=(*evaluation.deviations, deviation))
    by = {"person": HOSTILE, "statement": HOSTILE, "conditions": HOSTILE, "date": date(2026, 3, 2)}
    return signed(appraise(evaluation), {"role": "purchase", **by})


def hidden_in(text: str) -> str:
    """Return what a text holds that nobody would see; line ends and tabs of a text are seen.

    Within a unit stands what keeps a line from ending there: the desk's own, put in last.
    """
    text = _IN_UNITS.sub("", text)
    if text.replace("\n", "").replace("\t", "").isprintable():
        return ""
    unseen = {"Cc", "Cf", "Cs", "Zl", "Zp"}
    return "".join(
        sign for sign in text if sign not in "\n\t" and unicodedata.category(sign) in unseen
    )
