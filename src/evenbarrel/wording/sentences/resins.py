"""What is said of a resin's own data: where an equation is used beyond what it was fitted in."""

from __future__ import annotations

from evenbarrel.appraisal.results import ResinResult
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin, TaitSet
from evenbarrel.wording.words.numbers import DisplayUnits, with_unit

EXTRAPOLATED = "extrapolated"


def tait_line(resin: Resin, result: ResinResult, units: DisplayUnits) -> str:
    """Return where a melt density lies beyond the range of its Tait equation, else ""."""
    if EXTRAPOLATED not in result.density_notes or resin.tait is None:
        return ""
    melt = _shown(resin.melt_temperature, "temperature", units)
    asked = with_unit(result.back_pressure, "melt_pressure", units)
    return (
        f"Tait equation extrapolated: asked for {melt} and {asked}, "
        f"fitted {_range(resin.tait, units)}"
    )


def _range(tait: TaitSet, units: DisplayUnits) -> str:
    ends = (
        ("from", tait.t_low, "temperature"),
        ("to", tait.t_high, "temperature"),
        ("and up to", tait.p_high, "melt_pressure"),
    )
    parts = (f"{word} {_shown(end, kind, units)}" for word, end, kind in ends if end is not None)
    return " ".join(parts)


def _shown(quantity: Quantity | None, kind: str, units: DisplayUnits) -> str:
    """Return a quantity in the units shown: what is compared stands in one unit."""
    return with_unit(None if quantity is None else quantity.si(kind), kind, units)
