"""Where a number was printed and how far it may be trusted: the right half of a number field."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QHBoxLayout

from evenbarrel.desk.fields.base import LineEdit, QuietCombo
from evenbarrel.desk.style.plain import set_tip
from evenbarrel.entry.shapes import ParsedText, read_text
from evenbarrel.model.quantity import Standing
from evenbarrel.wording.words import labels

STANDINGS: tuple[Standing, ...] = ("quoted", "confirmed", "measured", "assumed")
_STANDING_WIDTH = 100


class Provenance:
    """A line for the source and a choice of standing, put into a field's row."""

    def __init__(self, label: str, row: QHBoxLayout, acted: Callable[[], None]) -> None:
        self.source = LineEdit()
        self.source.setPlaceholderText("where printed")
        self.source.setAccessibleName(f"{label}: where printed")
        self.source.editingFinished.connect(acted)
        self.standing = choice_of_standing(f"{label}: standing")
        self.standing.setFixedWidth(_STANDING_WIDTH)
        self.standing.activated.connect(lambda _: acted())
        row.addWidget(self.source, 1)
        row.addWidget(self.standing)

    def show(self, source: str, standing: Standing) -> None:
        """Show what the model holds."""
        self.source.show_text(source)
        self.standing.setCurrentIndex(STANDINGS.index(standing))

    def stands_alone(self) -> bool:
        """Whether a source was typed: without a number it has nothing to belong to yet."""
        return bool(self.source.text().strip())

    def changes(self) -> dict[str, Any]:
        """Return source and standing as the person set them."""
        return {
            "source": self.source.text().strip(),
            "standing": STANDINGS[self.standing.currentIndex()],
        }

    def given_to(self, reading: ParsedText) -> ParsedText:
        """Return what was read, with source and standing as the person set them.

        A source that cannot be kept is a problem of the whole.
        """
        source = read_text(self.source.text())
        if reading.value is None or source.problem:
            return replace(reading, problem=reading.problem or source.problem)
        changes = self.changes() | {"source": source.value}
        return replace(reading, value=reading.value.replace(**changes))


def choice_of_standing(name: str) -> QuietCombo:
    """Return a choice of standing under that accessible name, in the order of STANDINGS."""
    choice = QuietCombo()
    choice.setAccessibleName(name)
    set_tip(choice, "Standing: how far the number may be trusted")
    choice.addItems([labels.STANDINGS[code] for code in STANDINGS])
    return choice
