"""Whether length, compression and check ring of a screw are what the resin wants."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from evenbarrel.appraisal.criteria.definition import Criterion, Edges
from evenbarrel.appraisal.inputs.criterion_inputs import CriterionInputs
from evenbarrel.appraisal.results import Misfit
from evenbarrel.trade.formula import Array

TOUCH = 1e-9
"""Touching an end of a window counts as in, as a share."""

SUITED = np.zeros((1, 1))

WISHES = {
    "length_ratio": "length_ratio_soft",
    "compression_ratio": "compression_soft",
    "ring_kind": "rings_soft",
}
"""What a screw is held against, each with the flag that the resin's wish is from memory."""

WINDOWS: Mapping[str, tuple[str, str | None]] = {
    "length_ratio": ("length_ratio_low", None),
    "compression_ratio": ("compression_low", "compression_high"),
}
"""The ends of what a resin wishes of a number of the screw, low and high."""


def _beyond(value: Array, low: Array, high: Array) -> Array:
    """Return 1 beyond a window, 0 within or where there is none, nan where the value is unknown."""
    wanted = ~(np.isnan(low) & np.isnan(high))
    beyond = (value < low * (1.0 - TOUCH)) | (value > high * (1.0 + TOUCH))
    return np.where(wanted, np.where(np.isnan(value), np.nan, beyond), 0.0)


def _ring_unsuited(ring: Array, unsuited: Array) -> Array:
    """Return whether the bit of a ring's kind is among those of the unsuited kinds."""
    meets = (np.nan_to_num(ring).astype(np.int64) & np.nan_to_num(unsuited).astype(np.int64)) > 0
    return np.where(unsuited > 0, np.where(np.isnan(ring), np.nan, meets), 0.0)


def _misfits(given: Mapping[str, Array]) -> dict[str, Array]:
    """Return for each wish whether the screw misses it; nan where that is not known."""
    return {
        "length_ratio": _beyond(
            given["length_ratio"], given["length_ratio_low"], np.full((1, 1), np.nan)
        ),
        "compression_ratio": _beyond(
            given["compression_ratio"], given["compression_low"], given["compression_high"]
        ),
        "ring_kind": _ring_unsuited(given["ring_kind"], given["unsuited_rings"]),
    }


def _value(**given: Array) -> Array:
    """Return 1 where any wish is missed, 0 where all are met, nan where neither is known."""
    misfits = np.broadcast_arrays(*_misfits(given).values(), given["screw_wishes"])[:-1]
    missed = np.any([misfit == 1.0 for misfit in misfits], axis=0)
    open_ = np.isnan(sum(misfits)) | np.isnan(given["screw_wishes"])
    return np.where(missed, 1.0, np.where(open_, np.nan, 0.0))


def _edges(inputs: CriterionInputs) -> Edges:
    """A wish from memory is a caution: it alone never puts a screw outside."""
    misfits = _misfits({name: inputs[name].nominal for name in INPUTS})
    missed = np.broadcast_arrays(*(misfit == 1.0 for misfit in misfits.values()))
    firm = [
        miss & ~(inputs[WISHES[name]].nominal > 0)
        for name, miss in zip(misfits, missed, strict=True)
    ]
    return Edges(allowed_high=SUITED, estimated=np.any(missed, axis=0) & ~np.any(firm, axis=0))


def _missed(given: Callable[[str], float]) -> tuple[Misfit, ...]:
    """Return what of one screw misses the resin's wish, with the window it should lie in."""
    missed = _misfits({name: np.full((1, 1), given(name)) for name in INPUTS})
    misfits = {
        datum: Misfit(datum, recalled=given(flag) > 0)
        for datum, flag in WISHES.items()
        if missed[datum].item() == 1.0
    }
    for datum, names in WINDOWS.items():
        if datum in misfits:
            low, high = (None if name is None else _known(given(name)) for name in names)
            misfits[datum] = replace(misfits[datum], value=given(datum), low=low, high=high)
    return tuple(misfits.values())


def _known(value: float) -> float | None:
    return None if np.isnan(value) else value


INPUTS = (
    "length_ratio",
    "compression_ratio",
    "ring_kind",
    "length_ratio_low",
    "compression_low",
    "compression_high",
    "unsuited_rings",
    "screw_wishes",
)

SCREW_GEOMETRY = Criterion(
    key="screw_geometry",
    basis="resin",
    unit="",
    monotonic_in=dict.fromkeys(INPUTS, "none"),
    value=_value,
    edges=_edges,
    needs={
        "length_ratio": ("length_ratio",),
        "compression_ratio": ("compression_ratio",),
        "ring_kind": ("ring_kind",),
        "screw_wishes": ("length_ratio_low",),
    },
    supplier=((("length_ratio",),), (("compression_ratio",),)),
    numeric=False,
    misfits=_missed,
    source="common_practice",
)
