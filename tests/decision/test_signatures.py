"""Signatures: what changed since each was given is listed, field by field or cell by cell."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as some

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.decision.standing_by.changed import changed_fields
from evenbarrel.decision.standing_by.signatures import signature_state
from evenbarrel.model import changes
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.sign_offs import results_digest_of, signed
from evenbarrel.storage.files import evaluation_bytes, parse_evaluation
from evenbarrel.wording.standing_by.signatures import (
    CELLS_AS_SIGNED,
    NOT_KEPT,
    RECORD_ONLY,
    changed_since,
    printed_sign_offs_sheet,
    sign_offs_sheet,
    signature_text,
)
from evenbarrel.wording.words.names import screw_called, unit_called

BY = {"role": "purchase", "person": "M. Ardell", "date": date(2026, 11, 3)}


@pytest.fixture(scope="module")
def small(decided, make_bid):
    jobs = ({"name": "Lid"}, {"name": "Crate"})
    return decided(make_bid("a"), make_bid("b"), jobs=jobs).appraisal


@pytest.fixture(scope="module")
def under(small) -> Evaluation:
    """An evaluation under which a buyer has put a name."""
    return signed(small, BY)


def _since(evaluation: Evaluation) -> list[str]:
    """Whose signatures hold no longer, and what changed since."""
    appraisal = appraise(evaluation)
    sheet = sign_offs_sheet(appraisal, results_digest_of(appraisal))
    shown = [[cell.text.replace("\n", "; ") for cell in row] for row in sheet.rows]
    return [
        f"{role.capitalize()}, {person}, {day}: {standing}: {since}."
        for standing, role, person, day, _, _, since, *_ in shown
        if standing != "holds"
    ]


def test_a_signature_holds_until_something_is_edited_and_again_once_it_is_undone(under) -> None:
    assert _since(under) == []
    mass = edits.get(under, ("jobs", "j0", "shot_mass"))
    heavier = edits.put(under, ("jobs", "j0", "shot_mass"), mass.replace(magnitude="171"))
    (line,) = _since(heavier)
    assert line == (
        "Purchasing, M. Ardell, 2026-11-03: stale: the evaluation changed since: "
        "Lid, shot mass: 160 g → 171 g."
    )
    assert _since(edits.put(heavier, ("jobs", "j0", "shot_mass"), mass)) == []


def test_what_a_proposal_became_is_told_by_names(under) -> None:
    jobs = {"aa": ["j0"], "ba": ["j1"]}
    told = "; ".join(_since(changes.with_proposal(under, jobs, "Two it is", "M. Ardell", None)))
    names = [
        f"{unit_called(bid, unit)} {screw_called(unit, b)}" for bid, unit, b in under.barrels()
    ]
    assert f"proposal, Lid, {names[0]}: new" in told
    assert f"proposal, Crate, {names[1]}: new" in told


def test_what_the_role_answers_for_is_listed_first_and_what_is_new_or_gone_is_said(under) -> None:
    price = edits.get(under, ("bids", "b", "units", "bu", "price"))
    changed = edits.put(
        changes.without_job(under, "j1"),
        ("bids", "b", "units", "bu", "price"),
        price.replace(amount="99000"),
    )
    changed = edits.append(changed, ("jobs",), changes.new_job(changed).replace(name="Bowl"))
    (line,) = _since(changed.replace(title="Second round"))
    told = line.partition("changed since: ")[2]
    assert told.startswith("b, Injection unit 1, machine price: EUR 100000 → EUR 99000; ")
    assert "Crate: gone" in told
    assert "Bowl: new" in told
    assert "title: – → Second round" in told


def test_limits_costs_and_half_widths_are_told_by_their_labels(under) -> None:
    changed = under.replace(
        limits=under.limits.replace(general_high=0.7),
        cost=under.cost.replace(discount_rate=0.08),
        uncertainty=under.uncertainty.replace(output_factor=0.02),
    )
    (line,) = _since(changed)
    assert "0.8 → 0.7" in line
    assert "cost, discount rate: 0.07 → 0.08" in line
    assert "half-width: output factor: – → 0.02" in line


def test_without_what_was_signed_only_that_it_differs_is_said(under) -> None:
    forgotten = under.replace(signed_states=(), title="Another")
    (line,) = _since(forgotten)
    assert line.endswith(f"{NOT_KEPT}.")


def test_where_only_results_differ_the_cells_are_listed(under) -> None:
    state = under.signed_states[0]
    assert {(cell.barrel, cell.job) for cell in state.cells} == {
        (barrel, job) for barrel in ("aa", "ba") for job in ("j0", "j1")
    }
    cells = (state.cells[0].replace(state="outside", binding="recovery"), *state.cells[1:])
    one = under.sign_offs[0].replace(results_digest="0" * 64)
    otherwise = under.replace(sign_offs=(one,), signed_states=(state.replace(cells=cells),))
    appraisal = appraise(otherwise)
    standing = signature_state(one, appraisal, results_digest_of(appraisal))
    assert standing.holding == "computed_otherwise"
    assert [(cell.barrel, cell.job) for cell in standing.cells] == [("aa", "j0")]
    (line,) = _since(otherwise)
    assert "this version of the program computes different results: a, bu" not in line
    assert "Lid: outside, recovery" in line
    told = signature_text(appraisal, 0, results_digest_of(appraisal))
    assert f"digest {one.digest[:12]}, version {one.program_version}." in told
    (line,) = _since(otherwise.replace(signed_states=(state,)))
    assert line.endswith(f"computes different results: {CELLS_AS_SIGNED}.")


def test_what_is_signed_goes_through_the_file_and_the_sheet_says_what_it_is_not(under) -> None:
    again = parse_evaluation(evaluation_bytes(under), "signed.evenbarrel.json")
    assert again == under
    appraisal = appraise(again.replace(title="Another"))
    sheet = sign_offs_sheet(appraisal, results_digest_of(appraisal))
    assert sheet.notes == (RECORD_ONLY,)
    assert "not a cryptographic signature" in RECORD_ONLY
    since = [heading.title for heading in sheet.headings].index("Changed since")
    assert sheet.rows[0][since].text == "title: – → Another"
    on_paper = printed_sign_offs_sheet(appraisal, results_digest_of(appraisal))
    assert "Changed since" not in [heading.title for heading in on_paper.headings]
    ((title, lines),) = changed_since(appraisal, results_digest_of(appraisal))
    assert title == "Changed since: purchasing, M. Ardell, 2026-11-03"
    assert lines == ("title: – → Another",)
    assert changed_since(appraise(again), results_digest_of(appraise(again))) == ()


leaves = some.one_of(some.integers(0, 3), some.sampled_from(["x", "y"]))
entries = some.dictionaries(
    some.sampled_from(["id", "name", "mass"]), leaves, min_size=1, max_size=3
)
states = some.dictionaries(
    some.sampled_from(["jobs", "bids", "cost"]),
    some.one_of(leaves, entries, some.lists(entries, min_size=1, max_size=3)),
    max_size=3,
)


@given(states, states)
def test_nothing_is_found_changed_exactly_where_both_are_equal(old, new) -> None:
    """By the canonical form, in which nothing empty stands."""
    found = changed_fields(old, new)
    assert bool(found) == (old != new)
    assert all(one.old != one.new for one in found)
