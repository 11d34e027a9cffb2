"""What a signature covers: the canonical form of an evaluation and its digest, by scheme."""

from __future__ import annotations

import hashlib
import json
import unicodedata
from typing import Any

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import SignedState, SignOff

SCHEME = "c2"
"""What new signatures use; c1 is kept for files of version 1."""

_LEFT_OUT = frozenset({"format_version", "display_units", "sign_offs"})
_BESIDE = frozenset({"acceptance", "signed_states"})
"""What is measured and kept after a signature: by c2 it changes none."""
_NOT_COMPARED = frozenset({"format_version", "display_units", "signed_states"})
_SINCE_VERSION_1 = frozenset(
    {
        "acceptance",
        "answers.about",
        "answers.answer_by",
        "answers.earlier",
        "answers.person",
        "answers.replaced",
        "bids.documents",
        "bids.guarantees",
        "bids.payment_terms",
        "bids.revises",
        "bids.scope",
        "bids.units.barrels.revises",
        "bids.units.barrels.settled.reading",
        "bids.units.dry_cycle_time",
        "bids.units.energy_method",
        "bids.units.energy_per_mass",
        "bids.units.hours_available",
        "bids.units.owned_copies",
        "bids.units.resale_value",
        "bids.units.standard_barrel",
        "bids.withdrawn",
        "confirmed_limits",
        "cost.change_time",
        "cost.common_resin",
        "cost.lines.per_hours",
        "cost.notes",
        "cost.rate_growth",
        "cost.residual_share",
        "cost.resolution",
        "cost.tariff_growth",
        "cost.turnovers",
        "cover_options",
        "deviations.refused",
        "jobs.batches_per_year",
        "jobs.mould_motion_time",
        "jobs.moulds",
        "measures",
        "proposal",
        "resins.compression_high",
        "resins.compression_low",
        "resins.diffusivity_literature",
        "resins.length_ratio_low",
        "resins.price_per_kg",
        "resins.unsuited_rings",
        "scope_items",
        "signed_states",
    }
)
"""Fields that version 1 did not have, and so its scheme knows nothing of."""
_EMPTY: tuple[Any, ...] = (None, "", [], {})
_NEVER_SAID = ("open", "asked")
_STATE = "signed state"


def canonical(evaluation: Evaluation, scheme: str = SCHEME) -> bytes:
    """Return the evaluation as text with keys sorted, no spaces, UTF-8 in NFC.

    Magnitudes stay as entered (2.0 is not 2); format_version, display_units and sign_offs are
    left out, so that a signature does not change what it signs. By `c2` a member whose value is
    null or empty is left out at every depth, from the inside out, so that a field added later
    changes no digest; so are answers still open or asked, acceptance, kept states, places and the
    paths of documents. By `c1`, the scheme of version 1, every field of that version is in.
    Raises ValueError for another scheme.
    """
    return canonical_data(evaluation.model_dump(mode="json", by_alias=True), scheme)


def canonical_data(dumped: dict[str, Any], scheme: str) -> bytes:
    """Return the canonical form of an evaluation that is given as plain data, every field in it."""
    return _written(_signed_data(dumped, scheme))


def _written(data: Any) -> bytes:
    text = json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return text.encode("utf-8")


def _signed_data(dumped: dict[str, Any], scheme: str) -> dict[str, Any]:
    """Return what a scheme signs of an evaluation."""
    data = {name: value for name, value in dumped.items() if name not in _LEFT_OUT}
    if scheme == "c1":
        data = _of_version_1(data, "")
    elif scheme == "c2":
        data = {name: value for name, value in data.items() if name not in _BESIDE}
        data["answers"] = [one for one in data["answers"] if one["state"] not in _NEVER_SAID]
        data["bids"] = [_without_paths(bid) for bid in data["bids"]]
        data = _without_empty(data)
    else:
        raise ValueError(f"no scheme {scheme}")
    signed: dict[str, Any] = _normalised(data)
    return signed


def stated_data(evaluation: Evaluation) -> dict[str, Any]:
    """Return everything that is entered, as plain data without what is empty.

    Beside what is signed that is what was measured and who has signed; not what was kept of it.
    """
    data = evaluation.model_dump(mode="json", by_alias=True)
    kept = {name: value for name, value in data.items() if name not in _NOT_COMPARED}
    stated: dict[str, Any] = _normalised(_without_empty(kept))
    return stated


def _without_paths(bid: dict[str, Any]) -> dict[str, Any]:
    """A document is what it holds, wherever it lies."""
    documents = [
        {name: value for name, value in document.items() if name != "path"}
        for document in bid["documents"]
    ]
    return bid | {"documents": documents}


def _without_empty(value: Any) -> Any:
    if isinstance(value, dict):
        kept = {
            key: _without_empty(part) for key, part in value.items() if not _is_place(key, part)
        }
        return {key: part for key, part in kept.items() if part not in _EMPTY}
    # Elements of a list stay, whatever is left of them: their order counts.
    return [_without_empty(part) for part in value] if isinstance(value, list) else value


def _is_place(key: str, value: Any) -> bool:
    """Say whether a member is where a number was printed; version 1 had no such member either."""
    return key == "place" and not isinstance(value, str)


def _of_version_1(value: Any, path: str) -> Any:
    if isinstance(value, dict):
        kept = {}
        for key, part in value.items():
            inside = f"{path}.{key}" if path else key
            if inside not in _SINCE_VERSION_1 and not _is_place(key, part):
                kept[key] = _of_version_1(part, inside)
        if "ring_kind" in kept and kept["ring_kind"] is None:
            kept["ring_kind"] = ""
        return kept
    return [_of_version_1(part, path) for part in value] if isinstance(value, list) else value


def _normalised(value: Any) -> Any:
    # Before the text is written: after it, an escape such as \n could melt into an accent.
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, dict):
        return {_normalised(key): _normalised(part) for key, part in value.items()}
    return [_normalised(part) for part in value] if isinstance(value, list) else value


def digest(evaluation: Evaluation, scheme: str = SCHEME) -> str:
    """Return the SHA-256 of the canonical form by a scheme, in hexadecimal."""
    kept: dict[str, str] = evaluation.kept
    if scheme not in kept:
        kept[scheme] = hashlib.sha256(canonical(evaluation, scheme)).hexdigest()
    return kept[scheme]


def signed_state(evaluation: Evaluation) -> SignedState:
    """Return what a signature under this evaluation signs, to be kept with it."""
    if _STATE not in evaluation.kept:
        data = _signed_data(evaluation.model_dump(mode="json", by_alias=True), SCHEME)
        own = hashlib.sha256(_written(data)).hexdigest()
        evaluation.kept[_STATE] = SignedState(digest=own, evaluation=data)
    state: SignedState = evaluation.kept[_STATE]
    return state


def signs(sign_off: SignOff, evaluation: Evaluation) -> bool:
    """Say whether a signature is one under exactly this evaluation."""
    signed = sign_off.carried or sign_off
    try:
        return digest(evaluation, signed.scheme) == signed.digest
    except ValueError:
        return False
