"""The tables that only the written evaluation has: cells in words, offers, questions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims.doubt import is_failed
from evenbarrel.appraisal.results import Claim, ClaimState, Fit, State
from evenbarrel.model.offers.bid import Bid
from evenbarrel.wording.paper.first_pages import jobs_text, not_assessed_text, numbers_text
from evenbarrel.wording.paper.sections import LONGEST_NAME, cut
from evenbarrel.wording.sentences.cells import (
    date_text,
    fit_sentences,
    fit_word,
    separated,
    value_text,
)
from evenbarrel.wording.sentences.claim_sentences import claim_sentence
from evenbarrel.wording.sentences.fit import fit_notes
from evenbarrel.wording.sheets.assumptions import limits_sheet, resins_sheet, uncertainty_sheet
from evenbarrel.wording.sheets.barrels import barrels_sheet
from evenbarrel.wording.sheets.claims import claims_sheet
from evenbarrel.wording.sheets.questions import missing_data_sheets
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, said_once
from evenbarrel.wording.sheets.shots import shots_sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import (
    barrel_name,
    barrel_names,
    bid_called,
    full_name,
    job_name,
    not_counted,
    supplier_name,
)
from evenbarrel.wording.words.numbers import ABSENT, DisplayUnits


def _binding_line(fit: Fit, units: DisplayUnits) -> str:
    found = fit.bound_by
    if found is None:
        return ""
    value = "" if found.value is None else f" {value_text(found, found.value, units)}"
    return CRITERION_WORDS[found.key].short + value


def _open_line(fit: Fit) -> str:
    parts = ["accepted"] if fit.accepted and not fit.unaccepted else []
    if fit.open:
        parts.append(f"{len(fit.open)} open")
    return ", ".join(parts)


def fit_lines(fit: Fit, units: DisplayUnits) -> str:
    """Return a cell of the grid in a few lines: verdict, what binds, what is open."""
    besides = ", ".join(filter(None, (_binding_line(fit, units), _open_line(fit))))
    return "\n".join(filter(None, (fit_word(fit), besides)))


def printed_fit_sheet(appraisal: Appraisal) -> Sheet:
    """Return the fit grid as it is printed: verdict, binding criterion and open ones in words."""
    units = appraisal.evaluation.display_units
    rows = []
    for barrel in appraisal.barrels:
        fits = (appraisal.fit(barrel.id, job.id) for job in appraisal.jobs)
        cells = (Cell(fit_lines(fit, units), state=fit.state) for fit in fits)
        rows.append(
            (
                Cell(supplier_name(appraisal, barrel.id)),
                Cell(barrel_name(appraisal, barrel.id)),
                *cells,
            )
        )
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        *(Heading(job_name(appraisal, job.id)) for job in appraisal.jobs),
    )
    return Sheet("fit", "Fit", headings, tuple(rows), notes=fit_notes(appraisal))


def cells_sheet(appraisal: Appraisal, barrel: str) -> Sheet:
    """Return the jobs for which a barrel is not inside, in words: those of the same words together.

    Jobs stand by the numbers they carry on the board; what is open for each stands in the title.
    Of a barrel that is shut, what does not shut it is named alone: its numbers decide nothing.
    """
    units = appraisal.evaluation.display_units
    numbers = {job.id: number for number, job in enumerate(appraisal.jobs, start=1)}
    fits = [appraisal.fit(barrel, job.id) for job in appraisal.jobs]
    always = [key for key in (fits[0].open if fits else ()) if all(key in f.open for f in fits)]
    jobs_of: dict[tuple[str, State, str], list[str]] = {}
    not_inside = [one for one in fits if one.state != "inside"]
    apart = _apart(appraisal, barrel, not_inside)
    for fit in (one for one in not_inside if all(one not in group for group in apart.values())):
        more = [key for key in fit.open if key not in always]
        sentences = [*fit_sentences(fit, units, alone=False, besides=False)[1:]]
        if more:
            sentences.append(not_assessed_text(more))
        said = (fit_word(fit), fit.state, " ".join(sentences) or ABSENT)
        jobs_of.setdefault(said, []).append(fit.job)
    for (word, state), group in apart.items():
        jobs_of[word, state, _named(group, state, numbers)] = [fit.job for fit in group]
    rows = tuple(
        (
            Cell(numbers_text(jobs, numbers)),
            Cell(word, state=state),
            Cell(words),
        )
        for (word, state, words), jobs in jobs_of.items()
    )
    headings = (Heading("Jobs"), Heading("Verdict"), Heading("Why"))
    name = full_name(appraisal, barrel)
    title = f"{name}. {not_assessed_text(always, 'for any job')}" if always else name
    return Sheet("cells", title, headings, rows)


def _apart(
    appraisal: Appraisal, barrel: str, fits: Sequence[Fit]
) -> Mapping[tuple[str, State], list[Fit]]:
    """Return the cells of a barrel that is shut by others, by state; none where it is not shut."""
    apart: dict[tuple[str, State], list[Fit]] = {}
    if appraisal.gates.states[barrel] == "shut":
        for fit in fits:
            if fit.gate != "shut" and fit.state in ("outside", "near_edge"):
                apart.setdefault((fit_word(fit), fit.state), []).append(fit)
    return apart


def _named(fits: Sequence[Fit], state: State, numbers: Mapping[str, int]) -> str:
    """Return which criteria stand so for which jobs, without their numbers."""
    jobs_of: dict[str, list[str]] = {}
    for fit in fits:
        for criterion in fit.criteria:
            if criterion.state == state:
                jobs_of.setdefault(criterion.key, []).append(fit.job)
    parts = (f"{_name(key)} in {jobs_text(jobs, numbers)}" for key, jobs in jobs_of.items())
    text = "; ".join(parts)
    return f"{text[:1].upper()}{text[1:]}."


def _name(key: str) -> str:
    return CRITERION_WORDS[key].label.lower()


def failed_claims_sheet(appraisal: Appraisal, bid: Bid) -> Sheet:
    """Return the claims of an offer that do not stand: each with both numbers and the cause."""
    units = appraisal.evaluation.display_units
    found: list[tuple[str, Claim]] = []
    for barrel in (b for b in appraisal.barrels if b.bid == bid.id):
        found += [(barrel.id, claim) for claim in barrel.claims]
    for result in (b for b in appraisal.bids if b.id == bid.id):
        found += [("", claim) for claim in result.claims]
    # What an offer lacks stands below, a datum a row.
    lacks_below = bool(missing_data_sheets(appraisal, bid.id))
    # What is said of each screw of a unit alike is said once; what is of no screw, of the offer.
    named: dict[tuple[str, ClaimState, str], list[str]] = {}
    for barrel_id, claim in found:
        if is_failed(claim) and not (lacks_below and claim.key == "completeness"):
            said = (claim.key, claim.state, claim_sentence(claim, units))
            named.setdefault(said, []).extend([barrel_id] if barrel_id else [])
    rows = tuple(
        (
            Cell(separated(barrel_names(appraisal, of)) or "Offer"),
            Cell(CLAIM_WORDS[key].label),
            Cell(labels.CLAIM_STATES[state], state=labels.STATE_OF_CLAIM[state]),
            Cell(words),
        )
        for (key, state, words), of in named.items()
    )
    headings = (Heading("Barrel"), Heading("Claim"), Heading("State"), Heading("What was found"))
    return Sheet("failed_claims", bid_called(appraisal.evaluation, bid), headings, rows)


_NAMES = frozenset({"Supplier", "Barrel", "Injection unit", "Screw", "Mould", "Job"})
_LONGEST_TITLE = 6 * LONGEST_NAME
"""Room for a barrel's name in full and for every criterion that is not assessed of it."""
_NAMED_IN_FULL: Mapping[str, frozenset[str]] = {
    "barrels": frozenset({"Injection unit", "Screw"}),
    "shots": frozenset({"Mould"}),
}
"""Which table has names in full; a supplier's stands in full above its offer."""


def with_short_names(sheet: Sheet) -> Sheet:
    """Return a sheet with names cut that stand in full elsewhere in the document."""
    whole = _NAMED_IN_FULL.get(sheet.key, frozenset())
    cut_here = [heading.title in _NAMES - whole for heading in sheet.headings]
    rows = tuple(
        tuple(
            replace(cell, text=cut(cell.text)) if short and len(cell.text) > LONGEST_NAME else cell
            for cell, short in zip(row, cut_here, strict=True)
        )
        for row in sheet.rows
    )
    return replace(sheet, title=cut(sheet.title, _LONGEST_TITLE), rows=rows)


def printed_claims_sheet(appraisal: Appraisal) -> Sheet:
    """Return the claims of every barrel, each state's word beside its mark."""
    sheet = claims_sheet(appraisal)
    return replace(sheet, headings=tuple(replace(one, align="left") for one in sheet.headings))


def printed_barrels_sheet(appraisal: Appraisal) -> Sheet:
    """Return every barrel on the common basis; how it stands is told elsewhere."""
    sheet = barrels_sheet(appraisal)
    rows = tuple(row[:-1] for row in sheet.rows)
    return replace(sheet, headings=sheet.headings[:-1], rows=rows)


def printed_resins_sheet(appraisal: Appraisal) -> Sheet:
    """Return the resins' factors by every route that has one of any resin."""
    sheet = resins_sheet(appraisal)
    kept = [
        place
        for place, heading in enumerate(sheet.headings)
        if heading.align == "left" or any(row[place].value is not None for row in sheet.rows)
    ]
    rows = tuple(tuple(row[place] for place in kept) for row in sheet.rows)
    return replace(sheet, headings=tuple(sheet.headings[place] for place in kept), rows=rows)


def printed_limits_sheet(appraisal: Appraisal) -> Sheet:
    """Return every limit with its unit behind its value: no column for that on paper."""
    sheet = limits_sheet(appraisal)
    rows = tuple(
        (name, Cell(f"{value.text} {unit.text}"), *rest) for name, value, unit, *rest in sheet.rows
    )
    narrow = replace(sheet, headings=(*sheet.headings[:2], *sheet.headings[3:]), rows=rows)
    return said_once(narrow, "Origin")


def printed_half_widths_sheet(appraisal: Appraisal) -> Sheet:
    """Return the half-widths of each kind of input, by route; an origin of all is said once."""
    sheet = said_once(uncertainty_sheet(appraisal), "Origin")
    routes: dict[tuple[str, ...], list[str]] = {}
    for name, route, width, *origin in sheet.rows:
        key = (name.text, *(cell.text for cell in origin))
        routes.setdefault(key, []).append(f"{route.text} {width.text} %")
    rows = tuple(
        (Cell(key[0]), Cell("; ".join(texts)), *map(Cell, key[1:])) for key, texts in routes.items()
    )
    first, _, _, *rest = sheet.headings
    return replace(sheet, headings=(first, Heading("Half-width by route"), *rest), rows=rows)


def printed_shots_sheet(appraisal: Appraisal) -> Sheet:
    """Return the planned jobs brought to volume, each with the number it carries on the board."""
    sheet = shots_sheet(appraisal)
    rows = (
        (Cell(str(number), float(number)), *row) for number, row in enumerate(sheet.rows, start=1)
    )
    headings = (Heading("No.", align="right"), *sheet.headings)
    return replace(sheet, headings=headings, rows=tuple(rows))


def printed_offers_sheet(appraisal: Appraisal) -> Sheet:
    """Return the offers side by side: dates and terms, and how much is missing of each."""
    rows = []
    for bid, result in zip(appraisal.evaluation.counting_bids, appraisal.bids, strict=True):
        validity, complete = result.claim("validity"), result.claim("completeness")
        rows.append(
            (
                Cell(bid_called(appraisal.evaluation, bid)),
                Cell(bid.reference or ABSENT),
                Cell(date_text(bid.date)),
                Cell(date_text(bid.valid_until)),
                Cell(
                    labels.CLAIM_STATES[validity.state],
                    state=labels.STATE_OF_CLAIM[validity.state],
                ),
                Cell(bid.delivery or ABSENT),
                Cell(
                    f"{len(complete.missing)} missing" if complete.missing else "complete",
                    state=labels.STATE_OF_CLAIM[complete.state],
                ),
                Cell(bid.payment or ABSENT),
                Cell(bid.warranty or ABSENT),
            )
        )
    headings = (
        Heading("Supplier"),
        Heading("Offer"),
        Heading("Date"),
        Heading("Valid until"),
        Heading("Validity"),
        Heading("Delivery"),
        Heading("Data"),
        Heading("Payment"),
        Heading("Warranty"),
    )
    notes = not_counted(appraisal.evaluation)
    return Sheet("offers", "Offers side by side", headings, tuple(rows), notes=notes)
