"""A resin added to an evaluation: of the shipped table, or one that only its name is known of."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLineEdit,
    QListWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.style.buttons import size_window
from evenbarrel.desk.style.plain import Label, list_item, name_window
from evenbarrel.desk.style.theme import GRID, faint
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.resin import Resin
from evenbarrel.storage.resin_table import TableEntry, table
from evenbarrel.wording.sentences import pages


def with_resin(evaluation: Evaluation, resin: Resin) -> tuple[Evaluation, str]:
    """Return the evaluation with a copy of `resin`, and the copy's id, which may be new."""
    taken = {one.id for one in evaluation.resins}
    name = resin.id if resin.id not in taken else edits.free_id(taken, f"{resin.id}_")
    return edits.append(evaluation, ("resins",), resin.replace(id=name)), name


def with_named_resin(evaluation: Evaluation, name: str) -> tuple[Evaluation, str]:
    """Return the evaluation with a resin of which only the name is known, and its id."""
    taken = {one.id for one in evaluation.resins} | {entry.resin.id for entry in table()}
    return with_resin(evaluation, Resin(id=edits.free_id(taken, "resin"), name=name))


class TableDialog(QDialog):
    """The shipped table: type a few letters, choose, add; what it lacks is added by its name."""

    picked = Signal(object)
    """Carries the Resin chosen."""
    named = Signal(str)
    """Carries what a resin is called that the table does not have."""

    def __init__(self, parent: QWidget | None = None, sought: str = "") -> None:
        super().__init__(parent)
        name_window(self, "Resin table")
        size_window(self, 620, 480)
        self.search = QLineEdit()
        self.search.setPlaceholderText("Name or family")
        self.search.setAccessibleName("Search the resin table")
        self.list = QListWidget()
        self.list.setAccessibleName("Resins of the table")
        self._about = faint(Label())
        self._about.setWordWrap(True)
        self._about.setMinimumHeight(GRID * 8)
        self._about.setAlignment(Qt.AlignmentFlag.AlignTop)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.button(QDialogButtonBox.StandardButton.Ok).setText(pages.ADD_RESIN)
        column = QVBoxLayout(self)
        for widget in (self.search, self.list, self._about, buttons):
            column.addWidget(widget)
        self.search.textChanged.connect(self._fill)
        self.list.currentItemChanged.connect(lambda *_: self._show_about())
        self.list.itemActivated.connect(lambda _: self.accept())
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self._fill("")
        self.search.setText(sought)

    def accept(self) -> None:
        """Hand over the resin chosen."""
        chosen = self._chosen()
        if isinstance(chosen, str):
            self.named.emit(chosen)
        elif chosen is not None:
            self.picked.emit(chosen.resin)
        if chosen is not None:
            super().accept()

    def _fill(self, text: str) -> None:
        self.list.clear()
        wanted = text.strip()
        entries = [
            entry
            for entry in table()
            if text.casefold() in f"{entry.resin.name} {entry.resin.family}".casefold()
        ]
        for entry in entries:
            item = list_item(f"{entry.resin.name}  ({entry.resin.family})")
            item.setData(Qt.ItemDataRole.UserRole, entry)
            self.list.addItem(item)
        names = {entry.resin.name.casefold() for entry in entries}
        if wanted and wanted.casefold() not in names:
            item = list_item(pages.new_resin(wanted))
            item.setData(Qt.ItemDataRole.UserRole, wanted)
            self.list.addItem(item)
        self.list.setCurrentRow(0)

    def _chosen(self) -> TableEntry | str | None:
        """Return the entry of the table that is marked, or the name of one that it lacks."""
        item = self.list.currentItem()
        if item is None:
            return None
        chosen: TableEntry | str = item.data(Qt.ItemDataRole.UserRole)
        return chosen

    def _show_about(self) -> None:
        chosen = self._chosen()
        if isinstance(chosen, TableEntry):
            self._about.setText("\n".join((*window_lines(chosen), chosen.notes)))
        else:
            self._about.setText("" if chosen is None else pages.RESIN_WITHOUT_DATA)


def window_lines(entry: TableEntry) -> tuple[str, ...]:
    """Return the windows of a resin of the table, a line each."""
    return tuple(pages.window_line(one) for one in entry.windows)


def ask_for_resin(session: Session, parent: QWidget, then: Callable[[str], object]) -> TableDialog:
    """Open the table; the resin chosen is added in one step and its id handed to `then`."""
    dialog = TableDialog(parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)

    def add(made: tuple[Evaluation, str]) -> None:
        after, name = made
        session.edit(pages.ADD_RESIN, after)
        then(name)

    dialog.picked.connect(lambda resin: add(with_resin(session.evaluation, resin)))
    dialog.named.connect(lambda name: add(with_named_resin(session.evaluation, name)))
    dialog.open()
    return dialog
