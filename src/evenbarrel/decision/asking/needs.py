"""What the criteria of one job are read backwards from: its shots, and the limits that hold."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from evenbarrel.trade.formula import Array


@dataclass(frozen=True, slots=True)
class Needs:
    """Arrays over the shots of one job: nominal, smallest, largest; nan where not stated.

    A shot may be as small as `least` and as large as `most` [m3], or `mass` [kg], within its
    half-widths; `pressure` [Pa] and `rate` [m3/s] are the most that filling takes, `window` [s] the
    least that there is to recover. Shares of volume are of 1, strokes in diameters; `stroke_low`
    and `stroke_high` are the hard edges. The three last are the largest shares in comfort.
    """

    least: Array
    most: Array
    mass: Array
    share_low: Array
    share_high: Array
    stroke_low: Array
    stroke_high: Array
    stroke_comfort_low: Array
    stroke_comfort_high: Array
    pressure: Array
    rate: Array
    window: Array
    pressure_share: float
    rate_share: float
    recovery_share: float

    @property
    def plasticising(self) -> Array:
        """The plasticising rate [kg/s] that recovers each shot within comfort."""
        return np.asarray(
            np.where(self.window > 0.0, self.mass / (self.window * self.recovery_share), np.nan)
        )
