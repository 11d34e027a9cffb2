"""The data sheet: screws side by side as suppliers print them, a row a datum, a column a screw."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.desk.forms.cell_edits import CellEdits, grid_context, with_datum
from evenbarrel.desk.forms.grids.entered_cells import ShapeRole
from evenbarrel.desk.forms.grids.entry_model import EntryModel
from evenbarrel.desk.forms.grids.entry_table import EntryView
from evenbarrel.desk.forms.grids.grid_note import GridNote
from evenbarrel.desk.pages.bids.cell_strip import CellStrip
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.desk.tables.roles import Index
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import Shape, shapes_of
from evenbarrel.model import changes
from evenbarrel.model import datum_path as edits
from evenbarrel.model.datum_path import Path
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words.hint import NO_HINT, Hint
from evenbarrel.wording.words.names import bid_called, name_at

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

PRINTED_FIRST = (
    "label",
    "screw_diameter",
    "stroke",
    "length_ratio",
    "swept_volume",
    "rated_shot_mass",
    "reference_resin",
    "injection_pressure",
    "injection_rate",
    "injection_speed",
    "plasticising_rate",
    "plasticising_speed",
    "screw_speed_max",
    "injection_power",
    "drive_power",
)
"""What suppliers usually print, in their order; the rest is folded."""

OF_UNIT = frozenset({"injection_power", "drive_power"})
"""Data of the whole unit that are printed among those of its screws."""

MOST_ADDED = 200
"""Screws that one block may add; no unit has more."""

_WIDEST, _NARROWEST = 176, 88
_SHAPES = {**shapes_of(InjectionUnit), **shapes_of(Barrel)}


@dataclass(frozen=True)
class Screw:
    """A barrel with the data of its unit, as one column of the sheet."""

    barrel: Barrel
    unit: InjectionUnit

    def __getattr__(self, name: str) -> Any:
        return getattr(self.unit if name in OF_UNIT else self.barrel, name)


class ScrewSheet(QWidget):
    """Screws side by side; below them what stands behind the cell in focus."""

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__()
        self._session = session
        self._known: dict[str, Mapping[str, Hint]] = {}
        self._gone: set[str] = set()
        self._unit: Path | None = None
        rest = [name for name in shapes_of(Barrel) if name not in PRINTED_FIRST]
        shapes = [_SHAPES[name] for name in (*PRINTED_FIRST, *rest)]
        self.model = EntryModel(shapes, theme, self._put_cells, _found, across=True)
        self.view = EntryView(self.model, "Screws side by side")
        self.note = GridNote(self.view)
        self.strip = CellStrip()
        self.title = heading("", 1.0)
        self.empty = Label(pages.SHEET_EMPTY)
        self.fold = QPushButton()
        self.fold.setCheckable(True)
        self.fold.setAccessibleName("Show or hide the data that are rarely printed")
        self._lay_out()
        self.model.edited.connect(self._put)
        self.model.refused.connect(session.refused)
        self.model.refused.connect(session.keep_soon)
        self.view.begun.connect(session.keep_soon)
        self.model.remarked.connect(session.refused)
        self.view.selectionModel().currentChanged.connect(lambda *_: self._show_cell())
        self.model.dataChanged.connect(lambda *_: self._show_cell())
        self.strip.changed.connect(self._put_behind)
        self.fold.toggled.connect(lambda _: self._show_folded())
        # A bar that comes takes width from the columns.
        self.view.verticalScrollBar().rangeChanged.connect(lambda *_: self._share_out())

    def show_unit(self, path: Path, appraisal: Appraisal) -> None:
        """Show all screws of a unit."""
        unit: InjectionUnit = edits.get(appraisal.evaluation, path)
        self._unit = path
        self._show([(path, unit, barrel) for barrel in unit.barrels], appraisal)
        self.title.setText("  ›  ".join(_titles(appraisal.evaluation, path)))

    def show_entries(self, evaluation: Evaluation) -> None:
        """Show the same screws as they are entered now."""
        shown = [evaluation.place(screw.id) for screw in self.model.things()]
        self.model.show_entered([Screw(barrel, unit) for _, unit, barrel in shown])

    def show_barrels(self, paths: Sequence[Path], appraisal: Appraisal) -> None:
        """Show barrels of several units or suppliers."""
        self._unit = None
        get = edits.get
        evaluation = appraisal.evaluation
        chosen = [(path[:4], get(evaluation, path[:4]), get(evaluation, path)) for path in paths]
        self._show(chosen, appraisal)
        self.title.setText(pages.side_by_side(len(paths)))

    def focus_cell(self, barrel: str, name: str) -> None:
        """Put the keyboard into the cell of a barrel's datum."""
        row = [shape.name for shape in self.model.shapes].index(name)
        if self.view.isRowHidden(row):
            self.fold.setChecked(True)
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)
        self.view.setCurrentIndex(self.model.index(row, max(0, self.model.place_of(barrel))))

    def focus_gap(self) -> None:
        """Put the keyboard into the first cell in sight that is empty, else into the first one."""
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)
        cells = (
            self.model.index(row, column)
            for row in range(self.model.rowCount())
            for column in range(self.model.columnCount())
            if not self.view.isRowHidden(row)
        )
        gaps = (index for index in cells if index.data(Qt.ItemDataRole.EditRole) == "")
        self.view.setCurrentIndex(next(gaps, self.model.index(0, 0)))

    def name_of(self, index: Index) -> str:
        """Return what a cell is called: its datum, and the screw where it is not of the unit."""
        shape: Shape = index.data(ShapeRole)
        of_unit = shape.name in OF_UNIT and self._unit
        label = "" if of_unit else self.model.thing_at(index).barrel.label
        return pages.changed_datum(shape.datum.label, label)

    def put_value(self, index: Index, value: object, step: str) -> bool:
        """Put a value that was read elsewhere into a cell, as one step; False where not fit."""
        shape: Shape = index.data(ShapeRole)
        return self._put_cells(
            CellEdits(step, {self.model.thing_at(index).id: {shape.name: value}})
        )

    def _show(
        self, chosen: Sequence[tuple[Path, InjectionUnit, Barrel]], appraisal: Appraisal
    ) -> None:
        self.note.hide()
        evaluation = appraisal.evaluation
        titles = []
        for path, _, barrel in chosen:
            name = name_at(evaluation, (*path, "barrels", barrel.id))
            supplier, _ = _titles(evaluation, path)
            titles.append(name if self._unit else f"{supplier}\n{name}")
        # Names alone are cut where they have no room; Qt would cut two lines as if they were one.
        elide = Qt.TextElideMode.ElideRight if self._unit else Qt.TextElideMode.ElideNone
        self.view.horizontalHeader().setTextElideMode(elide)
        # Loaded with the first sheet that wants it: it brings numpy along.
        from evenbarrel.wording.sentences.hints import barrel_hints

        self._known = {barrel.id: barrel_hints(appraisal, barrel.id) for _, _, barrel in chosen}
        self._gone = {b.id for _, _, b in chosen if not evaluation.counts(b.id)}
        marks: dict[tuple[str, str], str] = {
            (barrel, name): hint.state
            for barrel, known in self._known.items()
            for name, hint in known.items()
            if hint.state in ("outside", "near_edge")
        }
        self.model.show_things(
            [Screw(barrel, unit) for _, unit, barrel in chosen],
            grid_context(evaluation),
            titles,
            most=MOST_ADDED if self._unit else 0,
            shared=OF_UNIT if self._unit else frozenset(),
            marks=marks,
        )
        self.empty.setVisible(not chosen)
        self._span()
        self._share_out()
        self._show_folded()
        if chosen and not self.view.currentIndex().isValid():
            self.view.setCurrentIndex(self.model.index(1, 0))
        self._show_cell()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share out the width again."""
        super().resizeEvent(event)
        self._share_out()
        self.view.scrollTo(self.view.currentIndex())

    def _span(self) -> None:
        # One number for the whole unit stands once, across all of its screws.
        self.view.clearSpans()
        if self._unit and self.model.columnCount() > 1:
            for name in OF_UNIT:
                self.view.setSpan(PRINTED_FIRST.index(name), 0, 1, self.model.columnCount())

    def _share_out(self) -> None:
        count = self.model.columnCount()
        if count:
            width = max(_NARROWEST, min(_WIDEST, self.view.viewport().width() // count))
            self.view.horizontalHeader().setDefaultSectionSize(width)

    def _show_folded(self) -> None:
        rows = range(len(PRINTED_FIRST), self.model.rowCount())
        for row in rows:
            self.view.setRowHidden(row, not self.fold.isChecked())
        stated = sum(
            any(self.model.index(row, column).data() for column in range(self.model.columnCount()))
            for row in rows
        )
        self.fold.setText(pages.folded(len(rows), stated, self.fold.isChecked()))

    def _show_cell(self) -> None:
        index = self.view.currentIndex()
        shape: Shape | None = index.data(ShapeRole) if index.isValid() else None
        self.strip.setVisible(shape is not None)
        if shape is None:
            return
        thing = self.model.thing_at(index)
        value = getattr(thing, shape.name)
        title = self.name_of(index)
        nothing = Hint(pages.NOT_COUNTED) if thing.id in self._gone else NO_HINT
        hint = self._known.get(thing.id, {}).get(shape.name, nothing)
        self.strip.show_cell(title, shape.datum.help, value, hint)

    def _put(self, barrel: str, name: str, value: object) -> None:
        evaluation = self._session.evaluation
        path = _owner(evaluation.barrel_path(barrel), name)
        text = pages.changed_datum(_SHAPES[name].datum.label, name_at(evaluation, path))
        self._session.try_edit(
            text, lambda: with_datum(self._session.evaluation, (*path, name), value)
        )

    def _put_behind(self, name: str, value: object) -> None:
        """Give every marked number a source, standing, half-width or note."""
        area = self.view.area()
        cells: dict[str, dict[str, Any]] = {}
        for row in () if area is None else area.rows:
            for column in () if area is None else area.columns:
                index = self.model.index(row, column)
                thing, shape = self.model.thing_at(index), index.data(ShapeRole)
                number = getattr(thing, shape.name)
                if isinstance(number, Quantity | Money) and name in type(number).model_fields:
                    changed = number.replace(**{name: value})
                    cells.setdefault(thing.id, {})[shape.name] = changed
        if cells:
            self._put_cells(CellEdits(pages.BEHIND[name], cells))

    def _put_cells(self, cells: CellEdits) -> bool:
        return self._session.try_edit(cells.title, lambda: self._with_cells(cells))

    def _with_cells(self, cells: CellEdits) -> Evaluation:
        evaluation = cells.with_their_resins(self._session.evaluation)
        rows: dict[Path, dict[str, dict[str, Any]]] = {}
        for barrel, data in cells.values.items():
            for name, value in data.items():
                path = _owner(evaluation.barrel_path(barrel), name)
                rows.setdefault(path[:-1], {}).setdefault(path[-1], {})[name] = value
        for where, values in rows.items():
            evaluation = changes.with_data(evaluation, where, values)
        if cells.added and self._unit:
            evaluation = self._with_added(evaluation, self._unit, cells.added)
        return evaluation

    def _with_added(
        self, evaluation: Evaluation, path: Path, added: Sequence[Mapping[str, Any]]
    ) -> Evaluation:
        unit: InjectionUnit = edits.get(evaluation, path)
        fresh = changes.new_barrels(evaluation, unit, len(added))
        barrels = []
        of_unit: dict[str, Any] = {}
        for barrel, data in zip(fresh, added, strict=True):
            of_unit |= {name: value for name, value in data.items() if name in OF_UNIT}
            own = {name: value for name, value in data.items() if name not in OF_UNIT}
            barrels.append(barrel.replace(**own))
        evaluation = changes.with_data(evaluation, (*path, "barrels"), {}, barrels)
        return changes.with_data(evaluation, path[:-1], {path[-1]: of_unit})

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.title, 1)
        top.addWidget(self.fold)
        self.empty.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, 0)
        nest(column, top)
        column.addWidget(self.empty)
        column.addWidget(self.view, 1)
        column.addWidget(self.note)
        column.addWidget(self.strip)


def _found(evaluation: Evaluation, barrel: str) -> tuple[Path, Screw]:
    _, unit, one = evaluation.place(barrel)
    return evaluation.barrel_path(barrel), Screw(one, unit)


def _owner(barrel: Path, name: str) -> Path:
    """Return where the thing stands that a datum of the sheet belongs to."""
    return barrel[:4] if name in OF_UNIT else barrel


def _titles(evaluation: Evaluation, unit: Path) -> tuple[str, str]:
    bid: Bid = edits.get(evaluation, unit[:2])
    return bid_called(evaluation, bid), name_at(evaluation, unit)
