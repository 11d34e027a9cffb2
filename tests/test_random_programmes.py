"""Whole random evaluations, usual and absurd: whatever a file may hold is judged, told, kept."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from math import isfinite
from typing import Any
from unittest.mock import patch

import jsonschema
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel
from pypdf import PdfReader

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.gate_results import GATES
from evenbarrel.appraisal.references import (
    ClaimRef,
    CriterionRef,
    FactorRef,
    Reference,
    ShotRef,
    VolumeRef,
)
from evenbarrel.appraisal.results import CriterionResult
from evenbarrel.appraisal.verdicts import assessments
from evenbarrel.appraisal.verdicts.cell import HAZARDS
from evenbarrel.decision.decide import decide
from evenbarrel.entry.shapes import Shape, shapes_of
from evenbarrel.model.datum import Datum, data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.offers.barrel import READINGS_BY_ROUTE
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.resin import OutputFactors, ResidenceLimit, Resin
from evenbarrel.report.pdf import render_pdf
from evenbarrel.report.results_file import results_digest, results_of, to_json
from evenbarrel.report.results_shapes import Results
from evenbarrel.report.workbook.book import render_workbook
from evenbarrel.storage.files import evaluation_bytes, parse_evaluation
from evenbarrel.units import from_si
from evenbarrel.wording.sentences.asking.questions import question_texts
from evenbarrel.wording.sentences.summary import summary_text
from evenbarrel.wording.workings.working import working

from .test_letters import check_letters

SCHEMA = jsonschema.validators.validator_for({})(Results.model_json_schema())
RESINS = ("ps", "PS", "pp")
TEXTS = st.sampled_from(
    (
        "",
        "A",
        "<b>&amp;</b>",
        "=1+1",
        "@SUM(A1)",
        "../../etc",
        "אב\u202e",
        "e\u0301",
        "\0\x07",
        "x" * 90,
    )
)
SHARES = st.sampled_from((0, 0.05, 0.3, 1)) | st.floats(0.0, 1.0)


@st.composite
def magnitudes(draw: st.DrawFn, datum: Datum, unit: str) -> str:
    """Draw digits: mostly in the usual range, now and then as far off as a file may hold."""
    if draw(st.integers(0, 5)) == 0:
        power = draw(st.sampled_from((-14, -8, -3, 0, 3, 8, 14)))
        text = "1" + "0" * power if power >= 0 else "0." + "0" * (-power - 1) + "1"
        return text if datum.problem(text, unit) is None else "1"
    low, high = datum.low or 1e-3, datum.high or 1e3
    share = draw(st.integers(0, 12)) / 12
    value = from_si(low * (high / low) ** share, unit, datum.kind_of(unit))
    text = f"{value:.{draw(st.integers(0, 6))}f}"
    return text if datum.problem(text, unit) is None else f"{value:.15f}"


@st.composite
def quantities(draw: st.DrawFn, datum: Datum) -> dict[str, Any]:
    """Draw a number of a datum, in any of its units."""
    unit = draw(st.sampled_from(datum.units))
    return {
        "magnitude": draw(magnitudes(datum, unit)),
        "unit": unit,
        "standing": draw(st.sampled_from(("quoted", "measured", "assumed"))),
        "half_width": draw(st.sampled_from((None, None, 0.0, 0.02, 1.0))),
        "note": draw(TEXTS),
    }


MONEY = st.fixed_dictionaries(
    {
        "amount": st.sampled_from(("0", "-1", "185000.00", "9" * 30, "0." + "0" * 29 + "1")),
        "currency": st.sampled_from(("EUR", "USD")),
    }
)


def values(shape: Shape) -> st.SearchStrategy[Any]:
    """Return what a file may hold in a field of that shape."""
    kind = shape.kind
    if kind == "quantity":
        return quantities(shape.datum)
    if kind == "integer":
        low, high = shape.low or 0, shape.high or 10**15
        return st.sampled_from((low, low + 1, high))
    return {
        "text": TEXTS,
        "currency": st.sampled_from(("EUR", "JPY")),
        "choice": st.sampled_from(shape.choices or ("",)),
        "share": SHARES,
        "date": st.sampled_from(("0001-01-01", "2026-03-02", "9999-12-31")),
        "money": MONEY,
        "resin": st.sampled_from(RESINS),
        "marks": st.lists(st.sampled_from(("halogenated", "acetal", "<x>")), max_size=2),
        "nested": NESTED.get(shape.name, st.none()),
    }[kind]


NESTED = {
    "zones": st.fixed_dictionaries({"feed": SHARES, "compression": SHARES, "metering": SHARES}),
    "fillers": st.lists(
        st.fixed_dictionaries(
            {
                "name": TEXTS,
                "mass_share": st.floats(0.0, 0.5),
                "density": quantities(data_of(Resin)["solid_density"]),
            }
        ),
        max_size=2,
    ),
    "residence_limits": st.lists(
        st.fixed_dictionaries(
            {name: quantities(datum) for name, datum in data_of(ResidenceLimit).items()}
        ),
        max_size=3,
    ),
}


def things(model: type[BaseModel], **more: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Return things of a model: every described field stated or left out."""
    optional = {name: values(shape) for name, shape in shapes_of(model).items()}
    return st.fixed_dictionaries({}, optional=optional | more)


TAIT = st.fixed_dictionaries(
    {
        "form": st.sampled_from(("exponential", "exponential_kelvin", "power_kelvin")),
        "coefficients": st.lists(st.floats(-1e9, 1e9), min_size=4, max_size=4),
    }
)
POWER_LAW = st.fixed_dictionaries(
    {
        "k": st.floats(1e-9, 1e9),
        "n": st.floats(0.01, 1.5),
        "temperature": quantities(data_of(Resin)["melt_temperature"]),
        "temperature_coefficient": st.none() | st.floats(0.0, 10.0),
    }
)
SETTLED = st.sampled_from(
    [
        {"route": route, "reading": key, "reason": "seen"}
        for route, keys in READINGS_BY_ROUTE.items()
        for key in (None, *keys)
    ]
)

# Made once: what is drawn from is looked through before it is drawn from the first time.
RESIN = things(
    Resin, output_factors=things(OutputFactors), tait=st.none() | TAIT, power_law=POWER_LAW
)
JOB, BID, UNIT = things(Job), things(Bid), things(InjectionUnit)
BARREL = things(Barrel, settled=st.none() | SETTLED)
WHOLE = things(Evaluation)


@st.composite
def evaluations(draw: st.DrawFn, least: int = 0) -> Evaluation:
    """Draw a whole evaluation with decisions: jobs, suppliers and barrels of each, up to three."""
    some = st.integers(least, 3)
    resins = [{**draw(RESIN), "id": name} for name in RESINS]
    jobs = [{**draw(JOB), "id": f"j{n}"} for n in range(draw(some))]
    barrels: list[str] = []
    bids = []
    for bid in range(draw(some)):
        unit = {**draw(UNIT), "id": f"u{bid}", "barrels": []}
        for _ in range(draw(some)):
            # Ids that differ in case alone are two.
            barrels.append(f"{'bB'[len(barrels) % 2]}{len(barrels) // 2}")
            barrel = draw(BARREL)
            unit["barrels"].append({**barrel, "id": barrels[-1]})
        chain = {
            "revises": f"o{bid - 1}" if bid and draw(st.integers(0, 2)) == 0 else None,
            "withdrawn": draw(st.sampled_from((None, None, None, True))),
        }
        bids.append({**draw(BID), "id": f"o{bid}", "units": [unit], **chain})
    whole: dict[str, Any] = {"resins": resins, "jobs": jobs, "bids": bids}
    whole |= draw(WHOLE)
    whole["display_units"] = draw(st.sampled_from(("metric", "us")))
    whole["limits"] = draw(st.sampled_from(LIMITS))
    whole["uncertainty"] = draw(st.sampled_from(UNCERTAINTIES))
    if barrels:
        job = draw(st.sampled_from([None, *(one["id"] for one in jobs)]))
        criterion = draw(st.sampled_from(CRITERIA))
        deviation = {"barrel": barrels[0], "job": job, "criterion": criterion}
        refused = draw(st.sampled_from((None, True)))
        whole["deviations"] = [deviation | {"refused": refused}]
        pinned = [one["id"] for one in jobs if draw(st.booleans())]
        whole["assignment"] = [
            {"job": job, "barrel": draw(st.sampled_from(barrels)), "copy": 1} for job in pinned
        ]
        if draw(st.booleans()):
            whole["proposal"] = {"barrels": [draw(st.sampled_from(barrels))]}
    return Evaluation.model_validate_json(json.dumps(whole))


LIMITS: tuple[dict[str, Any], ...] = (
    {},
    {"required": ["pressure", "residence", "wear"]},
    {"stroke_low": 1e-9, "stroke_high": 1e9, "ring_share": 1e-12},
    {"general_low": 1e-9, "general_high": 2e-9, "recovery_share": 1e9},
)
UNCERTAINTIES: tuple[dict[str, Any], ...] = (
    {},
    {name: 0 for name in ("output_factor", "part_mass", "melt_inventory")},
    {name: 1 for name in ("output_factor", "part_mass", "cycle_time", "cooling_window")},
)

several = settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


def numbers(thing: Any) -> Iterator[float]:
    """Yield every number in published data."""
    if isinstance(thing, float):
        yield thing
    elif isinstance(thing, dict):
        for part in thing.values():
            yield from numbers(part)
    elif isinstance(thing, list):
        for part in thing:
            yield from numbers(part)


def references(appraisal: Appraisal) -> Iterator[Reference]:
    """Yield every reference there is."""
    for barrel in appraisal.barrels:
        yield VolumeRef(barrel.id)
        yield from (ClaimRef(barrel.id, claim.key) for claim in barrel.claims)
        for job in appraisal.jobs:
            yield from (CriterionRef(barrel.id, job.id, key) for key in CRITERIA)
    yield from (ClaimRef(bid.id, claim.key) for bid in appraisal.bids for claim in bid.claims)
    yield from (ShotRef(job.id) for job in appraisal.jobs)
    yield from (
        FactorRef(resin.id) for resin in appraisal.resins.values() for route in resin.routes
    )


@several
@given(evaluation=evaluations(), only_new=st.booleans())
def test_any_evaluation_is_appraised_told_and_kept(evaluation: Evaluation, only_new: bool) -> None:
    """One drawn programme, every check: drawing it costs more than holding it to them."""
    appraisal = appraise(evaluation)
    check_results(appraisal)
    check_intervals(appraisal)
    check_gates(appraisal)
    check_workings(appraisal)
    check_parts(appraisal)
    check_letters(evaluation, only_new)
    assert parse_evaluation(evaluation_bytes(evaluation), "random.evenbarrel.json") == evaluation


def check_results(appraisal: Appraisal) -> None:
    """Hold the results file against its schema; every number in it is finite."""
    decision = decide(appraisal)
    results = results_of(appraisal, question_texts(appraisal), decision)
    published = json.loads(to_json(results))
    SCHEMA.validate(published)
    assert all(isfinite(number) for number in numbers(published))
    assert len(results_digest(results)) == 64
    assert summary_text(appraisal, decision)


def check_parts(appraisal: Appraisal) -> None:
    """Hold every cell against that of an appraisal which takes one barrel after the other."""
    with patch.object(assessments, "CELLS_AT_ONCE", 1):
        in_parts = appraise(appraisal.evaluation)
    for barrel in appraisal.barrels:
        for job in appraisal.jobs:
            assert in_parts.fit(barrel.id, job.id) == appraisal.fit(barrel.id, job.id)


def check_intervals(appraisal: Appraisal) -> None:
    """Hold every swept volume and criterion against its own interval, and what overheats."""
    cautions = set()
    for barrel in appraisal.barrels:
        bound = barrel.swept.bound
        if bound is not None:
            assert 0.0 <= bound.low <= bound.nominal <= bound.high
        for job in appraisal.jobs:
            for criterion in appraisal.fit(barrel.id, job.id).criteria:
                check_criterion(criterion)
                cautions.add(criterion.caution)
    hot = tuple(group for group in HAZARDS if f"overheated_{group}" in cautions)
    assert appraisal.grid.overheated == hot


def check_criterion(criterion: CriterionResult) -> None:
    """Hold one criterion's state against its interval and edges: its value lies in its own."""
    value, low, high = criterion.value, criterion.low, criterion.high
    if value is None or low is None or high is None:
        return
    slack = 1e-9
    assert low <= value * (1 + slack)
    assert value <= high * (1 + slack)
    least, most = criterion.allowed_low, criterion.allowed_high
    beyond = (most is not None and low > most * (1 + 2 * slack)) or (
        least is not None and high < least * (1 - 2 * slack)
    )
    within = (most is None or high <= most * (1 + 2 * slack)) and (
        least is None or low >= least * (1 - 2 * slack)
    )
    if criterion.state == "inside":
        assert within
    if criterion.state == "outside":
        assert beyond or criterion.basis == "physical" or not within
    if criterion.state == "near_edge":
        assert not beyond or criterion.unconfirmed or "disputed" in criterion.reasons


def check_gates(appraisal: Appraisal) -> None:
    """Hold each gate against its reasons, its cells, and the arrays it was made with."""
    for job in appraisal.jobs:
        alone = [appraisal.gates.cell(barrel.id, job.id) for barrel in appraisal.barrels]
        counts = appraisal.gates.counts_of(job.id)
        assert counts == {state: alone.count(state) for state in (*GATES, None)}
    for name, state in appraisal.gates.states.items():
        gate = appraisal.gate(name)
        assert gate.state == state
        assert (state is None) == (not gate.jobs or not appraisal.barrel(name).applies)
        assert (state == "no_objection") == (state is not None and not gate.reasons)
        assert all(reason.shuts == (state == "shut") for reason in gate.reasons)
        assert set(gate.stopped_jobs) <= set(gate.jobs)
        fits = [appraisal.fit(name, job) for job in gate.jobs]
        assert gate.not_assessed == sum(len(fit.open) for fit in fits)
        alone = [fit.gate for fit in fits]
        assert alone == [appraisal.gates.over(name, [job]).state for job in gate.jobs]
        together = any(reason.kind == "incompatible" for reason in gate.reasons)
        if state is not None and not together:
            assert state == min(alone, key=GATES.index)


def check_workings(appraisal: Appraisal) -> None:
    """Open every number there is, and every number its working leads to."""
    for reference in references(appraisal):
        opened = working(appraisal, reference)
        assert opened.title
        assert "nan" not in opened.result
        for line in opened.lines:
            assert line.reference is None or working(appraisal, line.reference)


@settings(several, max_examples=4)
@given(evaluation=evaluations())
def test_any_evaluation_is_printed(evaluation: Evaluation) -> None:
    appraisal = appraise(evaluation)
    assert PdfReader(io.BytesIO(render_pdf(appraisal))).pages
    assert render_workbook(appraisal).startswith(b"PK")
