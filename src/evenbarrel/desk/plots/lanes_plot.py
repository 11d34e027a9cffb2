"""What each criterion allows one barrel to shoot of one job, on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from evenbarrel.desk.plots.canvas import Canvas, plain_pen, segments, tint_stretch
from evenbarrel.desk.plots.row_names import Name
from evenbarrel.desk.plots.symbols import MARK, arrow_paths, spots
from evenbarrel.desk.style.theme import Colours
from evenbarrel.wording.pictures.criterion_lanes import Bar, CriterionLane, LanesPicture, bars

_LANE = 0.46


class LanesPlot(Canvas):
    """The second picture. `opened` gives the criterion that was clicked."""

    LEAST_ROW = 30.0
    SIDE = 280

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Shot volumes that each criterion allows")
        self._picture: LanesPicture | None = None
        self._pointed = ""
        self.spread: Any = pg.LinearRegionItem(movable=False)
        self.foot: Any = pg.BarGraphItem(x0=[], x1=[], y=[], height=[])
        self.dotted: Any = pg.PlotCurveItem()
        self.rule: Any = pg.PlotCurveItem()
        self.arrows: Any = pg.ScatterPlotItem(pxMode=True)
        self.spots: Any = pg.ScatterPlotItem(pxMode=True)
        self._arrows = arrow_paths()
        self.stack(self.spread, self.rule, self.dotted, self.hard, self.comfort, self.foot)
        self.stack(self.nominal, self.other, self.arrows, self.spots)

    def show_picture(self, picture: LanesPicture, palette: Colours) -> None:
        """Draw the traces; a zoom stays as long as the ruler does."""
        self._picture = picture
        self._draw_shots(picture, palette)
        self._draw_lanes(picture, palette)
        self._draw_marks(picture, palette)
        self.show_canvas(picture.axis, picture.shots, picture.height, palette)
        self.notes.setText(f"{picture.title}: {picture.verdict}")
        self.setAccessibleDescription(self.notes.text())

    def _draw_shots(self, picture: LanesPicture, palette: Colours) -> None:
        place = picture.axis.position
        self.draw_shots(picture.axis, picture.shots, picture.height, palette)
        self.spread.setVisible(bool(picture.shots))
        if picture.shots:
            shot = picture.shots[0]
            self.spread.setRegion([place(shot.low), place(shot.high)])
        tint_stretch(self.spread, palette.tint)

    def _draw_lanes(self, picture: LanesPicture, palette: Colours) -> None:
        axis, rows, all_rows = picture.axis, picture.lanes, (*picture.lanes, picture.foot)
        pen = plain_pen(palette.accent)
        self.hard.setOpts(**_bars(bars(all_rows, axis, comfort=False), picture), pen=pen)
        easy = bars(rows, axis, comfort=True)
        self.comfort.setOpts(**_bars(easy, picture), pen=pen, brush=QColor(palette.selection))
        common = bars([picture.foot], axis, comfort=True)
        self.foot.setOpts(**_bars(common, picture), pen=pen, brush=QColor(palette.accent))
        low, high = axis.position(axis.low), axis.position(axis.high)
        dotted = [(low, row.y, high, row.y) for row in picture.lanes if not row.stated]
        self.dotted.setData(**segments(dotted), pen=plain_pen(palette.not_stated, dotted=True))
        over = picture.foot.y - 1.0
        self.rule.setData(**segments([(low, over, high, over)]), pen=plain_pen(palette.line))
        self._draw_arrows(picture, palette)

    def _draw_arrows(self, picture: LanesPicture, palette: Colours) -> None:
        axis = picture.axis
        low, high = axis.position(axis.low), axis.position(axis.high)
        open_ends = [
            (low if side == 0 else high, row.y, side)
            for row in (*picture.lanes, picture.foot)
            if row.stated and row.hard is not None
            for side in (0, 1)
            if row.hard[side] is None
        ]
        self.arrows.setData(
            x=[x for x, _, _ in open_ends],
            y=[y for _, y, _ in open_ends],
            symbol=[self._arrows[side] for _, _, side in open_ends],
            size=MARK,
            pen=None,
            brush=QColor(palette.accent),
        )

    def _draw_marks(self, picture: LanesPicture, palette: Colours) -> None:
        place = picture.axis.position
        rows = [row for row in (*picture.lanes, picture.foot) if row.value is not None]
        x = [place(row.value) for row in rows if row.value is not None]
        y, states = [row.y for row in rows], [row.state for row in rows]
        self.spots.setData(**spots(x, y, states, palette))

    def place_names(self) -> None:
        """Name each criterion at the left and what it says at the right."""
        if self._picture is None:
            return
        rows = (*self._picture.lanes, self._picture.foot)
        left = [
            Name(self.pixel_y(row.y), row.label, "limiting" if row.binding else "", _strong(row))
            for row in rows
        ]
        right = [Name(self.pixel_y(row.y), row.text, row.more) for row in rows]
        self.set_names(tuple(left), tuple(right))

    def _row_at(self, position: QPointF) -> CriterionLane | None:
        y = self.scene_point(position).y()
        rows = () if self._picture is None else (*self._picture.lanes, self._picture.foot)
        return next((row for row in rows if abs(row.y - y) <= 0.5), None)

    def point_at(self, position: QPointF) -> None:
        """Tell what is at a point of the scene."""
        row = self._row_at(position)
        key = "" if row is None else row.key
        if key == self._pointed:
            return
        self._pointed = key
        self.show_tip("" if row is None else row.tip)
        if row is not None:
            self.pointed.emit(row.reference)

    def open_at(self, position: QPointF) -> None:
        """Open the criterion at a point of the scene."""
        row = self._row_at(position)
        if row is not None:
            self.opened.emit(row.reference)


def _strong(row: CriterionLane) -> bool:
    return row.binding or row.key == "all"


def _bars(found: Sequence[Bar], picture: LanesPicture) -> dict[str, Any]:
    place = picture.axis.position
    ends = [(place(bar.low), place(bar.high), bar.y) for bar in found]
    x0, x1, y = np.array(ends, dtype=np.float64).reshape(-1, 3).T
    return {"x0": x0, "x1": x1, "y": y, "height": np.full(len(y), _LANE)}
