"""Signatures in words: whether each still holds, and what changed since it was given."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import State
from evenbarrel.decision.standing_by.signatures import (
    ChangedCell,
    Holding,
    SignatureState,
    signature_state,
)
from evenbarrel.model.record.decision import Role, SignedCell, SignOff
from evenbarrel.model.states.digest import signed_state
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.sentences.cells import date_text, state_word
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, without_columns
from evenbarrel.wording.standing_by.changed import MOST_LISTED, change_lines
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import ABSENT, signed_percent

RECORD_ONLY = (
    "A signature here is a record of who agreed to what, bound to the digest of what was entered. "
    "It is not a cryptographic signature: it proves neither the person nor the date."
)
STATEMENTS: Mapping[Role, str] = {
    "purchase": (
        "Prices and terms are as the suppliers stated them; I know what they left out, the "
        "open questions and the claims in doubt. I stand by the proposal as it is recorded "
        "here."
    ),
    "process_engineering": (
        "The planned shots, the resin data and the limits are what we run. I have read what "
        "limits the proposed machines and what they wait for, and stand by the deviations "
        "accepted."
    ),
    "maintenance": (
        "We can keep these machines running: access, spare parts, screws and inspections "
        "meet our needs."
    ),
    "safety": (
        "I have read the cautions and which resins must never meet on one machine; trained "
        "people and the guards that the standards require will be in place."
    ),
}
"""What each role answers for; shown before it signs, and may be worded otherwise."""
NOT_KEPT = "the signed state was not kept: what changed since cannot be listed"
CELLS_AS_SIGNED = (
    "no verdict or margin of a cell is other than signed; other numbers of the results differ"
)
SINCE = "Changed since"
_LONGEST_NAME = 60
_HOLDING: dict[Holding, str] = {
    "holds": "holds",
    "changed": "stale: the evaluation changed since",
    "computed_otherwise": "stale: this version of the program computes different results",
}


def signature_word(standing: SignatureState) -> str:
    """Return whether a signature still holds, in words."""
    return _HOLDING[standing.holding]


def since_lines(one: SignOff, standing: SignatureState, appraisal: Appraisal) -> tuple[str, ...]:
    """Return what changed since a signature was given, one line each; none where it holds."""
    if standing.holding == "holds":
        return ()
    if not standing.kept:
        return (NOT_KEPT,)
    if standing.holding == "changed":
        digest = (one.carried or one).digest
        evaluation = appraisal.evaluation
        signed = {state.digest: state.evaluation for state in evaluation.signed_states}
        return change_lines(standing.fields, signed[digest], signed_state(evaluation).evaluation)
    if not standing.cells:
        return (CELLS_AS_SIGNED,)
    lines = tuple(_cell_line(cell, appraisal) for cell in standing.cells[:MOST_LISTED])
    rest = len(standing.cells) - len(lines)
    return (*lines, f"and {rest} more") if rest else lines


def _cell_line(cell: ChangedCell, appraisal: Appraisal) -> str:
    where = f"{full_name(appraisal, cell.barrel)}, {job_name(appraisal, cell.job)}"
    return f"{where}: {cell_words(cell.signed)} → {cell_words(cell.now)}"


def cell_words(cell: SignedCell | None, word: str = "") -> str:
    """Return the result of a cell: its state, what binds and by what margin.

    `word` says its state where more than what was signed is known of it.
    """
    if cell is None:
        return ABSENT
    binding = "" if cell.binding is None else f", {CRITERION_WORDS[cell.binding].short}"
    margin = "" if cell.margin is None else f", margin {signed_percent(cell.margin)}"
    return f"{word or _WORDS.get(cell.state, cell.state)}{binding}{margin}"


_WORDS: Mapping[str, str] = {state: state_word(state) for state in labels.STATES}


def sign_offs_sheet(appraisal: Appraisal, results_digest: str) -> Sheet:
    """Return the signatures, each with whether it still holds and, line by line, what changed.

    Of a masked evaluation they are judged under what was signed; what changed is not told.
    """
    titles = ("Status", "Role", "Person", "Date")
    yielding = {"Statement": 1, "Conditions": 1, SINCE: 2, "Digest": 3, "Version": 3}
    headings = (
        *map(Heading, titles),
        *(Heading(title, yields=place) for title, place in yielding.items()),
    )
    rows = tuple(_row(one, state, appraisal) for one, state in _judged(appraisal, results_digest))
    return Sheet("sign_offs", "Signatures", headings, rows, notes=(RECORD_ONLY,))


def printed_sign_offs_sheet(appraisal: Appraisal, results_digest: str) -> Sheet:
    """Return the signatures without what changed since: on paper that stands below them."""
    return without_columns(sign_offs_sheet(appraisal, results_digest), frozenset({SINCE}))


def changed_since(
    appraisal: Appraisal, results_digest: str
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return for each signature that is stale, who gave it when, and what changed since."""
    if appraisal.masks is not None:
        return ()
    sentences = (
        (f"{SINCE}: {_signer(one)}", since_lines(one, state, appraisal))
        for one, state in _judged(appraisal, results_digest)
    )
    return tuple((title, lines) for title, lines in sentences if lines)


def _judged(appraisal: Appraisal, results_digest: str) -> Iterator[tuple[SignOff, SignatureState]]:
    """Yield each signature with its state under what was signed."""
    signed = appraisal.unmasked
    pairs = zip(appraisal.evaluation.sign_offs, signed.evaluation.sign_offs, strict=True)
    return ((one, signature_state(own, signed, results_digest)) for one, own in pairs)


def _signer(one: SignOff) -> str:
    who = f"{labels.choice(one.role)}, {fitted(one.person or 'not named', _LONGEST_NAME, len)}"
    day = "" if one.date is None else f", {date_text(one.date)}"
    return f"{who}{day}"


def _row(one: SignOff, standing: SignatureState, appraisal: Appraisal) -> tuple[Cell, ...]:
    lines = since_lines(one, standing, appraisal) if appraisal.masks is None else ()
    since = "\n".join(lines)
    state: State = "inside" if standing.holding == "holds" else "near_edge"
    return (
        Cell(signature_word(standing), state=state, tip=since),
        Cell(labels.choice(one.role)),
        Cell(one.person or ABSENT),
        Cell(date_text(one.date)),
        Cell(one.statement or ABSENT, tip=one.statement),
        Cell(one.conditions or ABSENT, tip=one.conditions),
        Cell(since or ABSENT, tip=since),
        Cell(one.digest[:12] or ABSENT, tip=one.digest),
        Cell(one.program_version or ABSENT),
    )


def signature_text(appraisal: Appraisal, place: int, results_digest: str) -> str:
    """Return one signature in full: what was stated, on which condition, of what, and what changed.

    It tells all that the table of signatures has no room for.
    """
    one = appraisal.evaluation.sign_offs[place]
    standing = signature_state(one, appraisal, results_digest)
    who = ", ".join(part for part in (labels.choice(one.role), one.person) if part)
    lines = [f"{who[:1].upper()}{who[1:]}: {signature_word(standing)}."]
    if one.statement:
        lines.append(f"Stated: {one.statement}")
    if one.conditions:
        lines.append(f"On condition: {one.conditions}")
    lines.append(f"Signed: digest {one.digest[:12]}, version {one.program_version or 'not known'}.")
    since = since_lines(one, standing, appraisal)
    if since:
        lines += [f"{SINCE}:", *(f"    {line}" for line in since)]
    return "\n".join(lines)


def signed_lines(appraisal: Appraisal, results_digest: str, most: int) -> tuple[str, ...]:
    """Return who signed and whether that holds, stale ones first; beyond `most` their number."""
    found = sorted(_judged(appraisal, results_digest), key=lambda pair: pair[1].holding == "holds")
    lines = []
    for one, standing in found[:most]:
        who = _signer(one)
        lines.append(f"{who[:1].upper()}{who[1:]}: {signature_word(standing)}.")
    if len(found) > most:
        stale = sum(standing.holding != "holds" for _, standing in found[most:])
        lines.append(f"{len(found) - most} more, of which {stale} are stale.")
    return tuple(lines)
