"""Working: how the number a person clicked came about, and where to go on from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QUrl, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QTextBrowser, QVBoxLayout, QWidget

from evenbarrel.appraisal.references import LevelledRef, Reference, ShareRef
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import markup
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.desk.window.background import must_wait
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import Path
from evenbarrel.wording.workings import shown

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.decision.decide import Decision
    from evenbarrel.wording.workings.line import Line, Working


class WorkingDrawer(QWidget):
    """Follows the session's `show_working`; a line that opens further is a link.

    Beside an input that a person enters stands a quiet link to its field.
    """

    datum_wanted = Signal(tuple)
    """Carries the Path of the datum to go to."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._theme = theme
        self._trail: list[Reference] = []
        self._links: tuple[Reference, ...] = ()
        self._paths: tuple[Path, ...] = ()
        self._written = ""
        self.back = QPushButton("◂ &Back")
        self.back.setAccessibleName("Back to the previous working")
        self.back.clicked.connect(self.go_back)
        self.text = QTextBrowser()
        self.text.setAccessibleName("Working")
        self.text.setOpenLinks(False)
        self.text.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextBrowserInteraction
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.text.anchorClicked.connect(self._follow)
        shortcut = QShortcut(QKeySequence.StandardKey.Back, self.text)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(self.go_back)
        self._lay_out()
        session.show_working.connect(self.open)
        session.costing.done.connect(self._fill_in)
        theme.changed.connect(self._show)
        self._show()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.addWidget(heading("Working"))
        row.addStretch(1)
        row.addWidget(self.back)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID // 2)
        nest(column, row)
        column.addWidget(self.text, 1)

    @property
    def reference(self) -> Reference | None:
        """What is shown, or None."""
        return self._trail[-1] if self._trail else None

    def open(self, reference: Reference) -> None:
        """Show the working of a number."""
        if reference != self.reference:
            self._trail.append(reference)
        self._show()
        self.text.moveCursor(self.text.textCursor().MoveOperation.Start)

    def go_back(self) -> None:
        """Show what was shown before."""
        if len(self._trail) > 1:
            self._trail.pop()
            self._show()

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show the same number as it is now, or say that it is gone."""
        if self.reference is not None:
            place = self.text.verticalScrollBar().value()
            self._show()
            self.text.verticalScrollBar().setValue(place)

    def _fill_in(self, decision: Decision) -> None:
        """Show what waited for costs."""
        if decision is self._session.decision and self.isVisible():
            self._show()

    def _show(self) -> None:
        self.back.setEnabled(len(self._trail) > 1)
        self._links, self._paths = (), ()
        appraisal = self._session.appraisal
        if self.reference is None or appraisal is None:
            self._write(self._paragraph(shown.NOTHING_OPEN))
            return
        decision = self._session.decision
        by_order = isinstance(self.reference, LevelledRef | ShareRef)
        if by_order and decision is not None and must_wait(decision):
            self._session.costing.want(decision)
            self._write(self._paragraph(shown.COSTING))
            return
        found = shown.working_or_none(appraisal, self.reference, decision)
        self._write(self._paragraph(shown.GONE) if found is None else self._html(found))

    def _write(self, html: str) -> None:
        # Most edits leave a number as it came about: nothing is laid out anew then.
        if html != self._written:
            self._written = html
            self.text.setHtml(html)

    def _html(self, found: Working) -> str:
        self._links = tuple(line.reference for line in found.lines if line.reference is not None)
        self._paths = tuple(line.path for line in found.lines if line.path)
        parts = [f"<h4>{markup(found.title)}</h4>", f"<p><b>{markup(found.result)}</b></p>"]
        if found.formula:
            parts.append(f"<p>{markup(found.formula)}</p>")
        if found.lines:
            rows = "".join(self._row(line) for line in found.lines)
            parts.append(f'<table width="100%" cellspacing="0" cellpadding="3">{rows}</table>')
        parts += [self._paragraph(note) for note in found.notes]
        if found.literature:
            parts.append(self._paragraph(shown.sources(found.literature)))
        return "".join(parts)

    def _row(self, line: Line) -> str:
        label, value = markup(line.label), markup(line.value)
        if line.reference is not None:
            link = self._links.index(line.reference)
            accent = self._theme.colours.accent
            label = f'<a href="open:{link}" style="color:{accent}">{label}</a>'
        below = [markup(line.stated)] if line.stated else []
        faint = self._theme.colours.faint_text
        if line.path:
            link, words = self._paths.index(line.path), shown.way_in(line)
            below.append(f'<a href="datum:{link}" style="color:{faint}">{words}</a>')
        given = f'<br><span style="color:{faint}">{" · ".join(below)}</span>' if below else ""
        if not value:
            return f'<tr><td colspan="2">{label}{given}</td></tr>'
        return f'<tr><td valign="top">{label}{given}</td><td valign="top">{value}</td></tr>'

    def _paragraph(self, text: str) -> str:
        return f'<p style="color:{self._theme.colours.faint_text}">{markup(text)}</p>'

    def _follow(self, url: QUrl) -> None:
        kind, place = url.scheme(), int(url.path()) if url.path().isdigit() else -1
        if kind == "open" and 0 <= place < len(self._links):
            self.open(self._links[place])
        elif kind == "datum" and 0 <= place < len(self._paths):
            self.datum_wanted.emit(self._paths[place])
