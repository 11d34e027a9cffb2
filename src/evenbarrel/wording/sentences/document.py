"""The words of the written evaluation that stand in no table: titles, verdicts, statements."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import SEVERITY, Fit
from evenbarrel.model.bid import Bid
from evenbarrel.model.digest import SCHEME, digest
from evenbarrel.wording.sentences.cells import CAUTIONS, date_text, listed
from evenbarrel.wording.sentences.claim_words import claim_sentence
from evenbarrel.wording.sentences.gate import BEST_FIRST
from evenbarrel.wording.sentences.questions import full_name
from evenbarrel.wording.sentences.summary import questions_text
from evenbarrel.wording.sentences.trials import decided_by, way_word
from evenbarrel.wording.sheets.sheet import Reference
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import name_at
from evenbarrel.wording.words.numbers import ABSENT, money, with_unit
from evenbarrel.wording.workings.line import Working

KIND = "Side-by-side evaluation of injection units"
UNTITLED = "Evaluation"
SCREENING = (
    "This is a screening by calculation from what suppliers and we stated, not a guarantee. It "
    "decides nothing by itself: the people who sign do."
)

SECTIONS: Mapping[str, str] = {
    "summary": "Summary",
    "shots": "Planned shots",
    "barrels": "Barrels on one volume basis",
    "picture": "Barrels along the ruler of volume",
    "fit": "Fit of every barrel to every planned job",
    "claims": "Claims and questions",
    "assumptions": "Assumptions and sources",
    "cautions": "Cautions",
    "sign_off": "Deviations and signatures",
    "workings": "Appendix: how the binding criteria came about",
    "glyphs": "Characters that could not be printed",
}

INTRODUCTIONS: Mapping[str, str] = {
    "barrels": "Every barrel is brought to the volume its screw sweeps. Rated masses stand as "
    "printed, beside the factor they imply and the density that factor points at.",
    "picture": "Each barrel is a line from nothing to its full swept volume. On it lies, for each "
    "window that is planned, what capacity, share of volume and stroke allow: comfort solid, up "
    "to the hard edge hatched. Each planned shot is a line down through all barrels; the mark "
    "tells how it fits, and where something else than size decides, what.",
    "fit": "Each cell tells the verdict, the criterion that binds with its value, and how many "
    "criteria are open because a datum is missing. Outside by rule means outside by a rule of "
    "practice alone.",
    "claims": "Each quoted number is held against the others of its unit and against physics. A "
    "suggested cause is a suggestion: nothing was corrected without a person.",
    "assumptions": "Every number below was used as it stands. Where it comes from is named; what "
    "circulates in the trade without a source, or was recalled, says so.",
    "sign_off": "Signatures stand under the state of the evaluation whose digest is printed on "
    "the first page and at the foot of each.",
}

TIGHTEST = "Where each barrel that is not shut has least room"
NOT_INSIDE = "What is not inside, barrel by barrel"
ALL_INSIDE = "Every cell is inside: nothing has to be said barrel by barrel."
LITERATURE = "Literature"
TO_US = "Questions to ourselves"
FAILED_CLAIMS = "Claims that do not stand"
QUESTIONS = "Questions"
STANDING_CLAIMS = "None: no claim of this offer is in doubt."
NO_WORKINGS = "No cell is outside, near the edge or not stated: there is nothing to show."
NOTHING = "None is entered."
GATE = "Gate on fit"
UNSETTLED = "Volumes that two routes contradict"
SETTLED = "Volumes that a person decided"
SIGN_HERE = "To be signed"
SIGNED = "Signatures recorded in the evaluation"

EMPTY: Mapping[str, str] = {
    "shots": "No jobs are planned yet.",
    "barrels": "No barrels are entered yet.",
    "masses": "No barrels are entered yet.",
    "fit": "There is nothing to fit yet: it takes a planned job and a barrel.",
    "claims": "No barrels are entered yet.",
    "offers": "No offers are entered yet.",
    "questions": "No question is open.",
    "deviations": "No deviation has been accepted or refused.",
    "confirmed_limits": "No limit has been confirmed by a named person.",
    "pins": "No jobs are planned yet.",
    "waiting_limits": "No barrel waits for a limit to be confirmed.",
    "gate": "No barrels are entered yet.",
    "resins": "No resins are entered yet.",
}
"""What is said in place of a table without rows."""


@dataclass(frozen=True, slots=True)
class Signature:
    """One line to sign: who, and what the signature says."""

    role: str
    statement: str


SIGNATURES: tuple[Signature, ...] = (
    Signature(
        "Purchase",
        "The offers were compared on the basis above. The open questions, the claims in doubt "
        "and the accepted deviations are known to me.",
    ),
    Signature(
        "Process engineering",
        "The planned jobs, resins and limits are those we mean to run. I have checked what binds "
        "each barrel and stand by the deviations accepted.",
    ),
)
SIGNATURE_FIELDS = ("Name", "Date", "Signature")


def supplier_name(bid: Bid) -> str:
    """Return a supplier's name; an offer without one is called by its id."""
    return bid.supplier or f"Offer {bid.id}"


def facts(appraisal: Appraisal, version: str) -> tuple[tuple[str, str], ...]:
    """Return what the evaluation is, for whom, as of when, and the digest that names its state."""
    evaluation = appraisal.evaluation
    units = len({barrel.unit for barrel in appraisal.barrels})
    counted = (
        f"{len(appraisal.bids)} offers, {units} injection units, {len(appraisal.barrels)} barrels, "
        f"{len(appraisal.jobs)} planned jobs"
    )
    return (
        ("Buyer", evaluation.buyer or "not stated"),
        ("Site", evaluation.site or "not stated"),
        ("As of", "not stated" if evaluation.as_of is None else date_text(evaluation.as_of)),
        ("Compared", counted),
        ("Program", f"Evenbarrel {version}"),
        (f"Digest (SHA-256, scheme {SCHEME})", digest(evaluation)),
    )


def tightest_cells(appraisal: Appraisal, most: int) -> tuple[tuple[str, str], ...]:
    """Return, for at most so many barrels that are not shut, the job with least room."""
    found = []
    for barrel in appraisal.barrels:
        fits = [appraisal.fit(barrel.id, job.id) for job in appraisal.jobs]
        stated = [fit for fit in fits if fit.binding is not None]
        if stated and appraisal.gates.states[barrel.id] != "shut":
            found.append((barrel.id, min(stated, key=_room_left).job))
    return tuple(found[:most])


def _room_left(fit: Fit) -> tuple[int, float]:
    margins = [c.margin for c in fit.criteria if c.key == fit.binding and c.margin is not None]
    return SEVERITY.index(fit.state), min(margins, default=0.0)


def foot_text(appraisal: Appraisal, version: str) -> str:
    """Return what stands at the foot of each page."""
    return f"Evenbarrel {version}, evaluation {digest(appraisal.evaluation)[:12]}"


def page_text(page: int, pages: int) -> str:
    """Return which page of how many."""
    return f"page {page} of {pages}"


def sentence(words: str) -> str:
    """Return words with a full stop."""
    return f"{words}."


def planned_range_text(appraisal: Appraisal) -> str:
    """Return the planned shots' range in a sentence."""
    if appraisal.planned_range is None:
        return "No planned shot can be brought to a volume yet."
    units = appraisal.evaluation.display_units
    low, high = (with_unit(end, "volume", units) for end in appraisal.planned_range)
    return f"The planned shots range from {low} to {high}."


def open_questions_text(appraisal: Appraisal) -> str:
    """Return how many questions are open in a sentence."""
    return f"Questions: {questions_text(appraisal)}."


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


def verdicts(appraisal: Appraisal) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return each gate with the barrels it is that of, best first."""
    found: dict[str | None, list[str]] = {gate: [] for gate in BEST_FIRST}
    for barrel, gate in appraisal.gates.states.items():
        found[gate].append(full_name(appraisal, barrel))
    return tuple(
        (labels.GATES[gate].capitalize(), tuple(names))
        for gate, names in found.items()
        if names or gate is not None
    )


def names_text(names: tuple[str, ...]) -> str:
    """Return names as people list them; – for none."""
    return "; ".join(names) or ABSENT


UNDECIDED = "The interval spans every plausible reading until a person decides."


def unsettled_texts(appraisal: Appraisal) -> tuple[str, ...]:
    """Return, for each barrel whose volume two routes contradict, both and what is done."""
    units = appraisal.evaluation.display_units
    texts = []
    for barrel in appraisal.barrels:
        if not barrel.swept.unsettled:
            continue
        sentence = claim_sentence(barrel.claim("volume_geometry"), units)
        texts.append(f"{full_name(appraisal, barrel.id)}: {sentence} {UNDECIDED}")
    return tuple(texts)


def settled_texts(appraisal: Appraisal) -> tuple[str, ...]:
    """Return the decisions people took on a barrel's size, with their reasons."""
    return tuple(
        f"{full_name(appraisal, barrel.id)}: {way_word(barrel.settled)}; "
        f"{decided_by(barrel.settled)}."
        for _, _, barrel in appraisal.evaluation.barrels()
        if barrel.settled is not None
    )


def offer_lines(bid: Bid) -> tuple[tuple[str, str], ...]:
    """Return the terms of an offer that are stated: label and words."""
    texts = [
        ("reference", bid.reference),
        ("revision", bid.revision),
        ("date", date_text(bid.date)),
        ("valid_until", date_text(bid.valid_until)),
        *((name, money(getattr(bid, name))) for name in ("price", "freight")),
        *((name, money(getattr(bid, name))) for name in ("installation", "training")),
        ("delivery", bid.delivery),
        ("payment", bid.payment),
        ("warranty", bid.warranty),
        ("notes", bid.notes),
    ]
    lines = [(_OFFER_LABELS[name], text) for name, text in texts if text not in ("", ABSENT)]
    for unit in bid.units:
        if unit.price is not None:
            name = name_at(bid, ("units", unit.id))
            lines.append((f"Price of {name}", money(unit.price)))
    return tuple(lines)


_OFFER_LABELS = {
    "reference": "Offer number",
    "revision": "Revision",
    "date": "Date",
    "valid_until": "Valid until",
    "price": "Total price",
    "freight": "Freight",
    "installation": "Installation",
    "training": "Training",
    "delivery": "Delivery",
    "payment": "Payment",
    "warranty": "Warranty",
    "notes": "Notes",
}


def _not_inside(appraisal: Appraisal) -> Iterator[Fit]:
    for barrel in appraisal.barrels:
        for job in appraisal.jobs:
            fit = appraisal.fit(barrel.id, job.id)
            if fit.state != "inside":
                yield fit


def binding_references(appraisal: Appraisal, most: int) -> tuple[tuple[Reference, ...], int]:
    """Return the binding criterion of up to `most` cells that are not inside, and how many are.

    Where there are more, the worst states stay; they come in the order of the grid.
    """
    cells = [fit for fit in _not_inside(appraisal) if fit.binding is not None]
    worst = sorted(range(len(cells)), key=lambda place: SEVERITY.index(cells[place].state))
    kept = [cells[place] for place in sorted(worst[:most])]
    references = (("criterion", fit.barrel, fit.job, fit.binding or "") for fit in kept)
    return tuple(references), len(cells)


def workings_text(printed: int, cells: int) -> str:
    """Return what the appendix holds, and what it leaves out."""
    if printed == cells:
        return f"All {cells} cells that are not inside and have a binding criterion."
    return (
        f"{printed} of {cells} cells that are not inside and have a binding criterion; the worst "
        f"states were kept and {cells - printed} left out. Each of those opens in the program."
    )


def working_lines(working: Working) -> tuple[tuple[str, str], ...]:
    """Return the inputs of a working: label, and value with where it was stated."""
    return tuple(
        (line.label, "; ".join(part for part in (line.value, line.stated) if part) or ABSENT)
        for line in working.lines
    )


def working_foot(working: Working) -> str:
    """Return the literature of a working."""
    return f"Source: {listed(list(working.literature))}." if working.literature else ""


def glyphs_text(characters: tuple[str, ...]) -> str:
    """Return which characters the printed fonts lack, by their code."""
    codes = ", ".join(f"U+{ord(character):04X}" for character in characters)
    return (
        "The fonts of this document lack these characters; \ufffd stands in their place, and the "
        f"evaluation's file still holds them: {codes}."
    )


def part_of_jobs(first: int, last: int, total: int) -> str:
    """Return which of the jobs a part of a wide table shows."""
    return f"Jobs {first} to {last} of {total}"
