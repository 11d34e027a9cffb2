"""Evaluations and bids from and to files; whatever is wrong with one is a `FileRefused`."""

from __future__ import annotations

import hashlib
import stat
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import to_json

from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import (
    MOST_BARRELS,
    MOST_JOBS,
    MOST_RESINS,
    BidFile,
    Evaluation,
)
from evenbarrel.storage.atomic import atomic_write
from evenbarrel.storage.file_errors import Fault, FileRefused, not_a_file, system_words
from evenbarrel.storage.parsing import first_unreadable, parse_json
from evenbarrel.storage.validation_words import fault_of, field_in_words
from evenbarrel.storage.versions import CURRENT, upgrade

LARGEST = 64 * 1024 * 1024
"""Bytes; a thousand bids take less than a tenth of it."""

Document = TypeVar("Document", Evaluation, BidFile)


def read_evaluation(path: Path) -> Evaluation:
    """Return the evaluation in a file; raises `FileRefused`."""
    return parse_evaluation(read_content(path), path.name)


def readable(path: Path) -> Evaluation | None:
    """Return the evaluation in a file; None where there is none that can be read."""
    try:
        return read_evaluation(path)
    except FileRefused:
        return None


def parse_evaluation(data: bytes, name: str) -> Evaluation:
    """Return the evaluation in the content of the file called `name`; raises `FileRefused`."""
    return _parse(data, name, Evaluation)


def open_evaluation(path: Path) -> tuple[Evaluation, str]:
    """Return the evaluation in a file, and the file's `fingerprint`; raises `FileRefused`."""
    data = read_content(path)
    return parse_evaluation(data, path.name), _fingerprint(data)


def fingerprint(path: Path) -> str | None:
    """Return what tells a file's content from any other, None where it cannot be read."""
    try:
        return _fingerprint(read_content(path))
    except FileRefused:
        return None


def _fingerprint(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def parse_bid(data: bytes, name: str) -> BidFile:
    """Return the bid in the content of the file called `name`; raises `FileRefused`."""
    return _parse(data, name, BidFile)


def write_evaluation(evaluation: Evaluation, path: Path) -> str:
    """Write an evaluation whole or not at all, the version before kept as `.bak`.

    Return the file's `fingerprint`; raises `FileRefused`.
    """
    content = evaluation_bytes(evaluation)
    _refuse_too_large(content, path, LARGEST)
    atomic_write(path, content, keep_before=True)
    return _fingerprint(content)


def bid_bytes(bid_file: BidFile) -> bytes:
    """Return the content of a bid's file: what differs from the defaults, in model order."""
    return _content(bid_file, {})


def evaluation_bytes(evaluation: Evaluation) -> bytes:
    """Return the content of an evaluation's file: what differs from the defaults, in model order.

    Currency and limits are written always: whoever reads the file sees what it was judged by.
    """
    always = evaluation.model_dump(mode="json", include={"currency", "limits"})
    return _content(evaluation, always)


def _content(document: Frozen, always: dict[str, Any]) -> bytes:
    stated = document.model_dump(mode="json", by_alias=True, exclude_defaults=True) | always
    ordered = {name: stated[name] for name in type(document).model_fields if name in stated}
    # First in the file, so that a reader knows at once how to take the rest.
    versioned = {"format_version": CURRENT} | ordered
    return to_json(versioned, indent=1) + b"\n"


def read_content(path: Path, largest: int | None = None) -> bytes:
    """Return what is in a file of at most `largest` bytes; raises `FileRefused`."""
    largest = LARGEST if largest is None else largest
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise FileRefused(path.name or str(path), "", "it is a folder, not a file")
        if not stat.S_ISREG(found.st_mode):
            raise FileRefused(path.name, "", not_a_file(found.st_mode))
        with path.open("rb") as file:
            data = file.read(largest + 1)
    except FileNotFoundError as error:
        problem = f"there is no such file in {path.absolute().parent}"
        raise FileRefused(path.name, "", problem) from error
    except OSError as error:
        raise FileRefused(path.name, "", f"it cannot be read: {system_words(error)}") from error
    except ValueError as error:
        problem = "its name holds a character no file name can have"
        raise FileRefused(path.name, "", problem) from error
    _refuse_too_large(data, path, largest)
    return data


def _refuse_too_large(data: bytes, path: Path, largest: int) -> None:
    """What could not be opened again is not written either."""
    if len(data) > largest:
        raise FileRefused(path.name, "", f"it is larger than {largest // 1024**2} MB")


def _parse(data: bytes, name: str, model: type[Document]) -> Document:
    try:
        return _document(data, model)
    except Fault as fault:
        raise FileRefused(name, fault.field, fault.problem) from fault


def _refuse_too_many(data: dict[str, Any]) -> None:
    """Refuse by counting what would take minutes to read."""
    for name, most in (("resins", MOST_RESINS), ("jobs", MOST_JOBS)):
        rows = data.get(name)
        if isinstance(rows, list) and len(rows) > most:
            raise Fault(name, f"there are {len(rows)}; an evaluation takes at most {most}")
    bids = [bid for bid in _rows(data, "bids") if isinstance(bid, dict)]
    units = [unit for bid in (bids or [data]) for unit in _rows(bid, "units")]
    barrels = sum(len(_rows(unit, "barrels")) for unit in units if isinstance(unit, dict))
    for things, count in (("bids", len(bids)), ("units", len(units)), ("barrels", barrels)):
        if count > MOST_BARRELS:
            raise Fault("bids", f"there are {count} {things}; a file takes at most {MOST_BARRELS}")


def _rows(data: dict[str, Any], name: str) -> list[Any]:
    rows = data.get(name)
    return rows if isinstance(rows, list) else []


def _document(data: bytes, model: type[Document]) -> Document:
    parsed = parse_json(data)
    what = "an evaluation" if model is Evaluation else "a bid"
    if not isinstance(parsed, dict):
        raise Fault("", f"it does not hold {what}: it must be a set of named fields in braces")
    _refuse_too_many(parsed)
    unreadable = first_unreadable(parsed)
    if unreadable is not None:
        location, problem = unreadable
        raise Fault(field_in_words(model, parsed, location), problem)
    current = upgrade(parsed)
    if ("bids" if model is BidFile else "units") in current:
        other = "a bid on its own" if model is Evaluation else "an evaluation"
        raise Fault("", f"it holds {other}, not {what}")
    try:
        # Strict models take lists and dates only from JSON, hence the text once more.
        return model.model_validate_json(to_json(current))
    except ValidationError as error:
        raise fault_of(error, model, current) from error
