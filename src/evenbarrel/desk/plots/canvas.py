"""The canvas that both pictures are drawn on: a ruler above, names beside, rows that scroll."""

from __future__ import annotations

from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPen, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QGridLayout, QScrollBar, QWidget

from evenbarrel.desk.plots.row_names import Name, Names
from evenbarrel.desk.plots.shot_flags import FlagStrip, View
from evenbarrel.desk.plots.symbols import hatch
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import Colours
from evenbarrel.wording.pictures.scales import Axis
from evenbarrel.wording.pictures.traces import ShotLine

_MOST_ROW = 40.0
_CLOSEST = 40.0
_NAMES = 240
_LEAST_SIDE = 96
_STEP = 1.25
_TINT = 120


def plain_pen(colour: str, width: float = 1.0, dotted: bool = False) -> QPen:
    """Return a pen of so many pixels whatever the zoom."""
    pen = QPen(QColor(colour), width)
    pen.setCosmetic(True)
    if dotted:
        pen.setStyle(Qt.PenStyle.DotLine)
    return pen


def segments(pairs: list[tuple[float, float, float, float]]) -> dict[str, Any]:
    """Return lines from (x, y) to (x, y) as the arrays of one curve with gaps."""
    points = np.array(pairs, dtype=np.float64).reshape(-1, 2)
    return {"x": points[:, 0], "y": points[:, 1], "connect": "pairs"}


def tint_stretch(region: Any, colour: str) -> None:
    """Colour a stretch of the ruler so that what lies below shows through, without an edge."""
    tint = QColor(colour)
    tint.setAlpha(_TINT)
    region.setBrush(tint)
    for line in region.lines:
        line.setPen(QPen(Qt.PenStyle.NoPen))


class Canvas(QWidget):
    """A picture over a ruler: zoomed along it only, scrolled down its rows.

    Both pictures have planned shots as lines down, and what is allowed and comfortable as bars
    along. `opened` gives what was clicked, `pointed` what is pointed at.
    """

    opened = Signal(object)
    pointed = Signal(object)

    LEAST_ROW = 24.0
    """Height of one row below which they scroll instead [px]."""
    SIDE = 190
    """The most that the names at the right may take [px]."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.head, self.names, self.side = FlagStrip(), Names(right_aligned=True), Names(False)
        self.title, self.notes = Label(), Label()
        self.title.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom)
        self.title.setWordWrap(True)
        self.notes.setWordWrap(True)
        self.title.setContentsMargins(0, 0, 8, 6)
        self.notes.setContentsMargins(8, 4, 8, 4)
        self.plot: Any = pg.PlotWidget(background=None)
        self.box: Any = self.plot.getPlotItem().getViewBox()
        self.rows = QScrollBar(Qt.Orientation.Vertical)
        policy = self.rows.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        self.rows.setSizePolicy(policy)
        self.rows.valueChanged.connect(lambda _: self._look())
        self._colours: Colours | None = None
        self._axis: Axis | None = None
        self._places: tuple[tuple[ShotLine, float], ...] = ()
        self._height = 1.0
        self._lying = 0
        self._grid: Any = pg.PlotCurveItem()
        self.hard: Any = pg.BarGraphItem(x0=[], x1=[], y=[], height=[])
        self.comfort: Any = pg.BarGraphItem(x0=[], x1=[], y=[], height=[])
        self.nominal: Any = pg.PlotCurveItem()
        self.other: Any = pg.PlotCurveItem()
        self._set_up_plot()
        self._lay_out()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def _set_up_plot(self) -> None:
        item = self.plot.getPlotItem()
        item.setMenuEnabled(False)
        item.hideButtons()
        for side in ("left", "bottom", "top", "right"):
            item.hideAxis(side)
        item.layout.setContentsMargins(0, 0, 0, 0)
        self.plot.setFrameShape(pg.PlotWidget.Shape.NoFrame)
        self.plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.plot.setMinimumHeight(120)
        self.box.setMouseEnabled(x=True, y=False)
        self.box.disableAutoRange()
        self.box.invertY(True)
        self.box.setDefaultPadding(0.0)
        self.box.sigXRangeChanged.connect(lambda *_: self._rule())
        self.plot.viewport().installEventFilter(self)
        self.plot.scene().sigMouseMoved.connect(self.point_at)
        self.plot.scene().sigMouseClicked.connect(self._click)
        self.stack(self._grid)

    def _lay_out(self) -> None:
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        for widget, row, column in (
            (self.title, 0, 0),
            (self.head, 0, 1),
            (self.names, 1, 0),
            (self.plot, 1, 1),
            (self.side, 1, 2),
            (self.rows, 1, 3),
        ):
            layout.addWidget(widget, row, column)
        layout.addWidget(self.notes, 2, 0, 1, 4)
        layout.setColumnStretch(1, 1)
        layout.setColumnStretch(2, 1)
        layout.setRowStretch(1, 1)

    def stack(self, *items: Any) -> None:
        """Lay items on the picture, each over what lies there already."""
        for item in items:
            item.setZValue(self._lying - 20)
            self._lying += 1
            self.plot.addItem(item, ignoreBounds=True)

    def show_canvas(
        self, axis: Axis, shots: tuple[ShotLine, ...], height: float, colours: Colours
    ) -> None:
        """Take a ruler, the shots flown above it and the height of all rows; keep a zoom."""
        kept = self._axis == axis
        self._axis, self._colours, self._height = axis, colours, height
        self._places = tuple((shot, axis.position(shot.value)) for shot in shots)
        self.title.setText(axis.title)
        palette = self.palette()
        palette.setColor(self.backgroundRole(), QColor(colours.page))
        palette.setColor(self.foregroundRole(), QColor(colours.faint_text))
        self.setAutoFillBackground(True)
        self.setPalette(palette)
        low, high = axis.position(axis.low), axis.position(axis.high)
        self.box.setLimits(
            xMin=low, xMax=high, minXRange=(high - low) / _CLOSEST, maxXRange=high - low
        )
        if not kept:
            self.box.setXRange(low, high, padding=0.0)
        self._look()
        layout = self.layout()
        if layout is not None:
            # The names may have taken another width; the ruler is divided for what is left.
            layout.activate()
        self._rule()
        # The flags above it may have taken height from the rows.
        self._look()

    def draw_shots(
        self, axis: Axis, shots: tuple[ShotLine, ...], height: float, colours: Colours
    ) -> None:
        """Draw every planned shot as a line down all rows; the nominal one stands out."""
        for item, nominal in ((self.nominal, True), (self.other, False)):
            places = [axis.position(s.value) for s in shots if (s.end == "nominal") is nominal]
            colour = colours.accent if nominal else colours.ruler
            lines = [(x, 0.0, x, height) for x in places]
            item.setData(**segments(lines), pen=plain_pen(colour, dotted=not nominal))

    def show_tip(self, text: str) -> None:
        """Tell of what is pointed at."""
        set_tip(self.plot, text)

    def reset(self) -> None:
        """Show the whole ruler again."""
        if self._axis is not None:
            low, high = (self._axis.position(end) for end in (self._axis.low, self._axis.high))
            self.box.setXRange(low, high, padding=0.0)

    def zoom(self, factor: float) -> None:
        """Zoom along the ruler about the middle; above 1 is closer."""
        self.box.scaleBy(x=1.0 / factor)

    def pixel_y(self, y: float) -> float:
        """Return where a row's `y` lies in the picture [px]."""
        (top, bottom), height = self.box.viewRange()[1], self.plot.viewport().height()
        return float((y - top) / (bottom - top) * height)

    def view(self) -> View:
        """Return the part of the ruler that is seen."""
        left, right = self.box.viewRange()[0]
        return View(float(left), float(right), float(self.plot.viewport().width()))

    def _look(self) -> None:
        """Fit as many rows as stay readable, and let the rest scroll."""
        room = float(max(1, self.plot.viewport().height()))
        row = min(_MOST_ROW, max(self.LEAST_ROW, room / self._height))
        shown = room / row
        hidden = max(0, round(self._height * row - room))
        self.rows.setRange(0, hidden)
        self.rows.setPageStep(max(1, round(room)))
        self.rows.setSingleStep(round(row))
        self.rows.setVisible(hidden > 0)
        top = self.rows.value() / row
        self.box.setYRange(top, top + shown, padding=0.0)
        self.place_names()

    def _rule(self) -> None:
        """Divide the ruler anew for the part that is seen."""
        if self._axis is None or self._colours is None:
            return
        axis, view = self._axis, self.view()
        ticks = tuple(
            (tick, axis.position(tick.value))
            for tick in axis.ticks(axis.value(view.left), axis.value(view.right), view.numbers)
        )
        self.head.show_flags(view, self._places, ticks, self._colours)
        lines = [(x, 0.0, x, self._height) for tick, x in ticks if tick.text]
        self._grid.setData(**segments(lines), pen=plain_pen(self._colours.raised))
        self.view_changed()

    def view_changed(self) -> None:
        """Keep the hatch of what is allowed even on the screen."""
        if self._colours is not None:
            self.hard.setOpts(brush=hatch(self._colours.accent, self.box.childTransform()))

    def point_at(self, position: QPointF) -> None:
        """Tell what is at a point of the scene; a picture fills this in."""

    def open_at(self, position: QPointF) -> None:
        """Open what is at a point of the scene; a picture fills this in."""

    def _click(self, event: Any) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self.open_at(event.scenePos())

    def place_names(self) -> None:
        """Put the names beside their rows; a picture fills this in."""

    def set_names(self, left: tuple[Name, ...], right: tuple[Name, ...]) -> None:
        """Show the names at either side and give each column the width it needs."""
        if self._colours is None:
            return
        self.names.show_names(left, self._colours)
        self.side.show_names(right, self._colours)
        self.names.setFixedWidth(self.names.wanted_width(_NAMES))
        self.title.setFixedWidth(self.names.width())
        # Where there is little room the names at the right are cut, the window is never widened.
        wanted = self.side.wanted_width(self.SIDE)
        self.side.setMinimumWidth(min(_LEAST_SIDE, wanted))
        self.side.setMaximumWidth(wanted)

    def scene_point(self, position: QPointF) -> QPointF:
        """Return picture coordinates of a point in the plot's scene."""
        point: QPointF = self.box.mapSceneToView(position)
        return point

    def pixel_size(self) -> tuple[float, float]:
        """Return how much of the picture one pixel is, along and down."""
        along, down = self.box.viewPixelSize()
        return float(along), float(down)

    def bounds(self) -> QRectF:
        """Return the whole picture in its own coordinates."""
        if self._axis is None:
            return QRectF()
        low, high = (self._axis.position(end) for end in (self._axis.low, self._axis.high))
        return QRectF(low, 0.0, high - low, self._height)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Scroll by the wheel with Shift, show all on a double click, follow the plot's size."""
        if isinstance(event, QWheelEvent) and event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            turned = event.angleDelta()
            self.rows.setValue(self.rows.value() - (turned.y() or turned.x()))
            return True
        if event.type() == QEvent.Type.MouseButtonDblClick:
            self.reset()
            return True
        if event.type() == QEvent.Type.Resize:
            self._look()
            self._rule()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the rows to the new height."""
        super().resizeEvent(event)
        self._look()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Zoom with + and -, whole with 0, and go down the rows."""
        step, key = self.rows.singleStep(), event.key()
        if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom(_STEP)
        elif key == Qt.Key.Key_Minus:
            self.zoom(1.0 / _STEP)
        elif key == Qt.Key.Key_0:
            self.reset()
        elif key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            self.rows.setValue(self.rows.value() + (step if key == Qt.Key.Key_Down else -step))
        elif key in (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp):
            page = self.rows.pageStep() * (1 if key == Qt.Key.Key_PageDown else -1)
            self.rows.setValue(self.rows.value() + page)
        else:
            super().keyPressEvent(event)
