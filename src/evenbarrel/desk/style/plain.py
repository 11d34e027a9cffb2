"""The one door for words into widgets: shown as they stand, never as markup, nothing hidden.

Qt guesses in many places whether a text is markup, and shows as nothing what takes no room. A
supplier's words reach labels, tips, titles, boxes, items and painted text through here alone.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from html import escape
from typing import Any

from PySide6.QtCore import QMimeData, QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import (
    QAction,
    QFont,
    QFontMetrics,
    QGuiApplication,
    QPainter,
    QStaticText,
    QTextOption,
)
from PySide6.QtWidgets import (
    QLabel,
    QListWidgetItem,
    QMessageBox,
    QStatusBar,
    QToolTip,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)
from shiboken6 import isValid

from evenbarrel.wording.words.lines import with_units_kept
from evenbarrel.wording.words.visible import visible, visible_line

_JOINER = "\N{ZERO WIDTH JOINER}"
_NO_LINE_END = "\N{WORD JOINER}"
_LONGEST_LINE = 80
"""Characters of a line of a tip; Qt breaks the lines of markup alone."""
_WIDEST_WORD = 320
"""A word may ask for so much of a window's width [px]; a longer one is cut at the label's edge."""
_copied: list[QMimeData] = []
"""What was copied last, until something else is."""


class Label(QLabel):
    """A label whose text is never markup."""

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setText(text)

    def setText(self, text: str) -> None:
        """Show words of one or several lines."""
        self._words = visible(text)
        super().setText(to_break(text))

    def text(self) -> str:
        """Return the words without what keeps their lines from ending in a unit."""
        return self._words

    def minimumSizeHint(self) -> QSize:
        """Return the usual size, but no word makes a window wider than a screen."""
        size = super().minimumSizeHint()
        return QSize(min(size.width(), _WIDEST_WORD), size.height())


def to_break(text: str) -> str:
    """Return words as they stand where lines are broken: none ends between number and unit."""
    return with_units_kept(visible(text), _NO_LINE_END)


def without_joints(text: str) -> str:
    """Return words of `to_break`, once they are broken into lines, to be painted as they are."""
    return text.replace(_NO_LINE_END, "")


def tree_item(parent: QTreeWidget | QTreeWidgetItem, text: str) -> QTreeWidgetItem:
    """Return a new item of a tree."""
    item = QTreeWidgetItem(parent)
    name_item(item, text)
    return item


def name_item(item: QTreeWidgetItem, text: str) -> None:
    """Give an item of a tree other words."""
    item.setText(0, visible(text))


def list_item(text: str) -> QListWidgetItem:
    """Return an item of a list."""
    return QListWidgetItem(visible_line(text))


def markup(text: str) -> str:
    """Return words as they stand within markup of our own."""
    return escape(to_break(text))


def tip(text: str) -> str:
    """Return words as a tip that shows them as they stand, with long lines broken."""
    words = visible(text)
    short = all(len(line) <= _LONGEST_LINE for line in words.split("\n"))
    # Qt takes a text for markup by a sign of a tag or of an escaped one.
    if short and "<" not in words and "&" not in words:
        return words
    return f'<p style="white-space: pre-wrap">{markup(text)}</p>'


def set_tip(thing: QWidget | QAction | QTreeWidgetItem | QListWidgetItem, text: str) -> None:
    """Give a widget, a step or an item of a tree or list its tip."""
    if isinstance(thing, QTreeWidgetItem):
        thing.setToolTip(0, tip(text))
    else:
        thing.setToolTip(tip(text))


def point_out(place: QPoint, text: str, widget: QWidget) -> None:
    """Show a tip at once, at a place of the screen."""
    QToolTip.showText(place, tip(text), widget)


def on_button(text: str) -> str:
    """Return words for a button, menu or step: an & in them is no key."""
    return visible_line(text).replace("&", "&&")


def name_window(window: QWidget, text: str, after: str | None = None) -> None:
    """Give a window its title; with `after`, the mark of unsaved changes stands before that."""
    words = visible_line(text)
    if after is None:
        window.setWindowTitle(words)
    else:
        # Qt's place for the mark; what looks like it in the words is doubled to stand as it is.
        window.setWindowTitle(f"{words.replace('[*]', '[*][*]')}[*]{visible_line(after)}")


def show_in_status_bar(bar: QStatusBar, text: str, milliseconds: int) -> None:
    """Say something in a window's status bar for a while."""
    bar.showMessage(visible_line(text), milliseconds)


def message_box(parent: QWidget, text: str, more: str = "") -> QMessageBox:
    """Return a box that asks or tells; `more` stands below, its words no markup either."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(to_break("\n\n".join(part for part in (text, more) if part)))
    return box


def to_clipboard(text: str, kind: str = "", own: bytes = b"") -> None:
    """Put words on the clipboard as they are shown; `own` of a `kind` is for this program alone."""
    data = QMimeData()
    data.setText(visible(text))
    if kind:
        data.setData(kind, own)
    QGuiApplication.clipboard().setMimeData(data)
    _copied[:] = [data]


def leave_clipboard() -> None:
    """Let what was copied last outlive the program, as words; called as the last thing of all.

    Qt frees what Python made only when Python has ended, and crashes over it.
    """
    if any(isValid(data) for data in _copied):
        clipboard = QGuiApplication.clipboard()
        clipboard.setText(clipboard.text())


def on_clipboard() -> QMimeData:
    """Return what stands on the clipboard, as it was copied."""
    # Nothing at all was ever copied: then Qt has no data to give.
    return QGuiApplication.clipboard().mimeData() or QMimeData()


def draw_words(painter: QPainter, box: QRect | QRectF, flags: Any, text: str) -> None:
    """Paint words into a box; `flags` say how they lie."""
    breaks = int(flags) & Qt.TextFlag.TextWordWrap
    painter.drawText(box, int(flags), to_break(text) if breaks else visible(text))


def cut_short(metrics: QFontMetrics, text: str, width: int) -> str:
    """Return words as they are cut to a width [px], to be painted."""
    cut = metrics.elidedText(visible(text), Qt.TextElideMode.ElideRight, width)
    # Qt joins letters to the dots by a mark of its own, which is no part of the words.
    return cut.replace(_JOINER, "")


def laid_out(text: str, font: QFont) -> QStaticText:
    """Return words on one line as they are painted by `drawStaticText`: laid out once, not anew."""
    words = QStaticText(visible(text).replace("\t", " "))
    words.setTextFormat(Qt.TextFormat.PlainText)
    # As a widget of ours reads, whatever script the words begin with.
    reads = QTextOption()
    reads.setTextDirection(Qt.LayoutDirection.LeftToRight)
    reads.setWrapMode(QTextOption.WrapMode.NoWrap)
    words.setTextOption(reads)
    words.prepare(font=font)
    return words


def for_people(method: Callable[..., Any]) -> Callable[..., Any]:
    """Let the texts and tips that a model's `data` or `headerData` returns pass the door.

    What is edited stays as it was typed.
    """

    @wraps(method)
    def through(model: Any, *place: Any) -> Any:
        answer = method(model, *place)
        if type(answer) is not str:
            return answer
        role = place[-1] if isinstance(place[-1], int) else Qt.ItemDataRole.DisplayRole
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip(answer)
        return answer if role == Qt.ItemDataRole.EditRole else visible(answer)

    return through
