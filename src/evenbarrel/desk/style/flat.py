"""The style of the program's controls: Qt's Fusion, with bars for scrolling that are flat."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter, QPalette
from PySide6.QtWidgets import (
    QProxyStyle,
    QScrollBar,
    QStyle,
    QStyleOption,
    QStyleOptionComplex,
    QStyleOptionSlider,
    QWidget,
)

_PARTS = QStyle.SubControl
_ARROWS = {
    (_PARTS.SC_ScrollBarSubLine, True): QStyle.PrimitiveElement.PE_IndicatorArrowLeft,
    (_PARTS.SC_ScrollBarAddLine, True): QStyle.PrimitiveElement.PE_IndicatorArrowRight,
    (_PARTS.SC_ScrollBarSubLine, False): QStyle.PrimitiveElement.PE_IndicatorArrowUp,
    (_PARTS.SC_ScrollBarAddLine, False): QStyle.PrimitiveElement.PE_IndicatorArrowDown,
}
_BESIDE, _ARROW_BESIDE = 3, 4
"""What is left free beside the handle, and beside an arrow [px]."""


class Flat(QProxyStyle):
    """Fusion, but for its bars: it blends their grounds from one shade to another, each time."""

    def __init__(self) -> None:
        super().__init__("Fusion")

    def drawComplexControl(
        self,
        control: QStyle.ComplexControl,
        option: QStyleOptionComplex,
        painter: QPainter,
        widget: QWidget | None = None,
    ) -> None:
        """Draw a bar flat, the rest as Fusion does."""
        if isinstance(widget, QScrollBar) and isinstance(option, QStyleOptionSlider):
            self._draw_bar(option, painter, widget)
        else:
            super().drawComplexControl(control, option, painter, widget)

    def _draw_bar(self, option: QStyleOptionSlider, painter: QPainter, widget: QWidget) -> None:
        palette, lies = option.palette, option.orientation == Qt.Orientation.Horizontal
        painter.fillRect(option.rect, palette.window())
        if option.minimum == option.maximum:
            return
        across = (0, _BESIDE) if lies else (_BESIDE, 0)
        held = bool(option.activeSubControls & _PARTS.SC_ScrollBarSlider)
        ink = QPalette.ColorRole.Shadow if held else QPalette.ColorRole.Mid
        handle = self._part(option, _PARTS.SC_ScrollBarSlider, widget)
        painter.fillRect(handle.adjusted(*across, *(-one for one in across)), palette.brush(ink))
        for (part, is_of), arrow in _ARROWS.items():
            if is_of == lies:
                place = QStyleOption(option)
                side = _ARROW_BESIDE
                place.rect = self._part(option, part, widget).adjusted(side, side, -side, -side)
                self.drawPrimitive(arrow, place, painter, widget)

    def _part(self, option: QStyleOptionSlider, part: QStyle.SubControl, widget: QWidget) -> QRect:
        return self.subControlRect(QStyle.ComplexControl.CC_ScrollBar, option, part, widget)
