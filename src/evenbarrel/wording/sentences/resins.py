"""What is said of a resin's own data: where an equation is used beyond what it was fitted in."""

from __future__ import annotations

from evenbarrel.appraisal.results import ResinResult
from evenbarrel.model.resin import Resin, TaitSet
from evenbarrel.wording.words.numbers import DisplayUnits, printed, with_unit

EXTRAPOLATED = "extrapolated"


def tait_line(resin: Resin, result: ResinResult, units: DisplayUnits) -> str:
    """Return where a melt density lies beyond the range of its Tait equation, else ""."""
    if EXTRAPOLATED not in result.density_notes or resin.tait is None:
        return ""
    return (
        f"Tait equation extrapolated: asked for {printed(resin.melt_temperature)} and "
        f"{with_unit(result.back_pressure, 'melt_pressure', units)}, fitted {_range(resin.tait)}"
    )


def _range(tait: TaitSet) -> str:
    ends = [
        f"{word} {printed(end)}"
        for word, end in (("from", tait.t_low), ("to", tait.t_high), ("and up to", tait.p_high))
        if end is not None
    ]
    return " ".join(ends)
