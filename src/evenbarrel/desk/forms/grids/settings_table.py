"""Limits and half-widths as tables that are edited in place, each value with its origin."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFont, QResizeEvent
from PySide6.QtWidgets import (
    QHeaderView,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.forms.grids.computed import RIGHT
from evenbarrel.desk.forms.grids.grid_note import GridNote
from evenbarrel.desk.forms.grids.grid_view import Area, GridModel, GridView
from evenbarrel.desk.style.plain import for_people
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.settings import Setting, read_setting, text_of
from evenbarrel.model.datum_path import Path, TypedText
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.settings import (
    SettingKey,
    note_of,
    origin_of,
    put_settings,
    value_of,
)
from evenbarrel.wording.sentences import blocks
from evenbarrel.wording.sentences.deciding import decision
from evenbarrel.wording.sentences.pages import DOES_NOT_FIT, TYPED_BEFORE, changed_datum
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.limits import limit_note, shipped_note

if TYPE_CHECKING:
    from evenbarrel.entry.block import Rows

Index = QModelIndex | QPersistentModelIndex

LABEL, VALUE, ORIGIN, NOTE = range(4)
_TITLES = ("", "Value", "Origin", "Note")
_PADDING = 24
_LEAST_LABEL, _LEAST_ORIGIN, _LEAST_NOTE = 160, 130, 130
"""What is seen of a setting's name, its origin and its note in a narrow window [px]."""


PutSettings = Callable[[str, Mapping[SettingKey, float | None], Mapping[SettingKey, str]], bool]
"""Changes many settings in one step of that name, their values and their notes."""


class SettingsModel(GridModel):
    """One row for each setting. What cannot be read is told by `refused` and not taken."""

    noted = Signal(object, str)
    """Carries the Setting and its new note."""
    refused = Signal(str)
    remarked = Signal(str)
    """Carries how a typed text was read where it could have been read in another way."""

    def __init__(
        self, title: str, rows: tuple[Setting, ...], has_notes: bool, put_cells: PutSettings
    ) -> None:
        super().__init__()
        self.rows = rows
        self._put_cells = put_cells
        self._titles = (title, *_TITLES[1:])[: NOTE + 1 if has_notes else NOTE]
        self._evaluation = Evaluation()
        self._drafts: dict[SettingKey, tuple[str, str, Any]] = {}
        self._begun: dict[SettingKey, tuple[str, str, Any]] = {}

    def not_taken(self, evaluation: Evaluation) -> Iterator[TypedText]:
        """Yield what was typed for a value and not taken, and still stands, or is being typed."""
        for key, (text, _, before) in {**self._drafts, **self._begun}.items():
            if before == value_of(evaluation, key):
                yield TypedText(key.path, text)

    def take_back(self, typed: TypedText, evaluation: Evaluation) -> bool:
        """Keep a text as if it had been typed here; False where there is no such setting."""
        key = next((row.key for row in self.rows if row.key.path == typed.path), None)
        if key is None:
            return False
        problem = read_setting(key, typed.text).objection or TYPED_BEFORE
        self._drafts[key] = (typed.text, problem, value_of(evaluation, key))
        return True

    def forget_gone(self, evaluation: Evaluation) -> None:
        """Forget nothing: no setting is ever gone."""

    def forget_typed(self) -> None:
        """Forget all that was typed: another document is opened."""
        self._drafts = {}

    def _draft(self, key: SettingKey) -> tuple[str, str, Any] | None:
        """Return text and problem of what was typed over the present value, or None."""
        draft = self._drafts.get(key)
        kept = draft is not None and draft[2] == value_of(self._evaluation, key)
        return draft if kept else None

    def show_evaluation(self, evaluation: Evaluation) -> None:
        """Show the settings of an evaluation."""
        self._evaluation = evaluation
        last = self.index(len(self.rows) - 1, self.columnCount() - 1)
        self.dataChanged.emit(self.index(0, 0), last)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many settings there are."""
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self._titles)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that values and notes are editable."""
        flags = super().flags(index)
        return flags | Qt.ItemFlag.ItemIsEditable if index.column() in (VALUE, NOTE) else flags

    @for_people
    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return a cell's text, its alignment, or a bold font where the value is your own."""
        if not index.isValid():
            return None
        setting = self.rows[index.row()]
        draft = self._draft(setting.key) if index.column() == VALUE else None
        if draft is not None and role == Qt.ItemDataRole.ToolTipRole:
            return draft[1]
        if draft is not None and role == Qt.ItemDataRole.EditRole:
            return draft[0]
        if draft is not None and role == Qt.ItemDataRole.DisplayRole:
            return f"{draft[0]} ⊗"
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return self._text(setting, index.column())
        if role == Qt.ItemDataRole.ToolTipRole and index.column() != VALUE:
            return self._text(setting, index.column()) or None
        if role == Qt.ItemDataRole.TextAlignmentRole:
            right = index.column() == VALUE
            flag = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
            return flag | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.FontRole and index.column() == VALUE:
            font = QFont()
            font.setBold(origin_of(self._evaluation, setting.key) is None)
            return font
        return None

    def _text(self, setting: Setting, column: int) -> str:
        key = setting.key
        if column == LABEL:
            return setting.label
        if column == VALUE:
            return text_of(key, value_of(self._evaluation, key))
        if column == ORIGIN:
            return labels.ORIGINS[origin_of(self._evaluation, key)]
        return limit_note(note_of(self._evaluation, key))

    def begin(self, index: Index, text: str) -> None:
        """Know what is being typed for a value; nothing is where there is no such cell."""
        self._begun = {}
        if index.isValid() and index.column() == VALUE:
            key = self.rows[index.row()].key
            self._begun = {key: (text, "", value_of(self._evaluation, key))}

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Read a typed value or note; False, and told, where it cannot be taken."""
        if not index.isValid() or role != Qt.ItemDataRole.EditRole:
            return False
        setting = self.rows[index.row()]
        if index.column() == NOTE:
            self.noted.emit(setting, shipped_note(str(value).strip()))
            return True
        reading = read_setting(setting.key, str(value))
        key, before = setting.key, value_of(self._evaluation, setting.key)
        fits = reading.value == before or bool(reading.problem)
        if not fits:
            self._drafts.pop(key, None)
            fits = self._put_cells(setting.label, {key: reading.value}, {})
        problem = reading.objection if fits else DOES_NOT_FIT
        if problem:
            # It stays in its cell with the reason, until another value is taken.
            self._drafts[key] = (str(value), problem, before)
            self.dataChanged.emit(index, index)
            if reading.problem:
                self.refused.emit(f"{setting.label}: {problem}")
            return False
        self._drafts.pop(key, None)
        if reading.remark:
            self.remarked.emit(f"{setting.label}: {reading.echo} ({reading.remark})")
        return True

    def copied(self, area: Area) -> tuple[Rows, Rows]:
        """Return the cells of a block as they read back: with headings, and alone."""
        alone = tuple(
            tuple(self._text(self.rows[row], column) for column in area.columns)
            for row in area.rows
        )
        return (tuple(self._titles[column] for column in area.columns), *alone), alone

    def put_rows(self, rows: Rows, top: int, left: int, named: bool) -> str:
        """Put a block in from that cell on; return what was taken and what was not, in words."""
        if named and set(rows[0]) <= set(self._titles):
            rows = rows[1:]
        values: dict[SettingKey, float | None] = {}
        notes: dict[SettingKey, str] = {}
        left_out: list[blocks.CellRemark] = []
        doubted: list[blocks.CellRemark] = []
        for line, cells in enumerate(rows):
            for number, text in enumerate(cells):
                row, column = top + line, left + number
                if not text.strip():
                    continue
                if row >= len(self.rows) or column >= len(self._titles):
                    left_out.append(
                        blocks.CellRemark(
                            blocks.column(number + 1, "", False), text, blocks.NO_COLUMN, line + 1
                        )
                    )
                elif column == VALUE:
                    setting = self.rows[row]
                    reading = read_setting(setting.key, text)
                    if reading.problem:
                        left_out.append(blocks.CellRemark(setting.label, text, reading.problem))
                    else:
                        values[setting.key] = reading.value
                    if reading.remark:
                        doubted.append(blocks.CellRemark(setting.label, text, reading.remark))
                elif column == NOTE:
                    notes[self.rows[row].key] = shipped_note(text.strip())
                elif text != self._text(self.rows[row], column):
                    left_out.append(blocks.CellRemark(self.rows[row].label, text, blocks.NOT_TYPED))
        taken = self._put(blocks.PASTE, values, notes)
        return blocks.taken(len(values) + len(notes) if taken else 0, "", left_out, doubted)

    def fill(self, area: Area) -> str:
        """Give every cell of a block what stands in its first; return what was done."""
        first, *others = (self.rows[row].key for row in area.rows)
        values = dict.fromkeys(others, value_of(self._evaluation, first))
        notes = dict.fromkeys(others, note_of(self._evaluation, first))
        return self._changed(self.fills, area, values, notes)

    def clear_cells(self, area: Area) -> str:
        """Put values of a block back to the usual ones and empty its notes."""
        keys = [self.rows[row].key for row in area.rows]
        return self._changed(blocks.CLEAR, area, dict.fromkeys(keys), dict.fromkeys(keys, ""))

    def _changed(
        self,
        title: str,
        area: Area,
        values: Mapping[SettingKey, float | None],
        notes: Mapping[SettingKey, str],
    ) -> str:
        values = values if VALUE in area.columns else {}
        notes = notes if NOTE in area.columns else {}
        if not values and not notes:
            return blocks.NOTHING_TO_FILL if title == self.fills else blocks.taken(0, "")
        done = self._put(title, values, notes)
        return blocks.cleared(len(values) + len(notes)) if done else blocks.taken(0, "")

    def _put(
        self,
        title: str,
        values: Mapping[SettingKey, float | None],
        notes: Mapping[SettingKey, str],
    ) -> bool:
        for key in values:
            self._drafts.pop(key, None)
        return self._put_cells(title, values, notes)

    @for_people
    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a column's title, which lies as its cells."""
        if role == Qt.ItemDataRole.TextAlignmentRole and section == VALUE:
            return RIGHT
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self._titles[section]
        return None


class SettingsTable(QWidget):
    """A table of settings with the way back to the usual value."""

    def __init__(
        self, session: Session, title: str, rows: Callable[[], tuple[Setting, ...]], notes: bool
    ) -> None:
        super().__init__()
        self._session = session
        self._fitted = False
        self._wanted: list[int] = []
        self.model = SettingsModel(title, rows(), notes, self._put_cells)
        self.view = GridView(self.model)
        self.view.setAccessibleName(f"{title}: type over a value to make it your own")
        self.view.setAlternatingRowColors(True)
        # A note that is cut stands whole in its tip; broken lines would make the rows huge.
        self.view.setWordWrap(False)
        self.view.verticalHeader().hide()
        header = self.view.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        font = QFont(header.font())
        font.setBold(True)
        header.setFont(font)
        header.setSectionsClickable(False)
        header.setHighlightSections(False)
        header.setStretchLastSection(True)
        self.view.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.back = QPushButton("Back to the &usual value")
        self.back.clicked.connect(self._back)
        self._column = QVBoxLayout(self)
        self.note = GridNote(self.view)
        self._column.addWidget(self.view, 1)
        self._column.addWidget(self.note)
        self._column.addWidget(self.back, 0, Qt.AlignmentFlag.AlignLeft)
        self.model.noted.connect(self._note)
        self.model.refused.connect(session.refused)
        self.model.refused.connect(session.keep_soon)
        self.view.begun.connect(session.keep_soon)
        self.model.remarked.connect(session.refused)

    def show_evaluation(self, evaluation: Evaluation) -> None:
        """Show the settings as they are now."""
        self.note.hide()
        self.model.show_evaluation(evaluation)
        if not self._fitted:
            self._fitted = True
            self.view.resizeColumnsToContents()
            columns = range(self.model.columnCount() - 1)
            self._wanted = [self.view.columnWidth(column) + _PADDING for column in columns]
            self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the columns to another width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Give each column what it takes; where the last lacks room the wide ones give way."""
        widths = list(self._wanted)
        # The table itself is as wide as before until it is laid out.
        bar = self.view.verticalScrollBar().sizeHint().width()
        room = self._column.contentsRect().width() - 2 * self.view.frameWidth() - bar
        over = max(0, sum(widths) + _LEAST_NOTE - room)
        for column, least in ((ORIGIN, _LEAST_ORIGIN), (LABEL, _LEAST_LABEL)):
            if column < len(widths):
                gives = min(over, max(0, widths[column] - least))
                widths[column] -= gives
                over -= gives
        for column, width in enumerate(widths):
            self.view.setColumnWidth(column, width)

    def choose(self, path: Path) -> None:
        """Take the keyboard to the value of the setting at `path`, where there is one."""
        for row, setting in enumerate(self.model.rows):
            if setting.key.path == path:
                self.view.setCurrentIndex(self.model.index(row, VALUE))
        self.view.setFocus()

    def commit(self) -> None:
        """Take what is being typed in a cell."""
        self.view.commit()

    def _put_cells(
        self,
        title: str,
        values: Mapping[SettingKey, float | None],
        notes: Mapping[SettingKey, str],
    ) -> bool:
        session = self._session
        # What does not fit stays typed, and is kept.
        session.keep_soon()
        return session.try_edit(title, lambda: put_settings(session.evaluation, values, notes))

    def _note(self, setting: Setting, note: str) -> None:
        session = self._session
        if note != note_of(session.evaluation, setting.key):
            session.try_edit(
                changed_datum("Note", setting.label),
                lambda: put_settings(session.evaluation, {}, {setting.key: note}),
            )

    def _back(self) -> None:
        index, session = self.view.currentIndex(), self._session
        if index.isValid():
            setting = self.model.rows[index.row()]
            session.try_edit(
                decision.usual_again(setting.label),
                lambda: put_settings(session.evaluation, {setting.key: None}, {}),
            )
