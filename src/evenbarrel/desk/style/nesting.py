"""A row or a column within another one."""

from __future__ import annotations

from PySide6.QtWidgets import QBoxLayout, QLayout
from shiboken6 import Shiboken


def nest(outer: QBoxLayout, inner: QLayout, stretch: int = 0) -> None:
    """Put a row into a column, or the reverse, with its share of the room that is left.

    PySide makes a Python object of each item of a layout that is put into another, and keeps it.
    Qt frees such an item together with its widget and tells nobody; what is made at that address
    afterwards, a menu or a model, would be taken for the item. So Python forgets the items here.
    """
    outer.addLayout(inner, stretch)
    _forget_items(inner)


def _forget_items(layout: QLayout) -> None:
    for index in range(layout.count()):
        item = layout.itemAt(index)
        if isinstance(item, QLayout):
            _forget_items(item)
        elif item is not None:
            Shiboken.invalidate(item)
