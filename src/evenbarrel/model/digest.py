"""The canonical form of an evaluation and its digest, by scheme."""

from __future__ import annotations

import hashlib
import json
import unicodedata
from typing import Any

from evenbarrel.model.decision import SignOff
from evenbarrel.model.evaluation import Evaluation

SCHEME = "c2"
"""What new signatures use; c1 is kept for files of version 1."""

_LEFT_OUT = {"format_version", "display_units", "sign_offs"}
_SINCE_VERSION_1 = frozenset(
    {
        "carried",
        "compression_high",
        "compression_low",
        "confirmed_limits",
        "diffusivity_literature",
        "length_ratio_low",
        "mould_motion_time",
        "reading",
        "refused",
        "unsuited_rings",
    }
)
"""Fields that version 1 did not have, and so its scheme knows nothing of."""
_EMPTY: tuple[Any, ...] = (None, "", [], {})
_NEVER_SAID = ("open", "asked")


def canonical(evaluation: Evaluation, scheme: str = SCHEME) -> bytes:
    """Return the evaluation as text with keys sorted, no spaces, UTF-8 in NFC.

    Magnitudes stay as entered (2.0 is not 2); format_version, display_units and sign_offs are
    left out, so that a signature does not change what it signs. By `c2` a member whose value is
    null or empty is left out at every depth, from the inside out, so that a field added later
    changes no digest; answers that are still open or asked count as not given. By `c1`, the scheme
    of version 1, every field of that version is in. Raises ValueError for another scheme.
    """
    return canonical_data(evaluation.model_dump(mode="json", by_alias=True), scheme)


def canonical_data(dumped: dict[str, Any], scheme: str) -> bytes:
    """Return the canonical form of an evaluation that is given as plain data, every field in it."""
    data = {name: value for name, value in dumped.items() if name not in _LEFT_OUT}
    if scheme == "c1":
        data = _of_version_1(data)
    elif scheme == "c2":
        data["answers"] = [one for one in data["answers"] if one["state"] not in _NEVER_SAID]
        data = _without_empty(data)
    else:
        raise ValueError(f"no scheme {scheme}")
    text = json.dumps(_normalised(data), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode("utf-8")


def _without_empty(value: Any) -> Any:
    if isinstance(value, dict):
        kept = {key: _without_empty(part) for key, part in value.items()}
        return {key: part for key, part in kept.items() if part not in _EMPTY}
    # Elements of a list stay, whatever is left of them: their place counts.
    return [_without_empty(part) for part in value] if isinstance(value, list) else value


def _of_version_1(value: Any) -> Any:
    if isinstance(value, dict):
        kept = {key: _of_version_1(v) for key, v in value.items() if key not in _SINCE_VERSION_1}
        if "ring_kind" in kept and kept["ring_kind"] is None:
            kept["ring_kind"] = ""
        return kept
    return [_of_version_1(part) for part in value] if isinstance(value, list) else value


def _normalised(value: Any) -> Any:
    # Before the text is written: after it, an escape such as \n could melt into an accent.
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, dict):
        return {_normalised(key): _normalised(part) for key, part in value.items()}
    return [_normalised(part) for part in value] if isinstance(value, list) else value


def digest(evaluation: Evaluation, scheme: str = SCHEME) -> str:
    """Return the SHA-256 of the canonical form by a scheme, in hexadecimal."""
    return hashlib.sha256(canonical(evaluation, scheme)).hexdigest()


def signs(sign_off: SignOff, evaluation: Evaluation) -> bool:
    """Say whether a signature is one under exactly this evaluation."""
    signed = sign_off.carried or sign_off
    try:
        return digest(evaluation, signed.scheme) == signed.digest
    except ValueError:
        return False
