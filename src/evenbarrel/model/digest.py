"""The canonical form of an evaluation and its digest, scheme c1."""

from __future__ import annotations

import hashlib
import json
import unicodedata
from typing import Any

from evenbarrel.model.evaluation import Evaluation

SCHEME = "c1"
_LEFT_OUT = {"format_version", "display_units", "sign_offs"}


def canonical(evaluation: Evaluation) -> bytes:
    """Return every field, nulls and defaults in, keys sorted, no spaces, UTF-8 in NFC.

    Magnitudes stay as entered (2.0 is not 2); format_version, display_units and sign_offs are
    left out, so that a signature does not change what it signs.
    """
    data = evaluation.model_dump(mode="json", by_alias=True, exclude=_LEFT_OUT)
    text = json.dumps(_normalised(data), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode("utf-8")


def _normalised(value: Any) -> Any:
    # Before the text is written: after it, an escape such as \n could melt into an accent.
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, dict):
        return {_normalised(key): _normalised(part) for key, part in value.items()}
    return [_normalised(part) for part in value] if isinstance(value, list) else value


def digest(evaluation: Evaluation) -> str:
    """Return the SHA-256 of the canonical form, in hexadecimal."""
    return hashlib.sha256(canonical(evaluation)).hexdigest()
