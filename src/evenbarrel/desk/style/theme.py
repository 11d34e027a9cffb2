"""One set of named colours, applied as a palette; the program's font."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, fields
from functools import cache

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication, QHBoxLayout

from evenbarrel.desk.style.flat import Flat
from evenbarrel.desk.style.heads import Head
from evenbarrel.desk.style.plain import Label
from evenbarrel.resources import read_bytes, read_text

NAMES = ("paper", "slate")
GRID = 8
"""The spacing unit [px]."""

_FONTS = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
_POINTS = 9.5
_BOXES = ("QRadioButton", "QCheckBox")
_DARKENED = 150
"""By how much the style darkens the line around a box [%]."""

# Palette roles that no standard control draws with; a label told to use one follows a change of
# palette by itself.
FAINT = QPalette.ColorRole.PlaceholderText
PROBLEM = QPalette.ColorRole.BrightText
WARNING = QPalette.ColorRole.LinkVisited
ACCENT = QPalette.ColorRole.Link


@dataclass(frozen=True, slots=True)
class Colours:
    """Named colours of one palette, as #rrggbb.

    Words take `warning` and `problem`: the colours of marks are too pale for them.
    """

    name: str
    window: str
    page: str
    raised: str
    line: str
    text: str
    faint_text: str
    accent: str
    focus: str
    selection: str
    tint: str
    ruler: str
    inside: str
    near_edge: str
    outside: str
    not_stated: str
    warning: str
    problem: str

    def of_state(self, state: str) -> QColor:
        """Return the colour of a State."""
        return QColor(getattr(self, state))

    def palette(self) -> QPalette:
        """Return these colours as a Qt palette."""
        role = QPalette.ColorRole
        palette = QPalette()
        for one, colour in (
            (role.Window, self.window),
            (role.WindowText, self.text),
            (role.Base, self.page),
            (role.AlternateBase, self.raised),
            (role.Text, self.text),
            (role.Button, self.raised),
            (role.ButtonText, self.text),
            (role.ToolTipBase, self.raised),
            (role.ToolTipText, self.text),
            (role.Highlight, self.selection),
            (role.HighlightedText, self.text),
            (role.Accent, self.focus),
            (role.Light, self.page),
            (role.Midlight, self.raised),
            (role.Mid, self.line),
            (role.Dark, self.line),
            (role.Shadow, self.ruler),
            (FAINT, self.faint_text),
            (PROBLEM, self.problem),
            (WARNING, self.warning),
            (ACCENT, self.accent),
        ):
            palette.setColor(one, QColor(colour))
        for one in (role.WindowText, role.Text, role.ButtonText):
            palette.setColor(QPalette.ColorGroup.Disabled, one, QColor(self.not_stated))
        return palette

    def palette_of_boxes(self) -> QPalette:
        """Return the palette of buttons that are a ring or a box before words.

        The style draws these in its window colour, darkened: on a dark window nobody would see
        them. As they paint no ground, that role is free to be what darkens to our line.
        """
        palette, group = self.palette(), QPalette.ColorGroup
        for one, colour in ((group.All, self.ruler), (group.Disabled, self.line)):
            palette.setColor(one, QPalette.ColorRole.Window, QColor(colour).lighter(_DARKENED))
        return palette


def load(name: str) -> Colours:
    """Return the named colours of a shipped palette; raises FileNotFoundError."""
    read = tomllib.loads(read_text(f"themes/{name}.toml"))
    colours = read["colours"]
    wanted = {field.name for field in fields(Colours)} - {"name"}
    return Colours(name=read["name"], **{key: colours[key] for key in wanted})


class Theme(QObject):
    """The palette in use. Whoever paints by itself reads `colours` and repaints on `changed`."""

    changed = Signal()

    def __init__(self, name: str = "paper", parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.colours = load(name)

    def apply(self, application: QApplication) -> None:
        """Give the application our style, font and palette."""
        # Once: an application holds on to each style that it was ever given.
        if not isinstance(application.style(), Flat):
            application.setStyle(Flat())
        _add_fonts()
        font = QFont("DejaVu Sans")
        font.setPointSizeF(_POINTS)
        application.setFont(font)
        self._give_palettes()

    def switch(self, name: str) -> None:
        """Use another palette from now on."""
        self.colours = load(name)
        self._give_palettes()
        self.changed.emit()

    def _give_palettes(self) -> None:
        QApplication.setPalette(self.colours.palette())
        for name in _BOXES:
            # Qt takes a string here alone, though its types ask for bytes.
            QApplication.setPalette(self.colours.palette_of_boxes(), name)  # type: ignore[arg-type]


@cache
def _add_fonts() -> None:
    """Let Qt know our fonts, once: each copy would stay, and be looked through for every text."""
    for name in _FONTS:
        QFontDatabase.addApplicationFontFromData(read_bytes(f"fonts/{name}"))


def headed(text: str, words: Label) -> QHBoxLayout:
    """Return a page's title with its words beside it: in a low window lines are dear."""
    row = QHBoxLayout()
    row.setSpacing(2 * GRID)
    title = heading(text, 3.0)
    for widget, share in ((title, 0), (words, 1)):
        row.addWidget(widget, share, Qt.AlignmentFlag.AlignVCenter)
    return row


def faint(label: Label) -> Label:
    """Return `label` written in the faint colour, a little smaller, its text never markup."""
    label.setForegroundRole(FAINT)
    font = label.font()
    font.setPointSizeF(_POINTS - 1.0)
    label.setFont(font)
    return label


def colour(label: Label, role: QPalette.ColorRole) -> None:
    """Write a label in the colour of a role; told again, Qt would ask for all of it anew."""
    if label.foregroundRole() != role:
        label.setForegroundRole(role)


def heading(text: str, larger: float = 0.0, lines: int = 1) -> Head:
    """Return a bold label of so many lines at most, `larger` points above the usual size."""
    label = Head(text, lines)
    font = label.font()
    font.setBold(True)
    font.setPointSizeF(_POINTS + larger)
    label.setFont(font)
    return label
