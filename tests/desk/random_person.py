"""A person at random: keys and clicks on whatever is visible and enabled, by a seed.

The same seed does the same steps. After each one nothing may have gone wrong, the visible form
must show the thing its page names, and from time to time everything is undone and done again.
"""

from __future__ import annotations

import random
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from unittest.mock import patch

from PySide6.QtCore import (
    QCoreApplication,
    QEvent,
    QModelIndex,
    QPoint,
    Qt,
    QTimer,
)
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QGraphicsView,
    QLineEdit,
    QMenu,
    QMessageBox,
    QTabBar,
    QTextBrowser,
    QWidget,
)
from shiboken6 import isValid

from evenbarrel.desk.forms.form import Form
from evenbarrel.desk.window.files.exports import EXPORTS
from evenbarrel.desk.window.main_window import PAGES, MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.intake.data_sheet.writer import render_sheet
from evenbarrel.intake.files import extract_text
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation

from .random_hand import (
    FITTING,
    IN_A_DIALOG,
    ON_A_PAGE,
    TEXTS,
    Watch,
    any_child,
    any_key,
    bring_into_sight,
    is_part,
    key_of,
    resident_memory,
)

_LEFT = Qt.MouseButton.LeftButton
_NONE = Qt.KeyboardModifier.NoModifier
_CTRL = Qt.KeyboardModifier.ControlModifier
_SHIFT = Qt.KeyboardModifier.ShiftModifier
_KEY = Qt.Key
_REMEMBERED = 25
_SOON_MS = 1000
"""What the program puts off by no longer than this is done before the next step."""
_MOST_TURNS = 50
_BESIDE = (": where printed", ": standing", ": unit", ": half-width and note")
"""What stands beside a value, and is nothing without one."""
_LEAVING = ("New", "Open…", "Open sample")


class Found(AssertionError):
    """Something went wrong; says after which steps."""


class RandomPerson:
    """Does one step after the other on the window in front."""

    def __init__(self, session: Session, window: MainWindow, folder: Path, seed: int) -> None:
        self._session, self._window = session, window
        self._folder, self._seed = folder, seed
        self._dice = random.Random(seed)
        self._begin: Evaluation = session.evaluation
        self.steps: list[str] = []
        self.memory: list[int] = []
        self._front: tuple[QWidget | None, ...] = ()
        self._soon: list[QTimer] = []
        self.edits = 0
        session.undo_stack.indexChanged.connect(self._count)
        self.watch = Watch()
        self._last: deque[str] = deque(maxlen=_REMEMBERED)
        # Else what is typed into a list counts as one word or as two by the clock.
        QApplication.setKeyboardInputInterval(-1)

    @contextmanager
    def present(self) -> Iterator[None]:
        """Sit before the desk: dialogs of the system are answered, faults are noted."""
        with (
            patch.object(QFileDialog, "getOpenFileName", lambda *_: (self._to_open(), "")),
            patch.object(QFileDialog, "getSaveFileName", lambda *a, **_: (self._to_write(a), "")),
            patch.object(QMessageBox, "exec", lambda box: self._answer_box(box)),
            self.watch.on(),
        ):
            yield
            self._close_dialogs()

    def live(self, steps: int, a_document: int = 250) -> None:
        """Do that many steps, each so many in one document; all is undone and redone after them.

        `memory` then holds the bytes in use after each document, once it is closed.
        """
        self._load_all()
        for done in range(0, steps, a_document):
            self._session.open(self._dice.choice(self._documents()))
            self._settle()
            self._begin = self._session.evaluation
            for _ in range(min(a_document, steps - done)):
                self.step()
            self.undo_everything()
            self._session.new()
            self._settle()
            self.memory.append(resident_memory())

    def _documents(self) -> list[Path]:
        broken = self._folder / "broken.evenbarrel.json"
        return sorted(path for path in self._folder.glob("*.evenbarrel.json") if path != broken)

    def _load_all(self) -> None:
        """Show every page and make every export once: what they load is no growth of use."""
        import_module("pyqtgraph")
        self._session.open(self._documents()[0])
        for place in range(len(PAGES)):
            self._window.go_to(place)
            self._settle()
        for export in EXPORTS:
            export.render(self._session.appraisal)
        extract_text(self._session.evaluation, "Screw diameter mm\t40\nStrok mm\t200")
        render_sheet(self._session.appraisal, None)

    def step(self) -> None:
        """Do one step; raises Found where something went wrong in it."""
        popup, dialog = QApplication.activePopupWidget(), QApplication.activeModalWidget()
        if popup is not None:
            self._in_popup(popup)
        elif isinstance(dialog, QFileDialog):
            self._in_file_dialog(dialog)
        elif dialog is not None:
            self._in_dialog(dialog)
        else:
            self._in_window()
        self._settle()
        self._check()

    def undo_everything(self) -> None:
        """Undo to the beginning and redo to the end; both must be what they were."""
        self._close_dialogs()
        stack, session = self._session.undo_stack, self._session
        self._window.commit()
        self._settle()
        place, end = stack.index(), session.evaluation
        self._say(f"undo everything: {place} steps")
        stack.setIndex(0)
        if session.evaluation != self._begin:
            raise self._found("undoing everything does not lead to the beginning")
        stack.setIndex(place)
        if session.evaluation != end:
            raise self._found("redoing does not lead to the end again")
        self._settle()
        self._check()

    # What a step is

    def _in_window(self) -> None:
        self._to_front()
        act = self._chosen(
            (self._press, 22),
            (self._act_on_page, 64),
            (self._act_in_drawers, 8),
            (self._act_in_dialog_beside, 8),
            (self._turn_page, 6),
            (self._open_menu, 5),
            (self._answer_notice, 1),
            (self._resize, 0.5),
        )
        act()

    def _in_dialog(self, dialog: QWidget) -> None:
        if not dialog.isActiveWindow():
            dialog.activateWindow()
            QApplication.processEvents()
        self._chosen(
            (lambda: self._act_on(dialog), 6),
            (self._press_in_dialog, 2),
            (lambda: self._fill(dialog), 2),
        )()

    def _fill(self, dialog: QWidget) -> None:
        """Fill every line and choice of a dialog, and press its first button."""
        for widget in dialog.findChildren(QWidget):
            if isinstance(widget, QLineEdit) and widget.isVisible():
                self._act_on_line(widget, self._dice.choice(FITTING))
            elif isinstance(widget, QComboBox) and widget.isVisible():
                widget.setFocus(Qt.FocusReason.TabFocusReason)
                QTest.keyClick(widget, _KEY.Key_Down)
        box = dialog.findChild(QDialogButtonBox)
        if dialog.isVisible() and box is not None:
            self._act_on_button(box.buttons()[0])

    def _in_file_dialog(self, dialog: QFileDialog) -> None:
        name = self._dice.choice(("offer.bid.json", "offer.txt", "broken.bid.json", "", ""))
        # Of a file that is not there the dialog's own box would tell, which nobody answers.
        if not (self._folder / name).exists():
            name = ""
        line = dialog.findChild(QLineEdit, "fileNameEdit")
        self._say(f"file dialog: {name or 'Escape'}")
        if name and line is not None:
            line.setText(str(self._folder / name))
            QTest.keyClick(line, _KEY.Key_Return)
        if dialog.isVisible():
            dialog.reject()

    def _in_popup(self, popup: QWidget) -> None:
        if not isinstance(popup, QMenu):
            # A pick-list; its keys end it, wherever the mouse was.
            for _ in range(self._dice.randrange(5)):
                self._key(any_key(self._dice, "Down Down Up"))
            self._key(any_key(self._dice, "Return Return Esc"))
            if QApplication.activePopupWidget() is popup:
                popup.hide()
            return
        entries = [a for a in popup.actions() if a.isEnabled() and a.isVisible() and a.text()]
        entries = [a for a in entries if a.text() != "&Quit"]
        if not entries or self._dice.random() < 0.15:
            self._say("menu: Escape")
            QTest.keyClick(popup, _KEY.Key_Escape)
            return
        entry = self._dice.choice(entries)
        text = entry.text().replace("&", "")
        if text in _LEAVING or popup.title() == "&Recent":
            popup.hide()
            self.undo_everything()
            self._say(f"menu: {text}")
            entry.trigger()
            return
        self._say(f"menu: {text}")
        self._click(popup, popup.actionGeometry(entry).center())

    # Acts

    def _press(self) -> None:
        self._key(any_key(self._dice, ON_A_PAGE))

    def _press_in_dialog(self) -> None:
        self._key(any_key(self._dice, IN_A_DIALOG))

    def _turn_page(self) -> None:
        if self._dice.random() < 0.5:
            self._key(f"Alt+{1 + self._dice.randrange(len(PAGES))}")
        else:
            self._act_on_list(self._window.page_list)

    def _open_menu(self) -> None:
        bar = self._window.menuBar()
        head = self._dice.choice(bar.actions())
        self._say(f"open menu {head.text()}")
        self._click(bar, bar.actionGeometry(head).center())

    def _answer_notice(self) -> None:
        buttons = [b for b in self._window.notice.buttons if b.isVisible()]
        if buttons:
            self._act_on_button(self._dice.choice(buttons))

    def _resize(self) -> None:
        size = self._dice.choice(((1400, 900), (1024, 700), (1200, 800)))
        self._say(f"resize {size}")
        self._window.resize(*size)

    def _act_on_page(self) -> None:
        self._act_on(self._window.page)

    def _act_in_drawers(self) -> None:
        shown = [one for one in self._window._drawers if one.isVisible()]
        if shown:
            self._act_on(self._dice.choice(shown))

    def _act_in_dialog_beside(self) -> None:
        beside = [d for d in self._window.findChildren(QDialog) if d.isVisible()]
        if not beside:
            self._act_on_page()
            return
        dialog = self._dice.choice(beside)
        dialog.activateWindow()
        QApplication.processEvents()
        if self._dice.random() < 0.15:
            self._key("Esc")
        else:
            self._act_on(dialog)

    def _act_on(self, area: QWidget) -> None:
        """Act on one widget inside, each kind as likely as it is usual."""
        kinds: tuple[tuple[type[QWidget], float, Callable[..., None]], ...] = (
            (QLineEdit, 6, self._act_on_line),
            (QComboBox, 3, self._act_on_combo),
            (QAbstractButton, 4, self._act_on_button),
            (QAbstractItemView, 5, self._act_on_list),
            (QTabBar, 1, self._act_on_tabs),
            (QTextBrowser, 2, self._act_on_browser),
            (QGraphicsView, 1, self._act_on_picture),
        )
        offers = []
        for kind, weight, act in kinds:
            found = (w for w in area.findChildren(kind) if w.isVisible() and w.isEnabled())
            widgets = [w for w in found if not is_part(w)]
            if widgets:
                offers.append(((act, widgets), weight))
        if offers:
            act, widgets = self._chosen(*offers)
            weights = [0.2 if w.accessibleName().endswith(_BESIDE) else 1.0 for w in widgets]
            act(self._dice.choices(widgets, weights)[0])

    def _act_on_line(self, line: QLineEdit, text: str | None = None) -> None:
        bring_into_sight(line)
        self._click(line)
        if self._dice.random() < 0.8:
            QTest.keyClick(line, _KEY.Key_A, _CTRL)
        self._write(self._any_text() if text is None else text, line.accessibleName())

    def _any_text(self) -> str:
        return self._dice.choice(FITTING if self._dice.random() < 0.6 else TEXTS)

    def _act_on_combo(self, combo: QComboBox) -> None:
        bring_into_sight(combo)
        name = combo.accessibleName()
        if self._dice.random() < 0.5:
            self._say(f"open choice {name!r}")
            self._click(combo)
            return
        keys = self._dice.choices(("Down", "Up", "End"), k=2)
        combo.setFocus(Qt.FocusReason.TabFocusReason)
        for key in keys:
            # An editor of a grid is closed by the first one.
            self._key(key)

    def _act_on_button(self, button: QAbstractButton) -> None:
        bring_into_sight(button)
        self._say(f"button {button.accessibleName() or button.text()!r}")
        self._click(button, QPoint(min(10, button.width() // 2), button.height() // 2))

    def _act_on_list(self, view: QAbstractItemView) -> None:
        """Click a cell; perhaps type into it, or go on by keys."""
        bring_into_sight(view)
        index = self._any_index(view)
        if index is None:
            return
        view.scrollTo(index)
        held = self._dice.choice((_NONE, _NONE, _NONE, _NONE, _CTRL, _SHIFT))
        typed = ("type",) * 6 if view.editTriggers() else ()
        then = self._dice.choice(("", "", "twice", "keys", *typed))
        place = (index.row(), index.column())
        self._say(f"cell {place} of {view.accessibleName()!r} {held.name} {then}")
        at = view.visualRect(index).center()
        QTest.mouseClick(view.viewport(), _LEFT, held, at)
        if then == "twice":
            QTest.mouseDClick(view.viewport(), _LEFT, held, at)
        elif then == "type":
            self._key("F2")
            self._write(self._any_text(), "a cell")
        elif then == "keys":
            for _ in range(3):
                self._key(any_key(self._dice, "Down Right Tab Return Left"))

    def _any_index(self, view: QAbstractItemView) -> QModelIndex | None:
        model, parent = view.model(), QModelIndex()
        if model is None:
            return None
        index = any_child(self._dice, model, parent)
        while index is not None and self._dice.random() < 0.7:
            child = any_child(self._dice, model, index)
            if child is None or not view.visualRect(child).isValid():
                break
            index = child
        return index

    def _act_on_tabs(self, tabs: QTabBar) -> None:
        place = self._dice.randrange(tabs.count())
        if tabs.isTabVisible(place):
            self._say(f"tab {tabs.tabText(place)!r}")
            self._click(tabs, tabs.tabRect(place).center())

    def _act_on_browser(self, browser: QTextBrowser) -> None:
        area = browser.viewport().rect()
        spots = [QPoint(x, y) for y in range(4, area.height(), 8) for x in (20, 60)]
        links = [spot for spot in spots if browser.anchorAt(spot)]
        if links:
            spot = self._dice.choice(links)
            self._say(f"link {browser.anchorAt(spot)}")
            self._click(browser.viewport(), spot)

    def _act_on_picture(self, picture: QGraphicsView) -> None:
        area = picture.viewport().rect()
        if area.width() > 1 and area.height() > 1:
            spot = QPoint(self._dice.randrange(area.width()), self._dice.randrange(area.height()))
            self._say(f"picture at {spot.toTuple()}")
            self._click(picture.viewport(), spot)

    def _write(self, text: str, where: str) -> None:
        """Type a text, or paste what no key writes, and end it in some way."""
        self._say(f"type {text[:40]!r} into {where!r}")
        if text.isascii() and text.isprintable() and len(text) < 40:
            for letter in text:
                QTest.keyClicks(self._focus(), letter)
        else:
            QGuiApplication.clipboard().setText(text)
            self._key("Ctrl+V")
        if self._dice.random() < 0.85:
            self._key(any_key(self._dice, "Tab Tab Return Esc Down"))

    # Answers to what stops a person

    def _to_open(self) -> str:
        others = (self._folder / f"{name}.evenbarrel.json" for name in ("broken", "missing"))
        path = self._dice.choice((*self._documents(), *others, None))
        self._say(f"file to open: {path and path.name}")
        return "" if path is None else str(path)

    def _to_write(self, asked: tuple[object, ...]) -> str:
        is_save = asked[1] == "Save evaluation"
        names = ("mine.evenbarrel.json", "mine", "new", "") if is_save else ("", "", "", "out")
        name = self._dice.choice((*names, "\u202ename"))
        self._say(f"file to write: {name!r}")
        return str(self._folder / name) if name else ""

    def _answer_box(self, box: QMessageBox) -> int:
        box.show()
        button = self._dice.choice(box.buttons())
        self._say(f"{box.text()[:40]!r}: {button.text()}")
        self._click(button)
        return box.result()

    # Before and after

    def _settle(self) -> None:
        """Let the program do what it has put off, whatever the clock says."""
        QApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        for _ in range(_MOST_TURNS):
            due = next((one for one in self._timers() if isValid(one) and one.isActive()), None)
            if due is None:
                break
            due.stop()
            due.timeout.emit()
        exports = getattr(self._window.page, "exports", self._window.documents)
        jobs = {exports.exporter.job, self._window.documents.exporter.job}
        collecting = getattr(self._window.page, "collecting", None)
        if collecting is not None:
            jobs |= {collecting.collector.job, collecting.collector.exporter.job}
        for job in jobs:
            # Of several files each is read once the one before is.
            while job.is_running:
                job._pool.waitForDone()
                QApplication.processEvents()

    def _timers(self) -> list[QTimer]:
        """Return what puts things off in what is in front; searched where that is another."""
        front = self._window.page, QApplication.activeWindow()
        if front != self._front:
            found = self._window.findChildren(QTimer)
            self._soon = [one for one in found if one.isSingleShot() and one.interval() <= _SOON_MS]
            self._front = front
        return self._soon

    def _check(self) -> None:
        session, stack = self._session, self._session.undo_stack
        if self.watch.exceptions:
            raise self._found(self.watch.exceptions[0])
        if self.watch.warnings:
            raise self._found(f"Qt: {self.watch.warnings[0]}")
        if stack.count() == 0:
            self._begin = session.evaluation
        elif stack.index() == 0 and session.evaluation != self._begin:
            raise self._found("everything is undone, but it is not the beginning")
        if session.appraisal is None or session.appraisal.evaluation is not session.evaluation:
            raise self._found("the appraisal is of another evaluation")
        page = self._window.page
        forms = [page.form] if hasattr(page, "form") else getattr(page, "forms", {}).values()
        for form in forms:
            if form.isVisible() and form.subject is not None:
                self._check_form(form)

    def _check_form(self, form: Form) -> None:
        thing = edits.get(self._session.evaluation, form.subject.path)
        for name, field in form.fields.items():
            if field.shown != getattr(thing, name):
                raise self._found(f"{field.label} of {form.subject} shows {field.shown}")
        page = self._window.page
        if form is getattr(page, "form", None):
            row = page.table.currentIndex().row()
            if page.model.place_of(form.subject.job) != row:
                raise self._found(f"row {row} is chosen, the form shows {form.subject}")

    def _count(self) -> None:
        self.edits += 1

    def _found(self, what: str) -> Found:
        told = "\n  ".join(self._last)
        return Found(f"seed {self._seed}, step {len(self.steps)}: {what}\nlast:\n  {told}")

    def _close_dialogs(self) -> None:
        while (popup := QApplication.activePopupWidget()) is not None:
            popup.hide()
        for dialog in self._window.findChildren(QDialog):
            if dialog.isVisible():
                dialog.reject()
        self._settle()

    def _to_front(self) -> None:
        if not self._window.isActiveWindow():
            self._window.activateWindow()
            QApplication.processEvents()

    def _focus(self) -> QWidget:
        return QApplication.focusWidget() or QApplication.activeModalWidget() or self._window

    def _key(self, text: str) -> None:
        """Press a key, written as "Ctrl+Z", where the keyboard is."""
        target = self._focus()
        self._say(f"{text} in {target.accessibleName()!r}")
        QTest.keyClick(target, *key_of(text))

    def _click(self, widget: QWidget, at: QPoint | None = None) -> None:
        QTest.mouseClick(widget, _LEFT, _NONE, at or widget.rect().center())

    def _say(self, text: str) -> None:
        self.steps.append(text)
        self._last.append(text)

    def _chosen(self, *offers):  # type: ignore[no-untyped-def]
        """Return one of the offers, each as likely as the weight beside it."""
        return self._dice.choices([o for o, _ in offers], [w for _, w in offers])[0]
