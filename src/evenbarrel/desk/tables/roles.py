"""What tables tell of a cell beside what Qt asks, for all that has cells."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt

Index = QModelIndex | QPersistentModelIndex

StateRole = Qt.ItemDataRole.UserRole + 1
"""The State of a cell, or None."""
ReferenceRole = Qt.ItemDataRole.UserRole + 2
"""What a cell opens, or None."""
