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

from evenbarrel.model.digest import canonical_data, digest
from evenbarrel.model.evaluation import FORMAT_VERSION, Evaluation
from evenbarrel.storage.file_errors import Fault

CURRENT = FORMAT_VERSION

Step = Callable[[dict[str, Any]], dict[str, Any]]

_RINGS = ("sliding", "ball", "smear_tip", "other", "unknown")


def _to_version_2(data: dict[str, Any]) -> dict[str, Any]:
    """Kinds of check ring become a closed list, and valid signatures are carried over.

    What was written of a ring in other words goes to the bid's notes.
    """
    if "units" in data:
        return _with_ring_kinds(data)
    stepped = data | {"bids": [_with_ring_kinds(bid) for bid in data.get("bids", [])]}
    if data.get("sign_offs"):
        stepped |= {"sign_offs": _carried(data, stepped)}
    return stepped


def _with_ring_kinds(bid: dict[str, Any]) -> dict[str, Any]:
    notes, units = [bid.get("notes", "")], []
    for unit in bid.get("units", []):
        barrels = []
        for barrel in unit.get("barrels", []):
            words = barrel.get("ring_kind", "")
            kept = {name: value for name, value in barrel.items() if name != "ring_kind"}
            if words in _RINGS:
                kept["ring_kind"] = words
            elif words:
                notes.append(f"Check ring of {barrel.get('label') or barrel['id']}: {words}")
            barrels.append(kept)
        units.append(unit | ({"barrels": barrels} if "barrels" in unit else {}))
    changed = {"units": units} if "units" in bid else {}
    said = "\n".join(note for note in notes if note)
    return bid | changed | ({"notes": said} if said else {})


def _carried(before: dict[str, Any], after: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the signatures, those that hold by scheme c1 with what they stand for by c2."""
    signatures: list[dict[str, Any]] = after["sign_offs"]
    try:
        stepped = Evaluation.model_validate_json(json.dumps(after | {"format_version": CURRENT}))
    except ValidationError:
        # Why a file is refused is said by whoever validates it in the end.
        return signatures
    as_it_stood = stepped.model_dump(mode="json", by_alias=True)
    for bid, kept in zip(before.get("bids", []), as_it_stood["bids"], strict=True):
        kept["notes"] = bid.get("notes", "")
        for unit, kept_unit in zip(bid.get("units", []), kept["units"], strict=True):
            for barrel, ring in zip(unit.get("barrels", []), kept_unit["barrels"], strict=True):
                ring["ring_kind"] = barrel.get("ring_kind", "")
    was = hashlib.sha256(canonical_data(as_it_stood, "c1")).hexdigest()
    carried = {"carried": {"scheme": "c2", "digest": digest(stepped, "c2")}}
    held = ("c1", was)
    return [
        one | (carried if (one.get("scheme", "c1"), one.get("digest")) == held else {})
        for one in signatures
    ]


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
        raise Fault("format_version", "it is missing, so this may be no file of Evenbarrel")
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
