"""Barrels along a ruler of volume, on the screen."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from evenbarrel.appraisal.references import Reference
from evenbarrel.desk.plots.canvas import Canvas, plain_pen, segments, tint_stretch
from evenbarrel.desk.plots.mark_labels import Word, Words
from evenbarrel.desk.plots.row_names import Name
from evenbarrel.desk.plots.symbols import spots
from evenbarrel.desk.style.theme import Colours
from evenbarrel.wording.pictures.ruler import RulerPicture
from evenbarrel.wording.pictures.traces import BarrelTrace, Lane, Mark

_LANE = 0.42
_NEAR = 9.0
_FOOT = 0.12


class RulerPlot(Canvas):
    """Barrels along a ruler of volume.

    `opened` gives what was clicked, `pointed` what is pointed at.
    """

    cell_chosen = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Barrels along a ruler of volume")
        self._picture: RulerPicture | None = None
        self._marks: tuple[Mark, ...] = ()
        self._at = np.empty((0, 2))
        self._pointed: Reference | None = None
        self.tint: Any = pg.LinearRegionItem(movable=False)
        self.guessed: Any = pg.BarGraphItem(x0=[], x1=[], y=[], height=[])
        self.rods: Any = pg.PlotCurveItem()
        self.ends: Any = pg.PlotCurveItem()
        self.whiskers: Any = pg.ErrorBarItem(x=np.empty(0), y=np.empty(0))
        self.spots: Any = pg.ScatterPlotItem(pxMode=True)
        self.words = Words(self.font())
        self.stack(self.tint, self.hard, self.comfort, self.guessed, self.rods, self.nominal)
        self.stack(self.other, self.ends, self.whiskers, self.spots, self.words)

    def show_picture(self, picture: RulerPicture, palette: Colours) -> None:
        """Draw the traces; a zoom stays as long as the ruler does."""
        self._picture = picture
        self._marks = picture.marks()
        place = picture.axis.position
        self._at = np.array([(place(m.value), m.y) for m in self._marks]).reshape(-1, 2)
        self._draw_lines(picture, palette)
        self._draw_lanes(picture, palette)
        self._draw_marks(palette)
        self.show_canvas(picture.axis, picture.shots, picture.height, palette)
        self.words.show_words(self._worded(picture, palette), self.bounds(), palette.page)
        self.notes.setText(" ".join(picture.notes))
        self.notes.setVisible(bool(picture.notes))
        barrels, jobs = len(picture.barrels), len({shot.job for shot in picture.shots})
        self.setAccessibleDescription(
            f"{barrels} barrels, {jobs} planned shots; every number is in the tables too"
        )

    def _worded(self, picture: RulerPicture, palette: Colours) -> tuple[Word, ...]:
        """Return what binds below its mark, and what is unsettled below its barrel's end."""
        named = [
            Word(float(x), float(y), mark.name, getattr(palette, mark.state))
            for mark, (x, y) in zip(self._marks, self._at, strict=True)
            if mark.name
        ]
        unsettled = [
            Word(picture.axis.position(b.full), b.bottom - _FOOT, "unsettled", palette.near_edge)
            for b in picture.barrels
            if b.unsettled and b.full is not None
        ]
        return (*named, *unsettled)

    def _draw_lines(self, picture: RulerPicture, palette: Colours) -> None:
        place, low = picture.axis.position, picture.axis.position(picture.axis.low)
        rods, ends, whiskers = [], [], []
        for barrel in picture.barrels:
            if barrel.full is None:
                continue
            end = place(barrel.full)
            rods += [(low, y, end, y) for y in _heights(barrel)]
            ends.append((end, barrel.top + _FOOT, end, barrel.bottom - _FOOT))
            if barrel.low is not None and barrel.high is not None:
                foot = barrel.bottom - _FOOT
                whiskers.append((end, foot, end - place(barrel.low), place(barrel.high) - end))
        self.rods.setData(**segments(rods), pen=plain_pen(palette.ruler))
        self.ends.setData(**segments(ends), pen=plain_pen(palette.text, 2.0))
        x, y, left, right = np.array(whiskers, dtype=np.float64).reshape(-1, 4).T
        pen = plain_pen(palette.text)
        self.whiskers.setData(x=x, y=y, left=left, right=right, beam=0.25, pen=pen)
        self.draw_shots(picture.axis, picture.shots, picture.height, palette)
        self.tint.setVisible(picture.tint is not None)
        if picture.tint is not None:
            self.tint.setRegion([place(end) for end in picture.tint])
        tint_stretch(self.tint, palette.tint)

    def _draw_lanes(self, picture: RulerPicture, palette: Colours) -> None:
        lanes = [lane for barrel in picture.barrels for lane in barrel.lanes]
        stated = [lane for lane in lanes if lane.stated and lane.low is not None]
        guessed = [lane for lane in lanes if not lane.stated and lane.low is not None]
        easy = [lane for lane in lanes if lane.stated and lane.comfort_low is not None]
        pen = plain_pen(palette.accent)
        place = picture.axis.position
        self.hard.setOpts(**_bars(((n.low, n.high, n) for n in stated), place), pen=pen)
        self.comfort.setOpts(
            **_bars(((n.comfort_low, n.comfort_high, n) for n in easy), place),
            pen=pen,
            brush=QColor(palette.selection),
        )
        self.guessed.setOpts(
            **_bars(((n.low, n.high, n) for n in guessed), place),
            pen=plain_pen(palette.not_stated, dotted=True),
            brush=QColor(0, 0, 0, 0),
        )

    def _draw_marks(self, palette: Colours) -> None:
        states = [mark.state for mark in self._marks]
        self.spots.setData(**spots(self._at[:, 0], self._at[:, 1], states, palette))

    def place_names(self) -> None:
        """Name each barrel at the left and each of its lanes at the right."""
        if self._picture is None:
            return
        left, right = [], []
        first, each = self.pixel_y(0.0), self.pixel_y(1.0) - self.pixel_y(0.0)
        for barrel in self._picture.barrels:
            y = first + each * barrel.y
            left.append(Name(y, barrel.supplier, barrel.name, strong=True))
            if barrel.note:
                right.append(Name(y, "", barrel.note))
            else:
                right += [Name(first + each * lane.y, "", lane.label) for lane in barrel.lanes]
        self.set_names(tuple(left), tuple(right))

    def mark_at(self, position: QPointF) -> Mark | None:
        """Return the mark nearest to a point of the scene, None where none is close."""
        if not self._marks:
            return None
        point, (along, down) = self.scene_point(position), self.pixel_size()
        away = np.hypot((self._at[:, 0] - point.x()) / along, (self._at[:, 1] - point.y()) / down)
        nearest = int(np.argmin(away))
        return self._marks[nearest] if away[nearest] <= _NEAR else None

    def _barrel_at(self, position: QPointF) -> BarrelTrace | None:
        y = self.scene_point(position).y()
        barrels = () if self._picture is None else self._picture.barrels
        return next((b for b in barrels if b.top <= y <= b.bottom), None)

    def point_at(self, position: QPointF) -> None:
        """Tell what is at a point of the scene."""
        mark, barrel = self.mark_at(position), self._barrel_at(position)
        found = mark or barrel
        reference = None if found is None else found.reference
        if reference == self._pointed:
            return
        self._pointed = reference
        self.show_tip("" if found is None or self._picture is None else self._picture.tip(found))
        if reference is not None:
            self.pointed.emit(reference)

    def open_at(self, position: QPointF) -> None:
        """Open what stands at a point of the scene: a mark's cell, else the barrel."""
        mark, barrel = self.mark_at(position), self._barrel_at(position)
        if mark is not None:
            self.opened.emit(mark.reference)
            self.cell_chosen.emit(mark.barrel, mark.job)
        elif barrel is not None:
            self.opened.emit(barrel.reference)


def _heights(barrel: BarrelTrace) -> tuple[float, ...]:
    return tuple(lane.y for lane in barrel.lanes) or (barrel.y,)


def _bars(lanes: Iterable[tuple[float | None, float | None, Lane]], place: Any) -> dict[str, Any]:
    ends = [
        (place(low), place(high), lane.y)
        for low, high, lane in lanes
        if low is not None and high is not None
    ]
    x0, x1, y = np.array(ends, dtype=np.float64).reshape(-1, 3).T
    return {"x0": x0, "x1": x1, "y": y, "height": np.full(len(y), _LANE)}
