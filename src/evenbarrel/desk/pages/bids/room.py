"""The width of Bids shared out: the tree, the data, and a page of the quote beside them."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QSplitter, QWidget

from evenbarrel.desk.collecting.area import CollectingArea
from evenbarrel.desk.pages.bids.quote.beside import QuoteBeside
from evenbarrel.desk.style.remembered import remember, remembered

_TREE, _DATA, _SPARED, _PAGE = 264, 400, 300, 680
"""Pixels for the tree, the least for the data and for what an enlarged page spares of it, and what
shows a sheet of paper in its own size."""
_SCARCE, _EVERYTHING = 1140, 1 << 20
"""Pixels below which data and page have no room beside the window's drawers; what no window has."""
_EXTRACT, _LEGIBLE = 660, 520
"""Pixels for an extract with all its columns, and what leaves the print of a page legible."""
_SHARE, _LEAST, _MOST = 0.58, 0.2, 0.85
"""The page's share of what is free beside the tree: the usual one and its bounds."""
_NAME = "page_share"
_CHANGES = (QEvent.Type.Resize, QEvent.Type.Show, QEvent.Type.Hide)


class Room(QObject):
    """Shares out the width; where a person draws the border is remembered as a share.

    Print must be readable: the tree goes before a page gets too narrow, and the window's drawers
    fold away while a page is there that has no room beside them. Enlarged, the page gets all that
    the data can spare; what went for it comes back with it.
    """

    wanted = Signal(int)
    """Carries the width below which the page wants the room of the drawers too [px]."""

    def __init__(self, tree: QWidget, collecting: CollectingArea, quote: QuoteBeside) -> None:
        super().__init__(collecting)
        self._tree, self._collecting, self._quote = tree, collecting, quote
        self._wanted = 0
        self._share = _share_in(remembered(_NAME, str(_SHARE)))
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        self.splitter.addWidget(collecting)
        self.splitter.addWidget(quote.panel)
        self.splitter.setChildrenCollapsible(False)
        self.splitter.splitterMoved.connect(lambda *_: self._moved())
        self.splitter.installEventFilter(self)
        for changed in (quote.shown_changed, collecting.front_changed, quote.larger.toggled):
            changed.connect(lambda *_: self._share_out())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Share out anew where there is more or less room, or the page of the window changes."""
        if event.type() in _CHANGES:
            self._share_out()
        return super().eventFilter(watched, event)

    def _share_out(self) -> None:
        is_shown, is_large = self._quote.is_shown, self._quote.larger.isChecked()
        self._borrow(is_shown, is_large)
        width, panel = self.splitter.width(), self._quote.panel
        beside = not is_large and width - _TREE >= _DATA + _PAGE
        self._tree.setVisible(not is_shown or beside)
        scarce = width < _DATA + panel.narrowest
        least = _SPARED if is_large or scarce else _DATA
        if not self._collecting.offers_in_front:
            least = max(least, self._collecting.minimumSizeHint().width())
            least = max(least, min(_EXTRACT, width - _LEGIBLE))
        # An extract that has no room beside a page stands alone until it is taken or put away.
        has_room = width >= least + panel.narrowest
        panel.setVisible(is_shown and has_room)
        if is_shown and has_room:
            free = width - _TREE if beside else width
            wanted = free if is_large else round(self._share * free)
            page = max(panel.narrowest, min(wanted, free - least))
            self.splitter.setSizes([width - page, page])

    def _borrow(self, is_shown: bool, is_large: bool) -> None:
        """Ask for the room of the drawers while it is needed, and give it back after."""
        in_sight = is_shown and self.splitter.isVisible()
        wanted = (_EVERYTHING if is_large else _SCARCE) if in_sight else 0
        if wanted != self._wanted:
            self._wanted = wanted
            self.wanted.emit(wanted)

    def _moved(self) -> None:
        page = self._quote.panel.width()
        free = self.splitter.width() - (_TREE if self._tree.isVisible() else 0)
        self._share = min(_MOST, max(_LEAST, page / max(1, free)))
        remember(_NAME, f"{self._share:.3f}")


def _share_in(text: str) -> float:
    try:
        share = float(text)
    except ValueError:
        return _SHARE
    return share if _LEAST <= share <= _MOST else _SHARE
