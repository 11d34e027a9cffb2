"""The words of the written evaluation that stand in no table: titles, verdicts, statements."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import SEVERITY, Fit
from evenbarrel.model.offers.bid import Bid, InjectionUnit
from evenbarrel.model.states.digest import SCHEME, digest
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.sentences.cells import CAUTIONS, date_text
from evenbarrel.wording.sentences.deciding.consequences import decided_by, way_word
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name, unit_called
from evenbarrel.wording.words.numbers import ABSENT, money

KIND = "Side-by-side evaluation of injection units"
UNTITLED = "Evaluation"
SCREENING = (
    "This is a screening by calculation from what suppliers and we stated, not a guarantee. "
    "It decides nothing by itself; the people who sign decide."
)

SECTIONS: Mapping[str, str] = {
    "gate": "Gate on fit, barrel by barrel",
    "choice": "Proposal, offers, cost over life and order",
    "shots": "Planned shots",
    "barrels": "Barrels on one volume basis",
    "fit": "Fit of every barrel to every planned job",
    "claims": "Offers, claims and questions",
    "acceptance": "Acceptance and guarantees",
    "cautions": "Cautions",
    "assumptions": "Assumptions and sources",
    "sign_off": "Deviations, limits to confirm and signatures",
    "workings": "Appendix: how the numbers were calculated",
    "glyphs": "Characters not printed as they are",
}
"""The sections after the first two pages, in order; the last two only where they are needed."""

INTRODUCTIONS: Mapping[str, str] = {
    "barrels": "Every barrel is reduced to the volume its screw sweeps. Rated masses are shown "
    "as printed, beside the factor they imply and the density that this factor matches.",
    "fit": "Each cell gives the verdict, the limiting criterion with its value, and how many "
    "criteria are open because a number is missing. Outside by rule: beyond a rule of "
    "practice only, not beyond physics or a resin's limit.",
    "claims": "Each quoted number is checked against the others of its unit and against physics. "
    "A probable cause is only a suggestion: nothing was corrected unless a person decided it.",
    "assumptions": "Every number below was used as shown. Its origin is named, including where "
    "it is common practice without a source or from memory.",
    "sign_off": "Signatures apply to the state of the evaluation whose digest is printed on the "
    "first page and at the foot of every page. The lines for signing are on the second page.",
}

TIGHTEST = "Where each barrel that is not shut has the least room"
WHOLE_BOARD = "All barrels on the board"
NOT_INSIDE = "What is not inside, barrel by barrel"
NAMED_ALONE = (
    "For a cell that is outside, or a barrel that is shut, the deciding criteria are given "
    "with their numbers and the others by name only; the appendix, where it is printed, has every "
    "number."
)
ALL_INSIDE = "Every cell is inside: there is nothing to list barrel by barrel."
LITERATURE = "Literature"
TO_US = "Questions to ourselves"
FLIPS = "What would flip the choice"
FAILED_CLAIMS = "Claims in doubt"
QUESTIONS = "Questions"
CLAIMS = "Claims of every barrel"
NO_CLAIM_IN_DOUBT = "No claim of this offer is in doubt."
NOTHING = "None is entered."
SETTLED = "Volumes that a person decided"

EMPTY: Mapping[str, str] = {
    "shots": "No jobs are planned yet.",
    "barrels": "No barrels are entered yet.",
    "masses": "No barrels are entered yet.",
    "fit": "Nothing can be compared yet: at least one planned job and one barrel are needed.",
    "claims": "No barrels are entered yet.",
    "offers": "No offers are entered yet.",
    "questions": "No question is open.",
    "acceptance": "No shots have been weighed, and no barrel is proposed for ordering.",
    "guarantees": "No number that it states decides a fit: there is nothing to guarantee.",
    "deviations": "No deviation has been accepted or refused.",
    "confirmed_limits": "No limit has been confirmed by a named person.",
    "pins": "No jobs are planned yet.",
    "waiting_limits": "No barrel waits for a limit to be confirmed.",
    "choice": "No price and no cost basis is stated: offers are compared by fit only.",
    "sign_offs": "No signature is recorded in the evaluation.",
    "gate": "No barrels are entered yet.",
    "resins": "No resins are entered yet.",
}
"""What is said in place of a table without rows."""


LONGEST_NAME = 80
"""Characters of a name in a table; what is called so has it whole in its own heading or row."""


def cut(words: str, most: int = LONGEST_NAME) -> str:
    """Return words in one line of at most so many characters, ending in … where they were cut."""
    return fitted(words, most, len)


def section_name(key: str) -> str:
    """Return how a section is referred to: "section 4"."""
    return f"section {list(SECTIONS).index(key) + 1}"


def masthead(appraisal: Appraisal, version: str) -> tuple[str, str]:
    """Return for whom it is and as of when, and the program with the digest of its state."""
    evaluation = appraisal.evaluation
    as_of = "not stated" if evaluation.as_of is None else date_text(evaluation.as_of)
    buyer, site = (cut(text, 80) or "not stated" for text in (evaluation.buyer, evaluation.site))
    return (
        f"{KIND} · Buyer: {buyer} · Site: {site} · As of: {as_of}",
        f"Evenbarrel {version} · Digest (SHA-256, scheme {SCHEME}): "
        f"{digest(appraisal.unmasked.evaluation)}",
    )


def tightest_cells(appraisal: Appraisal, most: int) -> tuple[tuple[str, str], ...]:
    """Return, for at most so many barrels that are not shut, the job with least room."""
    found = []
    for barrel in appraisal.barrels:
        fits = [appraisal.fit(barrel.id, job.id) for job in appraisal.jobs]
        stated = [fit for fit in fits if fit.binding is not None]
        known = barrel.swept.bound is not None
        if stated and known and appraisal.gates.states[barrel.id] != "shut":
            found.append((barrel.id, min(stated, key=_room_left).job))
    return tuple(found[:most])


def _room_left(fit: Fit) -> tuple[int, float]:
    margin = None if fit.bound_by is None else fit.bound_by.margin
    return SEVERITY.index(fit.state), margin or 0.0


def foot_text(appraisal: Appraisal, version: str) -> str:
    """Return what stands at the foot of each page."""
    return f"Evenbarrel {version}, evaluation {digest(appraisal.unmasked.evaluation)[:12]}"


def page_text(page: int, pages: int) -> str:
    """Return which page of how many."""
    return f"page {page} of {pages}"


def continued_text(titles: Sequence[str]) -> str:
    """Return what a page continues, from the section down; "" where it begins with a section."""
    return f"{' · '.join(titles)} (continued)" if titles else ""


def cell_cautions(appraisal: Appraisal) -> tuple[str, ...]:
    """Return every caution that the cells raised, once."""
    raised = {
        criterion.caution: None
        for barrel in appraisal.barrels
        for job in appraisal.jobs
        for criterion in appraisal.fit(barrel.id, job.id).criteria
        if criterion.caution is not None
    }
    return tuple(CAUTIONS[code] for code in raised if code in CAUTIONS)


UNDECIDED = "The interval spans every plausible reading until a person decides."


def unsettled_lines(appraisal: Appraisal) -> tuple[str, ...]:
    """Return which barrels' volumes two routes contradict; both numbers stand with the claims."""
    names = [full_name(appraisal, b.id) for b in appraisal.barrels if b.swept.unsettled]
    if not names:
        return ()
    text = "; ".join(names)
    where = section_name("claims")
    return (f"Two routes give contradicting volumes for {text}: see {where}. {UNDECIDED}",)


def settled_texts(appraisal: Appraisal) -> tuple[str, ...]:
    """Return the decisions people took on a barrel's size, with their reasons."""
    return tuple(
        f"{full_name(appraisal, barrel.id)}: {way_word(barrel.settled)}; "
        f"{decided_by(barrel.settled)}."
        for _, _, barrel in appraisal.evaluation.counting_barrels()
        if barrel.settled is not None
    )


def offer_lines(bid: Bid) -> tuple[tuple[str, str], ...]:
    """Return what an offer states besides what stands side by side: label and words."""
    texts = [
        ("revision", bid.revision),
        *((name, money(getattr(bid, name))) for name in ("price", "freight")),
        *((name, money(getattr(bid, name))) for name in ("installation", "training")),
    ]
    lines = [(_OFFER_LABELS[name], text) for name, text in texts if text not in ("", ABSENT)]
    for unit in bid.units:
        if unit.price is not None:
            of = f", {unit_called(bid, unit)}" if len(bid.units) > 1 else ""
            label = labels.datum_of(InjectionUnit, "price")
            lines.append((label, f"{money(unit.price)}{of}"))
    if bid.notes:
        lines.append(("Notes", bid.notes))
    return tuple(lines)


_OFFER_LABELS = {
    "revision": "Revision",
    "price": "Total price",
    "freight": "Freight",
    "installation": "Installation",
    "training": "Training",
}


def glyphs_text(characters: tuple[str, ...]) -> str:
    """Return which characters the printed fonts lack, by their code."""
    codes = ", ".join(f"U+{ord(character):04X}" for character in characters)
    return (
        "The fonts of this document lack these characters; \ufffd is printed in their place, "
        f"and the evaluation's file still holds them: {codes}."
    )


def part_of_jobs(first: int, last: int, total: int) -> str:
    """Return which of the jobs a part of a wide table shows."""
    return f"Jobs {first} to {last} of {total}"
