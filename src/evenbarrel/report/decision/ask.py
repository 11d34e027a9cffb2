"""What the planned jobs ask of a barrel, as it leaves the program."""

from __future__ import annotations

from typing import Any

from evenbarrel.decision.asking.ask import Ask, Asked
from evenbarrel.report.decision.shapes import (
    PublishedAsk,
    PublishedAskedOfJob,
    PublishedTogether,
)


def _scaled(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor


def _members(ask: Ask, asked: Asked) -> dict[str, Any]:
    """Return what both shapes have in common."""
    inside, outside = asked.volume_inside, asked.volume_not_outside
    diameters, widest = asked.diameter_inside, asked.diameter_not_outside
    return {
        "inside_low_cm3": _scaled(inside.low, 1e6),
        "inside_high_cm3": _scaled(inside.high, 1e6),
        "not_outside_low_cm3": _scaled(outside.low, 1e6),
        "not_outside_high_cm3": _scaled(outside.high, 1e6),
        "diameter_inside_low_mm": _scaled(diameters.low, 1e3),
        "diameter_inside_high_mm": _scaled(diameters.high, 1e3),
        "diameter_not_outside_low_mm": _scaled(widest.low, 1e3),
        "diameter_not_outside_high_mm": _scaled(widest.high, 1e3),
        "pressure_bar": _scaled(asked.pressure, 1e-5),
        "injection_rate_cm3_s": _scaled(asked.rate, 1e6),
        "plasticising_rate_g_s": _scaled(asked.plasticising, 1e3),
        "plasticising_rate_as_reference_g_s": _scaled(asked.plasticising_as_rated, 1e3),
        "rated_low_g": _scaled(ask.rated_mass(inside.low), 1e3),
        "rated_high_g": _scaled(ask.rated_mass(inside.high), 1e3),
        "length_ratio": asked.length_ratio,
        "compression_low": asked.compression.low,
        "compression_high": asked.compression.high,
        "packages": asked.packages,
        "unsuited_rings": asked.unsuited_rings,
        "missing": asked.missing,
    }


def published_ask(ask: Ask) -> PublishedAsk:
    """Return what is asked with its fixed names."""
    together = ask.programme
    return PublishedAsk(
        reference_resin=ask.appraisal.evaluation.cost.common_resin,
        programme=PublishedTogether(
            **_members(ask, together.asked),
            conflict=together.conflict,
            conflict_outside=together.even_outside,
            fewest_barrels=together.fewest,
        ),
        jobs=tuple(
            PublishedAskedOfJob(job=job, **_members(ask, asked)) for job, asked in ask.jobs.items()
        ),
    )
