"""Which numbers the appendix of the written evaluation accounts for, and the words round them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims.doubt import is_failed
from evenbarrel.appraisal.references import (
    ClaimRef,
    CriterionRef,
    FactorRef,
    Reference,
    ShotRef,
    VolumeRef,
)
from evenbarrel.appraisal.results import SEVERITY, BarrelResult, BidResult, Fit
from evenbarrel.wording.sentences.cells import listed
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import full_name
from evenbarrel.wording.words.numbers import ABSENT
from evenbarrel.wording.workings.line import Working

SHOTS, FACTORS, OFFERS = "Planned shots", "Output factors", "Offers"
SHARED = "What holds for every working of a criterion or claim"
_SEVERAL = 3
"""Of so many workings of a kind what all say is said once."""
NO_WORKINGS = "Nothing is entered yet: there is no number to account for."


@dataclass(frozen=True, slots=True)
class Chapter:
    """The numbers of one thing, under its name."""

    title: str
    references: tuple[Reference, ...]


@dataclass(frozen=True, slots=True)
class Workings:
    """The chapters, and how many criteria of cells and claims were left out for want of room."""

    chapters: tuple[Chapter, ...]
    left_out: int
    claims_left_out: int


def workings_of(appraisal: Appraisal, most: int) -> Workings:
    """Return what is printed of shots, factors, volumes and claims, and of each cell.

    Of a cell the criterion that binds, those that are outside or near an edge and those that the
    barrel's gate goes by: what the pages before give a number of. Of more than `most` such
    criteria the worst states stay; of more than `most` claims the failed ones, then the first.
    """
    gates = {
        (barrel.id, reason.job, reason.criterion)
        for barrel in appraisal.barrels
        for reason in appraisal.gate(barrel.id).reasons
    }
    cells = [(fit, key) for fit in _fits(appraisal) for key in _criteria_of(fit, gates)]
    worst = sorted(range(len(cells)), key=lambda place: SEVERITY.index(cells[place][0].state))
    kept: dict[str, list[Reference]] = {barrel.id: [] for barrel in appraisal.barrels}
    for place in sorted(worst[:most]):
        fit, key = cells[place]
        kept[fit.barrel].append(CriterionRef(fit.barrel, fit.job, key))
    chapters = [
        Chapter(SHOTS, tuple(ShotRef(job.id) for job in appraisal.jobs)),
        Chapter(FACTORS, tuple(_factors(appraisal))),
    ]
    owners: tuple[BarrelResult | BidResult, ...] = (*appraisal.barrels, *appraisal.bids)
    claims = [one for owner in owners for one in _claims(owner)]
    claims.sort(key=lambda one: not one[1])
    printed = {reference for reference, failed in claims if failed}
    printed |= {reference for reference, _ in claims[:most]}
    for barrel in appraisal.barrels:
        judged = (reference for reference, _ in _claims(barrel) if reference in printed)
        own = (VolumeRef(barrel.id), *judged, *kept[barrel.id])
        chapters.append(Chapter(full_name(appraisal, barrel.id), own))
    of_offers = (ref for bid in appraisal.bids for ref, _ in _claims(bid) if ref in printed)
    chapters.append(Chapter(OFFERS, tuple(of_offers)))
    filled = tuple(chapter for chapter in chapters if chapter.references)
    return Workings(filled, max(0, len(cells) - most), len(claims) - len(printed))


def _claims(owner: BarrelResult | BidResult) -> Iterator[tuple[ClaimRef, bool]]:
    """Yield the claims of a barrel or an offer, and whether each failed."""
    return ((ClaimRef(owner.id, claim.key), is_failed(claim)) for claim in owner.claims)


def _fits(appraisal: Appraisal) -> Iterator[Fit]:
    for barrel in appraisal.barrels:
        for job in appraisal.jobs:
            yield appraisal.fit(barrel.id, job.id)


def _criteria_of(
    fit: Fit, gates: Collection[tuple[str, str | None, str | None]]
) -> tuple[str, ...]:
    bound = [] if fit.binding is None else [fit.binding]
    others = (
        c.key
        for c in fit.criteria
        if c.state in ("outside", "near_edge") or (fit.barrel, fit.job, c.key) in gates
    )
    return tuple(dict.fromkeys((*bound, *others)))


def _factors(appraisal: Appraisal) -> Iterator[Reference]:
    for resin in appraisal.evaluation.resins:
        yield FactorRef(resin.id)


def workings_text(workings: Workings) -> str:
    """Return what the appendix holds, and what it leaves out."""
    printed = sum(len(chapter.references) for chapter in workings.chapters)
    text = (
        f"{printed} workings: every planned shot, output factor, swept volume and claim, and "
        "for each cell the limiting criterion, those outside or near an edge and those that "
        "the gate depends on. What all workings of one kind have in common is told first, once."
    )
    if workings.left_out:
        text += (
            f" Of the cells, the worst states were kept and {workings.left_out} criteria left "
            "out; their workings can be opened in the program."
        )
    if workings.claims_left_out:
        text += f" {workings.claims_left_out} claims that did not fail were left out likewise."
    return text


def shared_notes(
    workings: Iterable[tuple[Reference, Working]],
) -> Mapping[str, tuple[str, ...]]:
    """Return by the name of each criterion and claim the notes that all its workings have."""
    notes: dict[str, list[tuple[str, ...]]] = {}
    for reference, shown in workings:
        notes.setdefault(kind_of(reference), []).append(working_notes(shown))
    found = {
        kind: tuple(note for note in every[0] if all(note in one for one in every))
        for kind, every in notes.items()
        if kind and len(every) >= _SEVERAL
    }
    return {kind: shared for kind, shared in found.items() if shared}


def kind_of(reference: Reference) -> str:
    """Return the name of the criterion or claim that a working is of, "" for any other number."""
    if isinstance(reference, CriterionRef):
        return CRITERION_WORDS[reference.criterion].label
    if isinstance(reference, ClaimRef):
        return f"Claim: {CLAIM_WORDS[reference.key].label}"
    return ""


def working_lines(working: Working) -> tuple[tuple[str, str], ...]:
    """Return the inputs of a working: label, and value with where it was stated."""
    return tuple(
        (line.label, "; ".join(part for part in (line.value, line.stated) if part) or ABSENT)
        for line in working.lines
    )


def working_notes(working: Working) -> tuple[str, ...]:
    """Return what else is said of a working: its notes, then its literature."""
    sources = f"Source: {listed(list(working.literature))}." if working.literature else ""
    return tuple(text for text in (*working.notes, sources) if text)
