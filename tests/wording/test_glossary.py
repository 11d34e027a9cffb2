from __future__ import annotations

from collections import Counter
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from evenbarrel.appraisal import criteria
from evenbarrel.appraisal.claims import registry
from evenbarrel.appraisal.gate_results import GateKind
from evenbarrel.appraisal.references import (
    AmountRef,
    AskRef,
    ClaimRef,
    CountRef,
    CriterionRef,
    DatumRef,
    FactorRef,
    GateRef,
    GatesRef,
    HoursRef,
    JobHoursRef,
    LevelledRef,
    LimitRef,
    MachineRef,
    PinRef,
    Reference,
    RuleRef,
    RunsRef,
    SeriesRef,
    ShareRef,
    ShotRef,
    SizeRef,
    VolumeRef,
    WayOut,
)
from evenbarrel.desk.pages.all_pages import PAGES
from evenbarrel.model.cost import Cost
from evenbarrel.model.datum import data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.record.acceptance import Acceptance, AcceptanceTest
from evenbarrel.model.resin import OutputFactors, Resin
from evenbarrel.wording.help.glossary import glossary, key_of, key_of_datum
from evenbarrel.wording.pictures.board import LEGEND, LEGEND_MARKS
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS

MODELS = (
    *(Barrel, InjectionUnit, Bid, Job, Resin, OutputFactors, Evaluation, Cost),
    *(Acceptance, AcceptanceTest),
)
NAMED = {
    "criterion": [criterion.key for criterion in criteria.ALL],
    "claim": [*registry.KEYS, "completeness", "validity"],
    "state": list(labels.STATES),
    "claim_state": list(labels.CLAIM_STATES),
    "gate": [key or "none" for key in labels.GATES],
    "gate_kind": list(get_args(GateKind)),
    "reason": list(labels.REASONS),
    "standing": list(labels.STANDINGS),
    "mark": [*LEGEND, "by_rule"],
    "place": [page.key for page in PAGES],
}


@pytest.mark.parametrize("model", MODELS)
def test_every_datum_is_explained_and_names_its_field(model: type[BaseModel]) -> None:
    for name, datum in data_of(model).items():
        key = key_of_datum(name, datum)
        assert key is not None, name
        entry = glossary().by_key[key]
        assert any(text.partition(":")[0] == datum.label for text in entry.data), key
        assert entry in glossary().search(datum.label), key


@pytest.mark.parametrize("kind", NAMED)
def test_every_criterion_claim_state_mark_and_page_is_explained(kind: str) -> None:
    missing = {key for key in NAMED[kind] if f"{kind}.{key}" not in glossary().by_key}
    assert missing == set()


def test_every_mark_of_the_legend_is_explained() -> None:
    for state, by_rule, _ in LEGEND_MARKS:
        key = "mark.by_rule" if by_rule else f"state.{state}"
        assert key in glossary().by_key


def test_whatever_a_number_opens_is_explained(for_each: Any) -> None:
    @for_each(
        [
            *(CriterionRef("b", "j", key) for key in CRITERION_WORDS),
            *(ClaimRef("b", key) for key in CLAIM_WORDS),
            *(ShotRef("j"), FactorRef("r"), VolumeRef("b"), RuleRef("capacity", "b")),
            *(PinRef("j"), GateRef("b"), LimitRef(None, "x"), DatumRef(("jobs", "j", "name"))),
            AmountRef("offer", (MachineRef("b"),), "price"),
            *(LevelledRef("b"), HoursRef("b", 1, (("j", 1.0),)), JobHoursRef("b", "j")),
            *(AskRef(("j",), "rate"), ShareRef("b"), SeriesRef(0, 0), CountRef("b", "inside")),
            *(GatesRef("j", "waits"), RunsRef((MachineRef("b"),), "jobs"), SizeRef(0.05, 0.2)),
        ]
    )
    def _(reference: Reference | WayOut) -> None:
        assert key_of(reference) in glossary().by_key


def test_one_key_one_entry_and_one_term_once() -> None:
    entries = glossary().entries
    keys = Counter(key for entry in entries for key in entry.keys)
    terms = Counter(entry.term for entry in entries)
    assert [key for key, count in (keys + terms).items() if count > 1] == []


def test_every_key_of_a_field_names_a_field_that_there_is() -> None:
    fields = {f"{model.__name__}.{name}" for model in MODELS for name in data_of(model)}
    keys = {key for entry in glossary().entries for key in entry.keys if key[0].isupper()}
    assert keys == fields


def test_the_entry_that_is_called_so_comes_first() -> None:
    for entry in glossary().entries:
        found = glossary().search(entry.term)
        assert entry in found
        assert entry.term.casefold() in found[0].term.casefold()


@pytest.mark.parametrize(
    ("words", "term"),
    [
        ("suck back", "Decompression"),
        ("NON-RETURN valve", "Check ring and ring travel"),
        ("hatched", "Solid and hatched bars"),
        ("mold", "Planned shot"),
        ("binds", "Limiting criterion"),
    ],
)
def test_a_term_is_found_by_what_else_it_is_called(words: str, term: str) -> None:
    assert glossary().search(words)[0].term == term


def test_what_nobody_calls_anything_is_not_found() -> None:
    assert glossary().search("zeppelin") == ()
    assert glossary().search("") == glossary().entries


def test_texts_are_whole_sentences_in_one_paragraph() -> None:
    for entry in glossary().entries:
        assert entry.text[-1] in ".”", entry.term
        assert "\n" not in entry.text, entry.term
        assert "  " not in entry.text, entry.term
        assert 60 < len(entry.text) < 700, entry.term
