"""Where a number was printed and how far it may be trusted: the right half of a number field."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QToolButton

from evenbarrel.desk.fields.base import LineEdit, QuietCombo
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.style.plain import set_tip
from evenbarrel.entry.shapes import ParsedText, read_text
from evenbarrel.model.quantity import Place, Standing
from evenbarrel.wording.help.glossary import F1
from evenbarrel.wording.sentences.asking import quote
from evenbarrel.wording.words import labels

STANDINGS: tuple[Standing, ...] = ("quoted", "confirmed", "measured", "assumed")
_STANDING_WIDTH = 100


class Provenance:
    """A line for the source and a choice of standing, put into a field's row.

    `acted` is called for whatever a person does there, `wanted` with the place to be shown.
    """

    def __init__(
        self,
        label: str,
        row: QHBoxLayout,
        acted: Callable[[], None],
        wanted: Callable[[Place | None], None],
    ) -> None:
        self._label, self._row, self._wanted = label, row, wanted
        self.source = LineEdit()
        self.source.setPlaceholderText("where printed")
        self.source.setAccessibleName(f"{label}: where printed")
        self.source.editingFinished.connect(acted)
        explain(self.source, "source")
        self.standing = choice_of_standing(f"{label}: standing")
        self.standing.setFixedWidth(_STANDING_WIDTH)
        self.standing.activated.connect(lambda _: acted())
        self.place: PlaceButton | None = None
        """Made with the first place: few numbers ever have one."""
        row.addWidget(self.source, 1)
        row.addWidget(self.standing)

    def show(self, source: str, standing: Standing, place: Place | None = None) -> None:
        """Show what the model holds."""
        self.source.show_text(source)
        self.choose(standing)
        if self.place is None and place is not None:
            self.place = button = PlaceButton(f"{self._label}: {quote.PLACE_TIP}")
            button.clicked.connect(lambda _=False: self._wanted(button.place))
            self._row.insertWidget(self._row.indexOf(self.standing), button)
        if self.place is not None:
            self.place.show_place(place)

    def choose(self, standing: Standing | None) -> None:
        """Show a standing; with None the one that is shown stays."""
        if standing is not None:
            self.standing.setCurrentIndex(STANDINGS.index(standing))

    @property
    def is_begun(self) -> bool:
        """Whether a source is being typed, and not left yet."""
        return self.source.isModified()

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


class PlaceButton(QToolButton):
    """Leads from a number to the page it is printed on; hidden where no place is kept."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.place: Place | None = None
        self.setAccessibleName(name)
        set_tip(self, quote.PLACE_TIP)
        explain(self, "place.quote")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hide()

    def show_place(self, place: Place | None) -> None:
        """Offer the place of a number, or nothing."""
        self.place = place
        self.setText(quote.place_label(place))
        self.setVisible(place is not None)


def choice_of_standing(name: str) -> QuietCombo:
    """Return a choice of standing under that accessible name, in the order of STANDINGS."""
    choice = QuietCombo()
    choice.setAccessibleName(name)
    set_tip(choice, f"Standing: how far the number may be trusted. {F1}")
    explain(choice, "standing")
    choice.addItems([labels.STANDINGS[code] for code in STANDINGS])
    return choice
