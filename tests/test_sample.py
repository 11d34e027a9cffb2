"""The sample programme: what it holds, and that its traps are found for what they are."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date
from itertools import chain
from pathlib import Path

import pytest

from evenbarrel import resources
from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.results import CriterionResult
from evenbarrel.decision.decide import decide
from evenbarrel.decision.standing_by.signatures import signature_state
from evenbarrel.model.datum import quantities
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.offers.bid import Bid
from evenbarrel.report.sign_offs import results_digest_of
from evenbarrel.storage.files import parse_bid, parse_evaluation
from evenbarrel.storage.resin_table import table as resin_table

from .make_sample_quotes import BIDS
from .sample_record import with_record

EVALUATION = "irrigation-parts.evenbarrel.json"
BID_FILES = {
    "b1": "brastivel.bid.json",
    "b2": "ondrupek.bid.json",
    "b3": "quillomar.bid.json",
    "b4": "velthornax.bid.json",
    "b5": "yarvindel.bid.json",
    "b6": "own_plant.bid.json",
}
SUPPLIERS = ("Brastivel", "Ondrupek", "Quillomar", "Velthornax", "Yarvindel")
OWN_PLANT = "Own plant"
DRIPPER = "j1"
MIDDLE_WAY = "b1u1b"
"""The barrel that runs every job, the dripper and the manifold at its edges."""
SUITS_THE_OTHERS = "b1u1c"
US_UNITS = {"in", "in3", "oz", "psi", "in3/s", "in/s", "lb/h", "ft/min", "rev/min", "1"}

FOUND = [
    # Mass rated on solid density, in both screws.
    ("b2u1a", "rated_mass_basis", "contradicts", "solid_density"),
    ("b2u1b", "rated_mass_basis", "contradicts", "solid_density"),
    # psi printed under the heading bar.
    ("b4u1a", "pressure_kind", "contradicts", "psi_as_bar"),
    ("b4u1b", "pressure_kind", "contradicts", "psi_as_bar"),
    ("b4u1a", "size_number", "query", "psi_as_bar"),
    ("b4u1b", "injection_power", "query", "psi_as_bar"),
    # One volume left in in3 under the heading cm3.
    ("b4u1b", "volume_geometry", "contradicts", "in3_as_cm3"),
    # The oil's pressure quoted as the melt's.
    ("b5u1a", "pressure_kind", "query", "oil_pressure"),
    ("b5u1b", "pressure_kind", "query", "oil_pressure"),
    ("b5u1a", "drive_force", "query", "oil_pressure"),
    ("b5u1b", "drive_force", "query", "oil_pressure"),
    ("b5u1a", "size_number", "query", "oil_pressure"),
    ("b5u1b", "size_number", "query", "oil_pressure"),
    # The larger screw's volume copied to the smaller one.
    ("b5u1a", "volume_geometry", "contradicts", "neighbour_barrel"),
    # A force above what the other two screws say of their common drive: no slip explains it.
    ("b3u1c", "drive_force", "contradicts", None),
    # One pressure for two screws: nobody can tell which of them it belongs to.
    ("b2u1a", "drive_force", "query", None),
    ("b2u1b", "drive_force", "query", None),
]


@pytest.fixture(scope="module")
def evaluation() -> Evaluation:
    return parse_evaluation(resources.read_sample(EVALUATION), EVALUATION)


@pytest.fixture(scope="module")
def appraisal(evaluation: Evaluation) -> Appraisal:
    return appraise(evaluation)


def cells(appraisal: Appraisal, key: str) -> Iterator[CriterionResult]:
    for barrel in appraisal.barrels:
        for job in appraisal.jobs:
            yield criterion(appraisal, barrel.id, job.id, key)


def criterion(appraisal: Appraisal, barrel: str, job: str, key: str) -> CriterionResult:
    return next(c for c in appraisal.fit(barrel, job).criteria if c.key == key)


def bid_of(evaluation: Evaluation, name: str) -> Bid:
    return next(bid for bid in evaluation.bids if bid.id == name)


def test_nothing_but_these_files_is_shipped() -> None:
    quotes = {name for _, name in BIDS.values()}
    assert set(resources.sample_names()) == {EVALUATION, *BID_FILES.values(), *quotes}


@pytest.mark.parametrize(("name", "file"), BID_FILES.items())
def test_a_bid_file_holds_the_bid_and_the_resins_of_the_evaluation(
    evaluation: Evaluation, name: str, file: str
) -> None:
    alone = parse_bid(resources.read_sample(file), file)

    assert alone.bid() == bid_of(evaluation, name)
    for resin in alone.resins:
        assert resin == evaluation.resin(resin.id)


def test_ids_are_unique_across_the_evaluation(evaluation: Evaluation) -> None:
    ids = Counter(
        chain(
            (resin.id for resin in evaluation.resins),
            (job.id for job in evaluation.jobs),
            (bid.id for bid in evaluation.bids),
            (unit.id for bid in evaluation.bids for unit in bid.units),
            (barrel.id for _, _, barrel in evaluation.barrels()),
        )
    )
    assert [name for name, count in ids.items() if count > 1] == []


def test_the_programme_is_as_wide_as_a_real_one(evaluation: Evaluation) -> None:
    run = {job.resin: evaluation.resin(job.resin) for job in evaluation.jobs}

    assert {bid.supplier for bid in evaluation.bids} == {*SUPPLIERS, OWN_PLANT}
    assert len(list(evaluation.barrels())) >= 12
    assert len(evaluation.jobs) >= 6
    assert len(run) >= 5
    assert {resin.resin_class for resin in run.values() if resin} == {"general", "engineering"}
    assert any(resin.fillers for resin in run.values() if resin)
    assert evaluation.as_of == date(2026, 11, 2)


def test_every_printed_number_says_where_it_stands(evaluation: Evaluation) -> None:
    things = chain(
        evaluation.jobs,
        (unit for bid in evaluation.bids for unit in bid.units),
        (barrel for _, _, barrel in evaluation.barrels()),
    )
    silent = [
        (thing.id, name)
        for thing in things
        for name, _, quantity in quantities(thing)
        if not quantity.source
    ]
    assert silent == []


def test_a_proposal_is_signed_twice_once_before_it_changed(appraisal: Appraisal) -> None:
    """Where this fails after a change of what it comes to: `python tests/sample_record.py`."""
    evaluation = appraisal.evaluation
    proposal = decide(appraisal).proposal
    results = results_digest_of(appraisal)
    engineer, buyer = evaluation.sign_offs

    assert proposal is not None
    assert proposal.gate.state == "no_objection"
    assert proposal.gate.uncovered == ()
    assert proposal.present.value is not None
    assert proposal.proposal.reason
    assert signature_state(engineer, appraisal, results).holding == "changed"
    assert signature_state(buyer, appraisal, results).holding == "holds"
    assert {one.digest for one in evaluation.signed_states} == {engineer.digest, buyer.digest}
    assert with_record(evaluation) == evaluation


OWN_OF_RESINS = {("pvc_u", "abrasive"), ("pa66_gf30", "unsuited_rings")}
"""What the plant says itself: its compound of rigid PVC has chalk in it, and no ball ring lasts
in its glass-filled polyamide."""


def test_its_resins_are_those_of_the_shipped_table(evaluation: Evaluation) -> None:
    shipped = {row.resin.id: row.resin for row in resin_table()}
    for resin in evaluation.resins:
        table = shipped[resin.id]
        other = {
            name
            for name in type(resin).model_fields
            if getattr(resin, name) != getattr(table, name)
        }
        own = {name for of, name in OWN_OF_RESINS if of == resin.id}
        assert other - {"price_per_kg", "origins"} <= own, resin.id
        assert {k: v for k, v in table.origins.items() if k not in own} == resin.origins


def test_it_says_that_it_is_invented(evaluation: Evaluation) -> None:
    assert "invented" in evaluation.title
    for bid in evaluation.bids:
        assert "invented" in bid.notes.lower()


@pytest.mark.parametrize("folder", ["src", "resources"])
def test_the_program_knows_none_of_the_invented_suppliers(folder: str) -> None:
    files = [
        path
        for path in (Path(__file__).parents[1] / folder).rglob("*")
        if path.is_file() and path.suffix != ".pyc"
    ]
    naming = [
        (path.name, supplier)
        for path in files
        for supplier in SUPPLIERS
        if supplier.lower().encode() in path.read_bytes().lower()
    ]
    assert files
    assert naming == []


@pytest.mark.parametrize(("barrel", "key", "state", "cause"), FOUND)
def test_a_trap_is_found_with_its_cause(
    appraisal: Appraisal, barrel: str, key: str, state: str, cause: str | None
) -> None:
    claim = appraisal.barrel(barrel).claim(key)

    assert (claim.state, claim.cause) == (state, cause)


def test_one_pressure_for_all_screws_is_named_so(appraisal: Appraisal) -> None:
    notes = {appraisal.barrel(name).claim("drive_force").note for name in ("b2u1a", "b2u1b")}

    assert notes == {"one_pressure_for_all"}


def test_of_three_screws_only_the_one_beyond_the_drive_is_questioned(appraisal: Appraisal) -> None:
    states = [appraisal.barrel(f"b3u1{x}").claim("drive_force").state for x in "abc"]

    assert states == ["agrees", "agrees", "contradicts"]


@pytest.mark.parametrize("barrel", ["b4u1a", "b4u1b", "b4u1c"])
def test_a_mass_without_a_reference_resin_is_never_taken_as_polystyrene(
    appraisal: Appraisal, barrel: str
) -> None:
    result = appraisal.barrel(barrel)
    claim = result.claim("reference_resin")

    assert (claim.state, claim.missing) == ("not_stated", ("reference_resin",))
    assert result.claim("rated_mass_basis").state == "not_stated"
    assert result.rated_basis == "not_stated"
    assert any(q.id == "b4.reference_resin" and barrel in q.barrels for q in appraisal.questions)


def test_a_barrel_known_by_such_a_mass_alone_has_no_volume(appraisal: Appraisal) -> None:
    assert appraisal.barrel("b4u1c").swept.bound is None
    assert appraisal.barrel_states["b4u1c"] == "not_stated"


def test_a_volume_left_in_cubic_inches_is_read_as_that(appraisal: Appraisal) -> None:
    swept = appraisal.barrel("b4u1b").swept

    assert swept.unsettled
    assert "in3_as_cm3" in {reading.key for reading in swept.readings}
    # pi/4 x (4.8 cm)2 x 18.5 cm
    assert swept.bound is not None
    assert swept.bound.nominal == pytest.approx(334.77e-6, rel=1e-4)


@pytest.mark.parametrize("bid", BID_FILES)
def test_only_the_expired_offer_is_questioned_for_its_date(appraisal: Appraisal, bid: str) -> None:
    result = next(result for result in appraisal.bids if result.id == bid)
    validity = next(claim for claim in result.claims if claim.key == "validity")

    expected = {"b5": ("contradicts", "expired"), "b6": ("not_stated", None)}
    assert (validity.state, validity.note) == expected.get(bid, ("agrees", None))


@pytest.mark.parametrize("barrel", ["b1u1a", "b1u1b", "b1u1c", "b3u1a", "b3u1b", "b6u1a"])
def test_an_honest_offer_is_not_questioned(appraisal: Appraisal, barrel: str) -> None:
    failed = [c.key for c in appraisal.barrel(barrel).claims if c.state in ("query", "contradicts")]

    assert failed == []


def test_one_supplier_prints_in_us_units_throughout(evaluation: Evaluation) -> None:
    barrels = [b for unit in bid_of(evaluation, "b3").units for b in unit.barrels]
    units = {quantity.unit for barrel in barrels for _, _, quantity in quantities(barrel)}

    assert units <= US_UNITS
    assert {"in", "in3", "oz", "psi"} <= units


def test_the_pair_that_must_never_share_a_machine_is_named(
    evaluation: Evaluation, appraisal: Appraisal
) -> None:
    resins = {job.id: job.resin for job in evaluation.jobs}

    assert [{resins[one], resins[other]} for one, other in appraisal.incompatible_pairs] == [
        {"pvc_u", "pom"}
    ]


NEVER = {"inside", "near_edge"}
"""A lower bound is outside or not stated; near the edge only where readings of a size differ."""


@pytest.mark.parametrize("key", CRITERIA)
def test_every_criterion_is_shown_in_every_state_it_can_have(
    appraisal: Appraisal, key: str
) -> None:
    states = {cell.state for cell in cells(appraisal, key)}
    possible = {"inside", "near_edge", "outside", "not_stated"}

    assert states >= possible - (NEVER if key == "repeatability" else set())


def test_one_pressure_is_estimated(evaluation: Evaluation, appraisal: Appraisal) -> None:
    dripper = next(job for job in evaluation.jobs if job.id == DRIPPER)
    pressure = criterion(appraisal, MIDDLE_WAY, DRIPPER, "pressure")

    assert dripper.required_pressure is None
    assert pressure.state == "inside"
    assert pressure.unconfirmed


def test_the_barrel_that_suits_the_others_fails_the_dripper_on_its_low_side(
    appraisal: Appraisal,
) -> None:
    outside = [
        job.id
        for job in appraisal.jobs
        if appraisal.fit(SUITS_THE_OTHERS, job.id).state == "outside"
    ]
    share = criterion(appraisal, SUITS_THE_OTHERS, DRIPPER, "utilisation")

    assert outside == [DRIPPER]
    assert appraisal.fit(SUITS_THE_OTHERS, DRIPPER).binding == "utilisation"
    assert share.high is not None
    assert share.allowed_low is not None
    assert share.high < share.allowed_low


def test_two_barrels_stand_open_and_say_which(appraisal: Appraisal) -> None:
    free = [name for name, state in appraisal.gates.states.items() if state == "no_objection"]

    assert free == ["b1u1b", "b3u1b"]


def test_there_is_a_sensible_choice_among_many_that_are_not(appraisal: Appraisal) -> None:
    counts = appraisal.counts()

    assert appraisal.barrel_states[MIDDLE_WAY] == "near_edge"
    assert 1 <= counts["inside"] + counts["near_edge"] <= 4
    assert counts["outside"] >= 6
    assert counts["not_stated"] >= 1


def test_the_accepted_deviation_keeps_its_cell_outside_without_gating(
    evaluation: Evaluation, appraisal: Appraisal
) -> None:
    (deviation,) = evaluation.deviations
    fit = appraisal.fit(deviation.barrel, deviation.job or "")

    assert fit.state == "outside"
    assert fit.by_rule
    assert fit.accepted == ("utilisation",)
    assert fit.unaccepted == ()


def test_what_was_asked_and_accepted_shows_at_its_question(
    evaluation: Evaluation, appraisal: Appraisal
) -> None:
    states = {question.id: question.state for question in appraisal.questions}

    assert states["b4.reference_resin"] == "asked"
    assert states["b5.valid_until"] == "asked"
    assert states["b5.compression_ratio"] == "accepted_as_is"
    # Nobody is asked until when the plant's own machine is offered.
    assert "b6.valid_until" not in states
    answered = next(answer for answer in evaluation.answers if answer.state == "answered")
    assert answered.question not in states
