"""What is looked through, kept aside as data: it comes back whole, or is refused in words."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from evenbarrel.intake.accepting.correcting import with_new_resin
from evenbarrel.intake.accepting.left_open import Chosen, Draft, LeftOpen, kept_of, left_open
from evenbarrel.intake.files import extract_text
from evenbarrel.intake.pages.words import Box
from evenbarrel.intake.sent import Printed, Sent
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.terms import Document
from evenbarrel.storage.autosave import KeptOpen
from evenbarrel.storage.file_errors import FileRefused

TABLE = "Screw\tA\nStroke mm\t200\nRated in\tglass wool\nScope: freight\tincluded\nColour\tred\n"
DOCUMENT = Document(id="d1", name="offer.pdf", path="offer.pdf", sha256=64 * "0")
CHOSEN = Chosen(
    ticked=(0, 1),
    touched=True,
    fixed=False,
    noted=True,
    shown=1,
    line=2,
    in_front=False,
    drafts=(Draft(line=1, owner="barrel", field="stroke", text="2oo", standing="measured"),),
)


@pytest.fixture
def left() -> LeftOpen:
    extract, _ = with_new_resin(Evaluation(), extract_text(Evaluation(), TABLE), 2, "Glass wool")
    printed = Printed(DOCUMENT, "b1", 3, Box(1.0, 2.0, 3.5, 4.0))
    sent = Sent("offer.xlsx", Path("/offers/offer.xlsx"), data=b"what stood in it")
    return LeftOpen(extract, CHOSEN, sent, (Sent("pasted", text=TABLE), Sent("p", printed=printed)))


def test_all_of_it_comes_back(left: LeftOpen) -> None:
    assert left_open(kept_of(left)) == left


def test_what_is_damaged_is_refused_in_words(left: LeftOpen, for_each: Callable[..., Any]) -> None:
    kept = json.loads(kept_of(left).data)

    def changed(**more: Any) -> bytes:
        return json.dumps(kept | more).encode()

    def with_line(**more: Any) -> bytes:
        return changed(lines=[kept["lines"][0] | more, *kept["lines"][1:]])

    def with_chosen(**more: Any) -> bytes:
        return changed(chosen=kept["chosen"] | more)

    draft = kept["chosen"]["drafts"][0]

    @for_each(
        [
            b"",
            kept_of(left).data[:-9],
            b"[" * 100_000,
            b"{}",
            changed(version=2),
            changed(more=1),
            with_line(thing=["bids", "another", "units", "u", "barrels", "b"]),
            with_line(thing=["nowhere"]),
            with_line(field="replace"),
            with_line(value={"magnitude": "200"}),
            with_line(findings=[{"code": "unheard_of", "detail": ""}]),
            with_chosen(ticked=[99]),
            with_chosen(line=-1),
            changed(lines=[]),
            with_chosen(drafts=[draft | {"field": "id"}]),
            with_chosen(beside=[{"thing": ["jobs", "j"], "field": "name", "taken": True}]),
        ]
    )
    def holds(data: bytes) -> None:
        with pytest.raises(FileRefused, match="is damaged; read the file again"):
            left_open(KeptOpen(data))
