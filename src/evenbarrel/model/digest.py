"""The canonical form of an evaluation and its digest, scheme c1."""

from __future__ import annotations

import hashlib
import json
import unicodedata

from evenbarrel.model.evaluation import Evaluation

SCHEME = "c1"
_LEFT_OUT = {"format_version", "display_units", "sign_offs"}


def canonical(evaluation: Evaluation) -> bytes:
    """Return every field, nulls and defaults in, keys sorted, no spaces, UTF-8 in NFC.

    Magnitudes stay as entered (2.0 is not 2); format_version, display_units and sign_offs are
    left out, so that a signature does not change what it signs.
    """
    data = evaluation.model_dump(mode="json", by_alias=True, exclude=_LEFT_OUT)
    text = json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return unicodedata.normalize("NFC", text).encode("utf-8")


def digest(evaluation: Evaluation) -> str:
    """Return the SHA-256 of the canonical form, in hexadecimal."""
    return hashlib.sha256(canonical(evaluation)).hexdigest()
