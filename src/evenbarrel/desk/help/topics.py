"""Says of a widget which entry of the glossary explains it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from evenbarrel.entry.shapes import Shape

TOPIC = "topic"
"""The property of a widget that holds the key of its entry."""
TopicRole = Qt.ItemDataRole.UserRole + 4
"""The key of the entry that explains a cell of a table, or None."""


def explain(widget: QWidget, key: str) -> None:
    """Let F1 in a widget, or in what it holds, open the entry of that key."""
    widget.setProperty(TOPIC, key)


def explain_shape(widget: QWidget, shape: Shape) -> None:
    """Let F1 in a field open what its datum means; nothing where the glossary has no such field."""
    key = key_of_shape(shape)
    if key is not None:
        explain(widget, key)


def key_of_shape(shape: Shape) -> str | None:
    """Return the key of what is entered in that shape, or None."""
    # Who asks has shapes: the window is painted before they and the glossary are loaded.
    from evenbarrel.entry.shapes import HALF_WIDTH
    from evenbarrel.wording.help.glossary import key_of_datum

    return "half_width" if shape == HALF_WIDTH else key_of_datum(shape.name, shape.datum)
