"""The page with the drawers at its right: in a narrow window they fold away, and come back."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QApplication, QSplitter, QStackedWidget, QWidget

from evenbarrel.desk.style.scrolling import bring_into_sight, scroll_area

_PAGE, _DRAWERS = QSize(704, 464), 288
"""What a page needs to be worked with, and how wide drawers are at first [px]."""
_LEAST = QSize(240, 160)
_WORDS = QSize(240, 104)
"""What a page needs on which there are words alone [px]."""


class PageAndDrawers(QSplitter):
    """Takes whatever room a window has, so that no window is larger than its screen.

    Where page and drawers have no room side by side the drawers fold away. In a window that is
    smaller still, as with a text of twice the usual size on a small screen, the page scrolls.
    """

    def __init__(self, pages: QStackedWidget, shown: QAction) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self._pages, self._shown = pages, shown
        self._wanted, self._folds, self._lent = 0, False, False
        self.view = scroll_area(pages)
        self.view.setMinimumSize(_LEAST)
        self.area = QSplitter(Qt.Orientation.Vertical)
        self.area.hide()
        self.addWidget(self.view)
        self.addWidget(self.area)
        self.setStretchFactor(0, 1)
        self.setChildrenCollapsible(False)
        pages.setMinimumSize(_PAGE)
        shown.toggled.connect(self.area.setVisible)
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._keyboard_moved)

    def add_drawers(self, *drawers: QWidget) -> None:
        """Put the drawers at the right, one below the other."""
        for drawer in drawers:
            self.area.addWidget(drawer)
        self.area.setVisible(self._shown.isChecked())
        self.setSizes([max(_PAGE.width(), self.width() - _DRAWERS), _DRAWERS])
        self._fold()

    def leave(self, width: int) -> None:
        """Fold the drawers away while they would leave the page less than a width [px]."""
        self._wanted = width
        self._fold()

    def show_words_alone(self, alone: bool) -> None:
        """Scroll a page with words alone only where these have no room."""
        self._pages.setMinimumSize(_WORDS if alone else _PAGE)

    def _keyboard_moved(self, _: QWidget | None, now: QWidget | None) -> None:
        """Let the keyboard be seen wherever it was put, once all has its place there."""
        if now is not None:
            QTimer.singleShot(0, now, partial(bring_into_sight, now))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fold the drawers away, or bring them back."""
        super().resizeEvent(event)
        self._fold()

    def _fold(self) -> None:
        folds = self.width() < max(_PAGE.width(), self._wanted) + _DRAWERS
        if folds == self._folds or not self.area.count():
            return
        self._folds = folds
        if folds:
            self._lent = self._shown.isChecked()
            self._shown.setChecked(False)
        elif self._lent:
            self._shown.setChecked(True)
