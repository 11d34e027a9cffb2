"""How much of some work is done, told to who waits for it."""

from __future__ import annotations

from collections.abc import Callable

Report = Callable[[float], None]
"""Told the share done, 0 to 1; what it raises stops the work."""


def report_nothing(share: float) -> None:
    """Nobody waits for the work."""
