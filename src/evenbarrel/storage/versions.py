"""Older files brought up to the present format, one whole-number version at a time.

Step n takes the plain dict of a file of version n, an evaluation or a bid on its own, to version
n + 1. A step returns a new dict and is never edited once released. Whoever changes a field's
default raises the version too, and the step writes the old default into files that left it out.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from pydantic import ValidationError

from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import FORMAT_VERSION, Evaluation
from evenbarrel.model.offers.barrel import Settled
from evenbarrel.model.quantity import Money
from evenbarrel.model.states.digest import SCHEME, canonical_data, signed_state
from evenbarrel.storage.file_errors import Fault

CURRENT = FORMAT_VERSION

Step = Callable[[dict[str, Any]], dict[str, Any]]

_RINGS = ("sliding", "ball", "smear_tip", "other", "unknown")


def _to_version_2(data: dict[str, Any]) -> dict[str, Any]:
    """Kinds of check ring and routes of a decision become closed lists, a residual value a share.

    What no longer has a field goes to the notes of the bid or of the cost. Signatures that held
    are carried over.
    """
    if "units" in data:
        return _bid_to_2(data)
    stepped = data | {"bids": [_bid_to_2(bid) for bid in data.get("bids", [])]}
    residual = _residual(data)
    if residual is not None:
        words = f"Residual value: {_full(Money, residual)['amount']} {residual['currency']}"
        stepped |= {"cost": data["cost"] | {"residual": None, "notes": words}}
    if data.get("sign_offs"):
        stepped |= _carried(data, stepped)
    return stepped


def _residual(data: dict[str, Any]) -> dict[str, Any] | None:
    cost = data.get("cost")
    return cost.get("residual") if isinstance(cost, dict) else None


def _bid_to_2(bid: dict[str, Any]) -> dict[str, Any]:
    notes, units = [bid.get("notes", "")], []
    for unit in bid.get("units", []):
        barrels = []
        for barrel in unit.get("barrels", []):
            stepped, words = _barrel_to_2(barrel)
            barrels.append(stepped)
            notes += words
        units.append(unit | ({"barrels": barrels} if "barrels" in unit else {}))
    changed = {"units": units} if "units" in bid else {}
    said = "\n".join(note for note in notes if note)
    return bid | changed | ({"notes": said} if said else {})


def _barrel_to_2(barrel: dict[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """Return the barrel without what has no field any more, and that in words."""
    stepped, said = dict(barrel), []
    name = barrel.get("label") or barrel["id"]
    ring = stepped.pop("ring_kind", "")
    if ring in _RINGS:
        stepped["ring_kind"] = ring
    elif ring:
        said.append(f"Check ring of {name}: {ring}")
    settled = barrel.get("settled")
    if settled is not None and settled.get("route") == "rated_mass":
        del stepped["settled"]
        by = [settled.get(part) for part in ("reason", "person", "date")]
        words = ", ".join(str(part) for part in by if part)
        said.append(f"Volume of {name} was taken from its rated mass" + (words and f": {words}"))
    return stepped, said


def _carried(before: dict[str, Any], after: dict[str, Any]) -> dict[str, Any]:
    """Return the signatures and what they signed.

    Those that hold by scheme c1, for the file as it stood, gain what they stand for by c2.
    """
    try:
        stepped = Evaluation.model_validate_json(json.dumps(after | {"format_version": CURRENT}))
    except ValidationError:
        # Why a file is refused is said by whoever validates it in the end.
        return {}
    was = hashlib.sha256(canonical_data(_as_it_stood(before, stepped), "c1")).hexdigest()
    held = [
        one.get("scheme", "c1") == "c1" and one.get("digest") == was for one in after["sign_offs"]
    ]
    if not any(held):
        return {}
    state = signed_state(stepped)
    carried = {"carried": {"scheme": SCHEME, "digest": state.digest}}
    signatures = [
        one | carried if holds else one for one, holds in zip(after["sign_offs"], held, strict=True)
    ]
    return {"sign_offs": signatures, "signed_states": [state.model_dump(mode="json")]}


def _as_it_stood(before: dict[str, Any], stepped: Evaluation) -> dict[str, Any]:
    """Return the file of version 1 with every field in it: `stepped`, the step's changes undone."""
    whole = stepped.model_dump(mode="json", by_alias=True)
    for bid, kept in zip(before.get("bids", []), whole["bids"], strict=True):
        kept["notes"] = bid.get("notes", "")
        for unit, kept_unit in zip(bid.get("units", []), kept["units"], strict=True):
            for barrel, one in zip(unit.get("barrels", []), kept_unit["barrels"], strict=True):
                one["ring_kind"] = barrel.get("ring_kind", "")
                settled = barrel.get("settled")
                if settled is not None and one["settled"] is None:
                    # Any route will do to have the other fields as they were validated.
                    full = _full(Settled, settled | {"route": "geometry"})
                    one["settled"] = full | {"route": settled["route"]}
    residual = _residual(before)
    if residual is not None:
        whole["cost"]["residual"] = _full(Money, residual)
    return whole


def _full(model: type[Frozen], data: dict[str, Any]) -> dict[str, Any]:
    """Return data with every field of the model in it; raises ValueError where they do not fit."""
    return model.model_validate_json(json.dumps(data)).model_dump(mode="json")


STEPS: Mapping[int, Step] = MappingProxyType({1: _to_version_2})


def upgrade(
    data: dict[str, Any], steps: Mapping[int, Step] = STEPS, current: int = CURRENT
) -> dict[str, Any]:
    """Return `data` in format `current`; the dict given is left as it was.

    Raises `Fault` for a version that is missing, no whole number or newer than `current`, and for
    content that a step can make nothing of.
    """
    version = _version(data, current)
    for number in range(version, current):
        try:
            data = steps[number](data) | {"format_version": number + 1}
        except (LookupError, TypeError, AttributeError, ValueError) as error:
            raise Fault(
                "", f"it is damaged: format {number} cannot be brought to format {number + 1}"
            ) from error
    return data


def _version(data: dict[str, Any], current: int) -> int:
    if "format_version" not in data:
        raise Fault("format_version", "it is missing, so this may not be an Evenbarrel file")
    version = data["format_version"]
    # True is an int to Python, but no version.
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise Fault("format_version", "it must be a whole number from 1 up")
    if version > current:
        raise Fault(
            "format_version",
            f"written by a newer version of Evenbarrel; format {version}, "
            f"this version reads up to {current}",
        )
    return version
