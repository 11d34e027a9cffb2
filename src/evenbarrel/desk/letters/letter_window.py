"""The window of one letter: its words to be edited, the table of what is missing, ways to send."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent, QTextCursor
from PySide6.QtWidgets import (
    QBoxLayout,
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QPlainTextEdit,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.drawers import question_actions
from evenbarrel.desk.fields.make import field_for
from evenbarrel.desk.forms.decision_forms import date_shape, text_shape
from evenbarrel.desk.help.glossary_window import explain_by_f1
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.letters.drafts import Draft
from evenbarrel.desk.style.buttons import size_window
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, name_window, set_tip, to_clipboard
from evenbarrel.desk.style.scrolling import Scrolling
from evenbarrel.desk.style.theme import GRID, Theme, faint, heading
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window.files.exports import AskPath, Export, Exporter
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import Context
from evenbarrel.wording.sentences.asking import letter_window as words
from evenbarrel.wording.sentences.asking import letters
from evenbarrel.wording.sentences.pages import WAIT_FOR_VERDICTS
from evenbarrel.wording.sheets.missing import letter_sheet
from evenbarrel.wording.words.names import bid_called
from evenbarrel.wording.words.visible import visible

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

WIDTH, HEIGHT = 1000, 680
_BUTTONS_WIDTH, _LEAST = 840, QSize(560, 240)
"""What the buttons need in one row, and what the window needs with two [px]."""
_CLOSING_LINES = 3
_WORDS, _TABLE = 3, 2
"""How the room is shared between the words and the table, until a person moves the bar."""


class LetterWindow(QDialog):
    """Shows one letter, and keeps in its draft what a person changes."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        bid: str,
        draft: Draft,
        ask: AskPath,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._session, self._bid, self._draft = session, bid, draft
        self._showing = False
        self.to = heading("", 2.0)
        self.subject = Label()
        self.person = field_for(text_shape("person", words.PERSON), Context())
        self.day = field_for(date_shape("day", words.DAY), Context())
        self.answer_by = field_for(date_shape("answer_by", words.ANSWER_BY), Context())
        self.only_new = QCheckBox(words.ONLY_NEW)
        self.changed = Label(words.CHANGED)
        self.anew = QPushButton(words.ANEW)
        self.words, self.closing = QPlainTextEdit(), QPlainTextEdit()
        self.missing = QWidget()
        self.table = SheetView(theme, words.TABLE)
        self.until, self.signed = Label(), faint(Label())
        self.notice = Notice()
        self.exporter = Exporter(session, self.notice, ask, self)
        self.copy = QPushButton(words.COPY)
        self.as_pdf, self.as_text = QPushButton(words.AS_PDF), QPushButton(words.AS_TEXT)
        self.sheet, self.mark = QPushButton(words.AS_SHEET), QPushButton()
        explain(self, "place.letter")
        explain_by_f1(self)
        self._lay_out()
        self._connect()
        size_window(self, WIDTH, HEIGHT)
        self.show_letter()
        self.words.setFocus()

    def letter(self) -> letters.Letter | None:
        """Return the letter as it stands, with what is still being typed.

        None, and told, while what is entered is not appraised yet.
        """
        for field in (self.person, self.day, self.answer_by):
            field.commit()
        appraisal = self._appraisal()
        if appraisal is None:
            self.notice.show_message(WAIT_FOR_VERDICTS)
            return None
        return self._letter(appraisal)

    def show_letter(self) -> None:
        """Show the letter as it is now; what a person wrote stays."""
        appraisal = self._appraisal()
        if appraisal is None:
            return
        self._showing = True
        letter = self._letter(appraisal)
        evaluation = appraisal.evaluation
        title = words.title(bid_called(evaluation, evaluation.bid(self._bid)))
        name_window(self, title)
        self.to.setText(title)
        self.subject.setText(letter.subject)
        for field, value in (
            (self.person, self._draft.person),
            (self.day, self._draft.day),
            (self.answer_by, self._draft.answer_by),
        ):
            field.show_value(value)
        self.only_new.setChecked(self._draft.only_new)
        _show(self.words, letter.words)
        _show(self.closing, letter.closing)
        self._show_table(letter)
        self.until.setText(letter.answer_by)
        self.until.setVisible(bool(letter.answer_by))
        self.signed.setText("\n".join(letter.signed))
        self._draft.suggested = self._draft.suggested or self._suggested()
        outdated = self._draft.words is not None and self._draft.suggested != self._suggested()
        self.changed.setVisible(outdated)
        self.anew.setVisible(self._draft.words is not None)
        asks = bool(letters.letter_questions(appraisal, self._bid, self._only_new))
        self.mark.setText(words.mark_button(self._count(appraisal)))
        self.mark.setVisible(asks)
        self.sheet.setEnabled(asks)
        self._showing = False

    @property
    def _only_new(self) -> bool:
        return self._draft.only_new

    def _appraisal(self) -> Appraisal | None:
        return self._session.appraisal if self._session.is_current else None

    def _count(self, appraisal: Appraisal) -> str:
        return letters.asked_count(appraisal, self._bid, self._only_new)

    def _suggested(self) -> str:
        appraisal = self._appraisal()
        if appraisal is None:
            return self._draft.suggested
        return visible(letters.letter_words(appraisal, self._bid, self._only_new))

    def _letter(self, appraisal: Appraisal) -> letters.Letter:
        draft = self._draft
        particulars = letters.Particulars(draft.person, draft.day, draft.answer_by, draft.only_new)
        return letters.make_letter(appraisal, self._bid, particulars, draft.words, draft.closing)

    def _show_table(self, letter: letters.Letter) -> None:
        self.missing.setVisible(bool(letter.table.rows))
        self.table.set_sheet(letter_sheet(letter.table))

    def _lay_out(self) -> None:
        for text, name in ((self.words, words.WORDS), (self.closing, words.CLOSING)):
            text.setAccessibleName(name)
            text.setTabChangesFocus(True)
        self.closing.setFixedHeight(self.fontMetrics().lineSpacing() * _CLOSING_LINES)
        row = QHBoxLayout()
        row.addWidget(self.only_new)
        row.addStretch(1)
        row.addWidget(self.changed)
        row.addWidget(self.anew)
        # In a low window the letter scrolls; what can be done with it stays in sight.
        inside = QWidget()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 2 * GRID)
        outer.setSpacing(GRID)
        # Else the buttons in one row would keep the window from ever being narrower.
        outer.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        self.setMinimumSize(_LEAST)
        outer.addWidget(Scrolling(inside), 1)
        nest(outer, self._buttons())
        column = QVBoxLayout(inside)
        column.setContentsMargins(2 * GRID, 2 * GRID, 2 * GRID, 0)
        column.setSpacing(GRID // 2)
        column.addWidget(self.to)
        nest(column, self._fields())
        nest(column, row)
        column.addWidget(self.notice)
        column.addWidget(self.subject)
        column.addWidget(self._words_and_table(), 1)
        for widget in (self.until, self.closing, self.signed):
            column.addWidget(widget)

    def _fields(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(2 * GRID)
        for field in (self.person, self.day, self.answer_by):
            label = Label(field.label)
            label.setBuddy(field)
            column = QVBoxLayout()
            column.setSpacing(2)
            column.addWidget(label)
            column.addWidget(field)
            nest(row, column, 1)
        return row

    def _words_and_table(self) -> QSplitter:
        below = QVBoxLayout(self.missing)
        below.setContentsMargins(0, 0, 0, 0)
        below.addWidget(Label(letters.TO_FILL))
        below.addWidget(self.table)
        both = QSplitter(Qt.Orientation.Vertical)
        both.setChildrenCollapsible(False)
        for place, (widget, share) in enumerate(((self.words, _WORDS), (self.missing, _TABLE))):
            both.addWidget(widget)
            both.setStretchFactor(place, share)
        return both

    def _buttons(self) -> QBoxLayout:
        set_tip(self.sheet, words.SHEET_TIP)
        close = QPushButton(words.CLOSE)
        close.clicked.connect(self.close)
        send, end = QHBoxLayout(), QHBoxLayout()
        for row, buttons in (
            (send, (self.copy, self.as_pdf, self.as_text, self.sheet)),
            (end, (self.mark, close)),
        ):
            for button in buttons:
                # Enter in a field takes what was typed, and no more.
                button.setAutoDefault(False)
                row.addWidget(button)
        self.anew.setAutoDefault(False)
        send.addStretch(1)
        end.insertStretch(0, 1)
        self._ways = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._ways.setContentsMargins(2 * GRID, 0, 2 * GRID, 0)
        self._ways.setSpacing(GRID)
        for row in (send, end):
            nest(self._ways, row)
        return self._ways

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the buttons in two rows where they have no room in one."""
        super().resizeEvent(event)
        direction = QBoxLayout.Direction
        beside = self.width() >= _BUTTONS_WIDTH
        self._ways.setDirection(direction.LeftToRight if beside else direction.TopToBottom)

    def _connect(self) -> None:
        self.person.edited.connect(partial(self._take, "person"))
        self.day.edited.connect(partial(self._take, "day"))
        self.answer_by.edited.connect(partial(self._take, "answer_by"))
        self.only_new.toggled.connect(partial(self._take, "only_new"))
        self.words.textChanged.connect(self._take_words)
        self.closing.textChanged.connect(self._take_closing)
        self.anew.clicked.connect(self._suggest_anew)
        self.copy.clicked.connect(self._copy)
        self.as_pdf.clicked.connect(lambda: self._save(words.AS_PDF, "PDF", ".pdf", _pdf))
        self.as_text.clicked.connect(lambda: self._save(words.AS_TEXT, "text", ".txt", _text))
        self.sheet.clicked.connect(self._save_sheet)
        self.mark.clicked.connect(self._mark_asked)
        self.exporter.job.done.connect(self._offer_marking)
        self.finished.connect(lambda _: self.exporter.wait())

    def _take(self, name: str, value: object) -> None:
        if self._showing:
            return
        setattr(self._draft, name, value)
        if name == "person":
            self._session.person = self._draft.person
        self.show_letter()

    def _take_words(self) -> None:
        if self._showing:
            return
        written, suggested = self.words.toPlainText(), self._suggested()
        if self._draft.words is None:
            self._draft.suggested = suggested
        self._draft.words = None if written == suggested else written
        self.anew.setVisible(self._draft.words is not None)
        if self._draft.words is None:
            self.changed.hide()
        self._session.keep_soon()

    def _take_closing(self) -> None:
        if not self._showing:
            self._draft.closing = self.closing.toPlainText()
            self._session.keep_soon()

    def _suggest_anew(self) -> None:
        """Put the suggested words in place of those written; Ctrl+Z brings these back."""
        cursor = self.words.textCursor()
        cursor.select(QTextCursor.SelectionType.Document)
        cursor.insertText(self._suggested())
        self.words.setFocus()
        self.show_letter()

    def _copy(self) -> None:
        letter = self.letter()
        if letter is not None:
            to_clipboard(letters.letter_text(letter))
            self._know_sent()
            self._offer_to_mark(words.COPIED)

    def _save(
        self, title: str, what: str, ending: str, render: Callable[[letters.Letter], bytes]
    ) -> None:
        letter = self.letter()
        if letter is None:
            return
        name = letters.letter_name(self._session.evaluation.bid(self._bid))
        self.exporter.start(Export(title, what, ending, lambda _: render(letter), name=name))

    def _save_sheet(self) -> None:
        bid = self._bid
        name = words.sheet_name(letters.letter_name(self._session.evaluation.bid(bid)))
        self.exporter.start(
            Export(words.AS_SHEET, words.SHEET, ".xlsx", lambda a: _sheet(a, bid), name=name)
        )

    def _know_sent(self) -> None:
        """Know that what is written stands elsewhere too: it is lost no more with the document."""
        self._draft.sent = (self._draft.words, self._draft.closing)
        self._session.keep_soon()

    def _offer_marking(self, path: object) -> None:
        if not isinstance(path, Path):
            return
        if path.suffix != ".xlsx":
            self._know_sent()
        self._offer_to_mark(words.written(path.name))

    def _offer_to_mark(self, done: str) -> None:
        appraisal = self._appraisal()
        if appraisal is None or self.mark.isHidden():
            self.notice.show_message(done)
            return
        line = words.offer_marking(done, self._count(appraisal))
        later = (words.NOT_NOW, lambda: None)
        self.notice.show_message(line, (words.MARK, self._mark_asked), later)

    def _mark_asked(self) -> None:
        """Mark all of the letter as asked by who asks, on its day, as one step."""
        letter, appraisal = self.letter(), self._appraisal()
        if letter is not None and appraisal is not None:
            asked = letters.letter_questions(appraisal, self._bid, self._only_new)
            day, until = self._draft.day, self._draft.answer_by
            question_actions.mark(self._session, asked, "asked", day, until)
            self.notice.show_message(words.marked(len(asked)))


def _show(editor: QPlainTextEdit, text: str) -> None:
    """Show words where others stand; equal ones keep their cursor and what can be undone."""
    if editor.toPlainText() != visible(text):
        editor.setPlainText(visible(text))


def _pdf(letter: letters.Letter) -> bytes:
    from evenbarrel.report.letter import render_letter

    return render_letter(letter)


def _text(letter: letters.Letter) -> bytes:
    return letters.letter_text(letter).encode("utf-8")


def _sheet(appraisal: Appraisal, bid: str) -> bytes:
    from evenbarrel.intake.data_sheet.writer import render_sheet

    return render_sheet(appraisal, bid, only_open=True)
