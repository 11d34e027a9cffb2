from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from evenbarrel.model.cost import Cost, CostLine
from evenbarrel.model.datum import Datum, data_of
from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import LimitEntry, Limits, Uncertainty
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit, Settled, Zones
from evenbarrel.model.quantity import Money, Place, Quantity
from evenbarrel.model.record.decision import Assignment, Deviation, SignOff
from evenbarrel.model.resin import OutputFactors, Resin
from evenbarrel.model.states.digest import digest
from evenbarrel.storage.files import (
    evaluation_bytes,
    parse_evaluation,
    read_bid,
    read_evaluation,
    write_bid,
    write_evaluation,
)
from evenbarrel.storage.versions import CURRENT

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
magnitudes = st.from_regex(r"(0|[1-9][0-9]{0,5})\.[0-9]{0,3}[1-9]|[1-9][0-9]{0,6}", fullmatch=True)
standings = st.sampled_from(["quoted", "confirmed", "measured", "assumed"])
shares = st.floats(0.0, 1.0)
dates = st.none() | st.dates()
places = st.none() | st.builds(
    Place,
    document=st.just("quote"),
    page=st.integers(1, 2000),
    box=st.none() | st.tuples(*[st.floats(0.0, 1e4)] * 4),
)
moneys = st.builds(
    Money,
    amount=magnitudes | magnitudes.map("-".__add__),
    currency=st.from_regex(r"[A-Z]{3}", fullmatch=True),
    source=texts,
    standing=standings,
    place=places,
)
counts = {
    "annual_quantity": (0, 10**9),
    "batches_per_year": (0, 10**6),
    "cavities": (1, 1024),
    "moulds": (1, 1000),
    "owned_copies": (0, 1000),
}
RESINS = ("r0", "r1")


def quantities(datum: Datum) -> st.SearchStrategy[Quantity]:
    return st.builds(
        Quantity,
        magnitude=magnitudes,
        unit=st.sampled_from(datum.units),
        source=texts,
        standing=standings,
        half_width=st.none() | shares,
        note=texts,
        place=places,
    )


def described(name: str, datum: Datum, annotation: Any) -> st.SearchStrategy[Any]:
    options = get_args(annotation) or (annotation,)
    if name in ("resin", "reference_resin", "plasticising_resin"):
        return st.sampled_from((*RESINS, None))
    if datum.kinds:
        return quantities(datum)
    if get_origin(annotation) is tuple:
        return st.lists(texts, max_size=2).map(tuple)
    literal = next((one for one in options if get_origin(one) is Literal), None)
    if annotation is str or literal is not None:
        return texts if literal is None else st.sampled_from(get_args(literal))
    if Money in options:
        return moneys
    if date in options:
        return st.dates()
    if "int" in str(annotation):
        return st.integers(*counts.get(name, (1990, 2100)))
    return shares if "float" in str(annotation) else st.just("EUR")


def things(model: type[BaseModel], **fixed: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    optional = {
        name: described(name, datum, model.model_fields[name].annotation)
        for name, datum in data_of(model).items()
        if name not in fixed
    }
    return st.fixed_dictionaries(fixed, optional=optional).map(lambda fields: model(**fields))


settleds = st.builds(
    Settled, route=st.sampled_from(["geometry", "quoted"]), reason=texts, date=dates
)
factors = things(OutputFactors)
limits = st.builds(
    Limits,
    general_low=st.floats(0.01, 0.3) | st.builds(LimitEntry, value=st.just(0.25), note=texts),
    ring_share=st.floats(0.01, 1.0),
    required=st.lists(st.sampled_from(["pressure", "rate"]), max_size=2).map(tuple),
)
uncertainties = st.builds(
    Uncertainty,
    output_factor=st.none()
    | shares
    | st.dictionaries(st.sampled_from(["own", "air_shot"]), shares),
)
lines = st.builds(
    CostLine,
    kind=texts,
    amount=moneys,
    year=st.none() | st.integers(0, 60),
    growth=st.floats(-1, 1),
)
costs = st.builds(
    Cost,
    # A rate of one is refused.
    discount_rate=st.none() | st.floats(-0.5, 0.5),
    lines=st.lists(lines, max_size=2).map(tuple),
)
sign_offs = st.builds(
    SignOff,
    role=st.sampled_from(["purchase", "process_engineering", "maintenance", "safety"]),
    person=texts,
    date=dates,
    statement=texts,
)


def bids(number: int) -> st.SearchStrategy[Bid]:
    zones = st.none() | st.just(Zones(feed=0.5, compression=0.25, metering=0.25))
    barrels = [
        things(
            Barrel, id=st.just(f"b{number}u1{letter}"), settled=st.none() | settleds, zones=zones
        )
        for letter in "ab"
    ]
    units = things(InjectionUnit, id=st.just(f"b{number}u1"), barrels=st.tuples(*barrels))
    return things(Bid, id=st.just(f"b{number}"), units=st.tuples(units))


# Made once: what is drawn from is dearer to make than to draw from.
evaluations = st.builds(
    Evaluation,
    title=texts,
    buyer=texts,
    as_of=dates,
    currency=st.sampled_from(["EUR", "CHF"]),
    display_units=st.sampled_from(["metric", "us"]),
    resins=st.tuples(*(things(Resin, id=st.just(name), output_factors=factors) for name in RESINS)),
    jobs=st.tuples(things(Job, id=st.just("j1"))),
    bids=st.tuples(bids(0)) | st.tuples(bids(0), bids(1)),
    limits=st.just(Limits()) | limits,
    uncertainty=uncertainties,
    cost=costs,
    deviations=st.tuples(
        st.builds(Deviation, barrel=st.just("b0u1a"), criterion=st.just("stroke"), reason=texts)
    ),
    assignment=st.tuples(
        st.builds(Assignment, job=st.just("j1"), barrel=st.just("b0u1b"), copy=st.integers(1, 9))
    ),
    sign_offs=st.lists(sign_offs, max_size=2).map(tuple),
)


# Each is large, and has most of the fields there are: a third as many do.
@settings(
    max_examples=settings.default.max_examples // 3,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(evaluations)
def test_what_is_written_reads_back_equal(evaluation: Evaluation) -> None:
    content = evaluation_bytes(evaluation)
    back = parse_evaluation(content, "all.json")
    assert back == evaluation
    assert digest(back) == digest(evaluation)
    assert evaluation_bytes(back) == content


anything = st.text(st.characters(codec=None) | st.sampled_from("\ud800\udfff\0\ufeff\u202e"))


@given(anything)
def test_whatever_text_the_model_takes_a_file_takes(text: str) -> None:
    """Halves of a character among them: what is refused is refused by the model, not by a save."""
    try:
        evaluation = Evaluation(title=text, resins=(Resin(id="r", origins={text: "published"}),))
    except ValidationError:
        assert any("\ud800" <= character <= "\udfff" for character in text)
        return
    assert parse_evaluation(evaluation_bytes(evaluation), "all.json") == evaluation


def test_a_file_is_readable_and_leaves_out_what_is_not_stated(tmp_path: Path) -> None:
    path = tmp_path / "all.evenbarrel.json"
    stroke = Quantity(magnitude="180.0", unit="mm")
    unit = InjectionUnit(id="u1", barrels=(Barrel(id="a", stroke=stroke),))
    evaluation = Evaluation(title="Łąka ½", bids=(Bid(id="b1", units=(unit,)),))
    write_evaluation(evaluation, path)
    text = path.read_text(encoding="utf-8")
    data = json.loads(text)
    first = f'{{\n "format_version": {CURRENT},\n'
    assert text.startswith(first + ' "title": "Łąka ½",\n "currency": "EUR",\n')
    assert text.endswith("}\n")
    assert data["bids"] == [
        {
            "id": "b1",
            "units": [
                {
                    "id": "u1",
                    "barrels": [{"id": "a", "stroke": {"magnitude": "180.0", "unit": "mm"}}],
                }
            ],
        }
    ]
    # Shown whole, so that the file says what it was judged by.
    assert set(data["limits"]) == set(Limits.model_fields)
    assert read_evaluation(path) == evaluation


def test_an_assignment_is_written_as_copy(tmp_path: Path) -> None:
    unit = InjectionUnit(id="u1", barrels=(Barrel(id="a"),))
    evaluation = Evaluation(
        jobs=(Job(id="j1"),),
        bids=(Bid(id="b1", units=(unit,)),),
        assignment=(Assignment(job="j1", barrel="a", copy=2),),
    )
    data = json.loads(evaluation_bytes(evaluation))
    assert data["assignment"] == [{"job": "j1", "barrel": "a", "copy": 2}]


def test_a_bid_goes_round_with_its_resins(tmp_path: Path) -> None:
    path = tmp_path / "b1.bid.json"
    unit = InjectionUnit(id="u1", barrels=(Barrel(id="a", reference_resin="ps"),))
    bid_file = BidFile(id="b1", supplier="Tarnwerk", units=(unit,), resins=(Resin(id="ps"),))
    write_bid(bid_file, path)
    first = f'{{\n "format_version": {CURRENT},\n "id": "b1",'
    assert path.read_text(encoding="utf-8").startswith(first)
    assert read_bid(path) == bid_file
