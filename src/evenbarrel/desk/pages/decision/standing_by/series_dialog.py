"""Asks for a series of weighed shots: what it was of, how finely, and the masses as pasted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QPlainTextEdit, QSizePolicy, QVBoxLayout, QWidget

from evenbarrel.desk.fields.simple import ResinField
from evenbarrel.desk.forms.decision_forms import AskDialog, Values, choice_shape, date_shape
from evenbarrel.desk.forms.form import context_of
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.pages.decision.list_panel import faint_words
from evenbarrel.desk.style.theme import PROBLEM
from evenbarrel.entry.masses import ReadMasses, read_masses, written_masses
from evenbarrel.entry.shapes import Shape, shapes_of
from evenbarrel.model.datum import Datum
from evenbarrel.model.record.acceptance import WEIGHED, Acceptance, AcceptanceTest
from evenbarrel.wording.sentences.deciding import standing_by as words
from evenbarrel.wording.standing_by.acceptance import KINDS
from evenbarrel.wording.words.names import full_name
from evenbarrel.wording.words.numbers import display_unit, unit_text

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_OF_KIND: Mapping[str, tuple[str, ...]] = {
    "air_shot": ("stroke", "stroke_resolution", "diameter_tolerance"),
    "plasticising": ("time",),
    "repeatability": (),
}
"""What only series of one kind need."""
_LINES = 5
Fields = Mapping[str, tuple[Shape, object]]


class SeriesDialog(AskDialog):
    """Shows the fields that the kind of series needs, and what the masses are read as."""

    def __init__(
        self, appraisal: Appraisal, measured: Acceptance | None, test: int, parent: QWidget
    ) -> None:
        evaluation = appraisal.evaluation
        old = None if measured is None else measured.tests[test]
        super().__init__(
            "Add series" if old is None else "Change series",
            words.SERIES_INTRODUCTION
            if old is None
            else f"{words.SERIES_INTRODUCTION} {words.SHARED}",
            _fields(measured, old),
            {"barrel": words.BARREL_WANTED, "kind": words.KIND_WANTED},
            parent,
            context_of(evaluation),
            check=lambda _: self._problem(),
        )
        self._old = old
        self._unit = display_unit("mass", evaluation.display_units)
        self.masses, self.echo = QPlainTextEdit(), faint_words("")
        barrels = {b.id: full_name(appraisal, b.id) for _, _, b in evaluation.barrels()}
        self.name_choices("barrel", barrels)
        self.name_choices("kind", KINDS)
        self.fields["barrel"].reset(None if measured is None else measured.barrel)
        self.fields["kind"].reset("air_shot" if old is None else old.kind)
        resin = self.fields["resin"]
        if isinstance(resin, ResinField):
            resin.table.hide()
        self._add_masses(() if old is None else old.masses)
        self.fields["kind"].edited.connect(lambda _: self._show_kind())
        self._show_kind()

    def measured(self, values: Values) -> Acceptance:
        """Return what was entered, with its one series; raises ValidationError."""
        series = {name: values[name] for name in ("kind", "resin", "stroke", "time")}
        claim = None if self._old is None else self._old.claim
        test = AcceptanceTest(**series, masses=self.read().masses, claim=claim)
        return Acceptance(
            barrel=values["barrel"],
            date=values["date"],
            **{name: values[name] for name in shapes_of(Acceptance)},
            tests=(test,),
        )

    def read(self) -> ReadMasses:
        """Return the masses as they are read now."""
        return read_masses(self.masses.toPlainText(), self._unit)

    def _add_masses(self, masses: tuple[Any, ...]) -> None:
        label = f"Masses [{unit_text(self._unit)}]"
        self.masses.setAccessibleName(label)
        self.masses.setTabChangesFocus(True)
        self.masses.setPlainText(written_masses(masses, self._unit))
        height = self.masses.fontMetrics().lineSpacing() * _LINES
        self.masses.setFixedHeight(height + 2 * int(self.masses.document().documentMargin()))
        explain(self.masses, "series")
        self.masses.textChanged.connect(self._show_read)
        box = QWidget()
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addWidget(self.masses)
        column.addWidget(self.echo)
        box.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.add_row(label, box)
        self._show_read()

    def _show_read(self) -> None:
        read = self.read()
        self.echo.setText(read.problem or read.echo or WEIGHED.help)
        self.echo.setForegroundRole(PROBLEM if read.problem else self.foregroundRole())

    def _show_kind(self) -> None:
        kind = self.fields["kind"].shown
        for name in {name for names in _OF_KIND.values() for name in names}:
            self.form.setRowVisible(self.fields[name], name in _OF_KIND.get(str(kind), ()))
        self.fit()

    def _problem(self) -> str:
        read = self.read()
        return read.problem or ("" if read.masses else words.MASSES_WANTED)


def _fields(measured: Acceptance | None, test: AcceptanceTest | None) -> Fields:
    """Return the fields of a series with what stands in them."""
    of_test, of_day = shapes_of(AcceptanceTest), shapes_of(Acceptance)
    plain: dict[str, tuple[Shape, object]] = {
        "barrel": (choice_shape("barrel", "Barrel", ()), None),
        "kind": (choice_shape("kind", "Test", ()), None),
        "resin": (Shape("resin", "resin", Datum("Resin", "It was run in")), test and test.resin),
        "date": (
            date_shape("date", "Date", "Such as 2026-03-02; may be left empty"),
            date.today() if measured is None else measured.date,
        ),
    }
    for shapes, thing in ((of_test, test), (of_day, measured)):
        for name, shape in shapes.items():
            value = None if thing is None else getattr(thing, name)
            plain[name] = (replace(shape, standing="measured"), value)
    return plain
