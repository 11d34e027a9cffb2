"""Claims: barrels down, claims across; and what is claimed of each offer as a whole."""

from __future__ import annotations

from dataclasses import replace

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims import KEYS
from evenbarrel.appraisal.references import (
    ClaimRef,
)
from evenbarrel.appraisal.results import (
    Claim,
)
from evenbarrel.wording.on_demand import OnDemand
from evenbarrel.wording.sentences.cells import missing_words
from evenbarrel.wording.sentences.claim_sentences import claim_sentence
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.names import barrel_name, bid_called, not_counted, supplier_name
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
)


def _claim_cell(claim: Claim, owner: str, units: DisplayUnits) -> Cell:
    return Cell(
        labels.CLAIM_STATES[claim.state],
        None if claim.gap is None else claim.gap * 100.0,
        labels.STATE_OF_CLAIM[claim.state],
        lambda: claim_sentence(claim, units),
        ClaimRef(owner, claim.key),
    )


def claims_sheet(appraisal: Appraisal) -> Sheet:
    """Return barrels down, claims across."""
    units = appraisal.evaluation.display_units
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        *(Heading(CLAIM_WORDS[key].label, align="centre") for key in KEYS),
    )

    def row(place: int) -> tuple[Cell, ...]:
        barrel = appraisal.barrels[place]
        by_key = {claim.key: claim for claim in barrel.claims}
        cells = (_claim_cell(by_key[key], barrel.id, units) for key in KEYS)
        return (
            Cell(supplier_name(appraisal, barrel.id)),
            Cell(barrel_name(appraisal, barrel.id)),
            *cells,
        )

    return Sheet("claims", "Claims", headings, OnDemand(len(appraisal.barrels), row))


def _completeness_cell(claim: Claim, owner: str, units: DisplayUnits, screws: int) -> Cell:
    text = "complete"
    if claim.missing:
        somewhere = ", for one screw at least" if screws > 1 else ""
        text = f"{len(claim.missing)} missing{somewhere}: {missing_words(claim.missing)}"
    return replace(_claim_cell(claim, owner, units), text=text)


def offers_sheet(appraisal: Appraisal) -> Sheet:
    """Return what is said of each offer as a whole."""
    units = appraisal.evaluation.display_units
    headings = (
        Heading("Supplier"),
        Heading("Offer"),
        Heading("Valid until"),
        Heading(CLAIM_WORDS["validity"].label, align="centre"),
        Heading(CLAIM_WORDS["completeness"].label),
    )
    rows = []
    for bid, result in zip(appraisal.evaluation.counting_bids, appraisal.bids, strict=True):
        by_key = {claim.key: claim for claim in result.claims}
        screws = sum(len(unit.barrels) for unit in bid.units)
        valid = ABSENT if bid.valid_until is None else bid.valid_until.isoformat()
        rows.append(
            (
                Cell(bid_called(appraisal.evaluation, bid)),
                Cell(bid.reference or ABSENT),
                Cell(valid),
                _claim_cell(by_key["validity"], bid.id, units),
                _completeness_cell(by_key["completeness"], bid.id, units, screws),
            )
        )
    notes = not_counted(appraisal.evaluation)
    return Sheet("offers", "Offers", headings, tuple(rows), notes=notes)
