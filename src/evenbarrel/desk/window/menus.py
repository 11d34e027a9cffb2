"""The menus."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QDialog, QMainWindow, QMenu, QVBoxLayout, QWidget

from evenbarrel import __version__
from evenbarrel.desk.collecting.collect_menu import fill_sending, fill_ways
from evenbarrel.desk.collecting.ways import Wish
from evenbarrel.desk.style.buttons import close_button, size_window
from evenbarrel.desk.style.plain import Label, name_window, on_button
from evenbarrel.desk.style.scrolling import Scrolling
from evenbarrel.desk.style.theme import GRID, NAMES, Theme, heading
from evenbarrel.desk.window.files.documents import Documents
from evenbarrel.desk.window.files.exports import Export
from evenbarrel.desk.window.session import Session
from evenbarrel.resources import sample_name
from evenbarrel.wording.sentences.asking.collecting import COLLECT_MENU
from evenbarrel.wording.sentences.pages import DRAWERS, METHOD
from evenbarrel.wording.words.names import bid_called

_TEXT_WIDTH = 540
_UNITS = (("metric", "&Metric units"), ("us", "&US units"))


class Menus:
    """Builds the menu bar of a window; `show_page_actions` puts a page's own steps into Edit."""

    def __init__(
        self,
        window: QMainWindow,
        session: Session,
        theme: Theme,
        documents: Documents,
        exports: Sequence[Export],
        pages: Sequence[str],
        go_to: Callable[[int], None],
        take_look: Callable[[], None],
        collect: Callable[[Wish], None],
        what_if: Callable[[], None],
    ) -> None:
        self._window = window
        self._session = session
        self._theme = theme
        self._documents = documents
        self._page_actions: list[QAction] = []
        self._build_file(exports)
        self._build_edit(what_if)
        self._build_view(pages, go_to)
        self._build_collect(collect)
        self._build_help(take_look)

    def show_page_actions(self, actions: Sequence[QAction]) -> None:
        """Offer the visible page's own steps in the Edit menu."""
        for action in self._page_actions:
            self.edit.removeAction(action)
        self._page_actions = list(actions)
        self.edit.addActions(self._page_actions)

    def _add(
        self, menu: QMenu, text: str, act: Callable[[], object], keys: object = None
    ) -> QAction:
        action = QAction(text, self._window)
        if isinstance(keys, QKeySequence.StandardKey | str):
            action.setShortcut(QKeySequence(keys))
        action.triggered.connect(lambda: act())
        menu.addAction(action)
        return action

    def _build_file(self, exports: Sequence[Export]) -> None:
        key, documents = QKeySequence.StandardKey, self._documents
        menu = self._window.menuBar().addMenu("&File")
        self._add(menu, "&New", documents.new, key.New)
        self._add(menu, "&Open…", documents.open, key.Open)
        self._add(menu, "Open sa&mple", documents.open_sample).setEnabled(sample_name() is not None)
        self.recent = menu.addMenu("&Recent")
        self.recent.aboutToShow.connect(self._fill_recent)
        menu.addSeparator()
        self._add(menu, "&Save", documents.save, key.Save)
        self._add(menu, "Save &as…", documents.save_as, "Ctrl+Shift+S")
        menu.addSeparator()
        export_menu = menu.addMenu("&Export")
        for export in exports:
            keys = "Ctrl+E" if export.ending == ".pdf" else None
            self._add(export_menu, export.text, partial(documents.export, export), keys)
        self.letters = menu.addMenu("Open questions as &letter")
        self.letters.aboutToShow.connect(self._fill_letters)
        menu.addSeparator()
        self._add(menu, "&Quit", self._window.close, "Ctrl+Q")

    def _fill_recent(self) -> None:
        self.recent.clear()
        for path in self._session.recent.paths():
            text = on_button(str(path))
            self._add(self.recent, text, partial(self._documents.open_recent, path))
        if self.recent.isEmpty():
            self.recent.addAction("None yet").setEnabled(False)

    def _fill_letters(self) -> None:
        self.letters.clear()
        for bid in self._session.evaluation.suppliers_bids:
            text = on_button(f"To {bid_called(self._session.evaluation, bid)}…")
            self._add(self.letters, text, partial(self._documents.write_letter, bid.id))
        if self.letters.isEmpty():
            self.letters.addAction("No supplier yet").setEnabled(False)

    def _build_edit(self, what_if: Callable[[], None]) -> None:
        self.edit = self._window.menuBar().addMenu("&Edit")
        stack, key = self._session.undo_stack, QKeySequence.StandardKey
        for action, keys in (
            (stack.createUndoAction(self._window, "&Undo"), key.Undo),
            (stack.createRedoAction(self._window, "&Redo"), key.Redo),
        ):
            action.setShortcuts(QKeySequence.keyBindings(keys))
            self.edit.addAction(action)
        self.edit.addSeparator()
        self._add(self.edit, "What &if…", what_if, "F8")
        self.edit.addSeparator()

    def _build_view(self, pages: Sequence[str], go_to: Callable[[int], None]) -> None:
        menu = self._window.menuBar().addMenu("&View")
        for place, title in enumerate(pages):
            self._add(menu, title, partial(go_to, place), f"Alt+{place + 1}")
        menu.addSeparator()
        self.drawers = QAction(DRAWERS, self._window)
        self.drawers.setShortcut(QKeySequence("F9"))
        self.drawers.setCheckable(True)
        self.drawers.setChecked(True)
        menu.addAction(self.drawers)
        menu.addSeparator()
        palettes = QActionGroup(self._window)
        for name in NAMES:
            action = self._add(menu, f"Palette: {name}", partial(self._theme.switch, name))
            action.setCheckable(True)
            action.setChecked(name == self._theme.colours.name)
            palettes.addAction(action)
        menu.addSeparator()
        self._units = QActionGroup(self._window)
        for code, text in _UNITS:
            action = self._add(menu, text, partial(self._show_in, code))
            action.setCheckable(True)
            action.setData(code)
            self._units.addAction(action)
        menu.aboutToShow.connect(self._check_units)

    def _check_units(self) -> None:
        for action in self._units.actions():
            action.setChecked(action.data() == self._session.evaluation.display_units)

    def _show_in(self, units: str) -> None:
        self._session.put(("display_units",), units, f"Show {units} units")

    def _build_collect(self, collect: Callable[[Wish], None]) -> None:
        menu = self._window.menuBar().addMenu(COLLECT_MENU)
        fill_ways(menu, collect, with_keys=True)
        fill_sending(menu, self._session, collect)

    def _build_help(self, take_look: Callable[[], None]) -> None:
        menu = self._window.menuBar().addMenu("&Help")
        about = f"Evenbarrel {__version__}"
        text = "Compares offers of injection units: every barrel on one volume basis. MIT licence."
        self._add(menu, "&Glossary", self._explain, "F1")
        self._add(menu, "Guided &look at the sample", take_look)
        self._add(menu, "&Method and limits", partial(self._show_text, "Method", METHOD))
        self._add(menu, "&About Evenbarrel", partial(self._show_text, about, (text,)))

    def _explain(self) -> None:
        # Loaded when it is first wanted.
        from evenbarrel.desk.help.glossary_window import explain_focus

        explain_focus(self._window)

    def _show_text(self, title: str, paragraphs: Sequence[str]) -> None:
        dialog, inside = QDialog(self._window), QWidget()
        name_window(dialog, title)
        words = QVBoxLayout(inside)
        words.addWidget(heading(title, 2.0))
        for paragraph in paragraphs:
            label = Label(paragraph)
            label.setWordWrap(True)
            words.addWidget(label)
        buttons = close_button(dialog)
        column = QVBoxLayout(dialog)
        column.setContentsMargins(0, 0, GRID, GRID)
        column.setSpacing(0)
        column.addWidget(Scrolling(inside), 1)
        column.addWidget(buttons)
        high = words.totalHeightForWidth(_TEXT_WIDTH - GRID) + buttons.sizeHint().height() + GRID
        size_window(dialog, _TEXT_WIDTH, high)
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()
