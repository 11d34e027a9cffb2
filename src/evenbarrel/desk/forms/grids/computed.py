"""A column of an entry table that nobody types: what is calculated of each thing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont

from evenbarrel.appraisal.references import Reference
from evenbarrel.desk.help.topics import TopicRole
from evenbarrel.desk.tables.column_widths import in_two
from evenbarrel.desk.tables.roles import ReferenceRole
from evenbarrel.wording.help.glossary import key_of

RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
"""How a cell with a number lies."""


def beside_unit(title: str, unit: str) -> str:
    """Return a title on one line with its unit, if there is one."""
    return f"{title}, {unit}" if unit else title


def over_unit(title: str, unit: str) -> str:
    """Return a title in lines of a few words, over its unit if there is one."""
    return f"{in_two(title)}\n{unit}" if unit else in_two(title)


@dataclass(frozen=True)
class Computed:
    """A column that is computed: its title, its unit and a text and reference for each thing."""

    title: str
    unit: str
    cells: Mapping[str, tuple[str, Reference | None]]

    @property
    def heading(self) -> str:
        """The title over its unit."""
        return over_unit(self.title, self.unit)

    def cell_data(self, thing: str, role: int) -> Any:
        """Return what Qt asks of the cell of a thing, None where it says nothing of that."""
        text, reference = self.cells.get(thing, ("", None))
        if role == Qt.ItemDataRole.DisplayRole:
            return text
        if role == ReferenceRole:
            return reference
        if role == TopicRole:
            return None if reference is None else key_of(reference)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return RIGHT
        if role == Qt.ItemDataRole.FontRole:
            font = QFont()
            font.setBold(True)
            return font
        return None
