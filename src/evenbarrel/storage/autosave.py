"""Unsaved work kept aside while it is worked on, and offered again after a cut-off."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args

from evenbarrel.model.datum_path import TypedText
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Standing
from evenbarrel.storage.atomic import atomic_write, sweep
from evenbarrel.storage.file_errors import Fault, FileRefused
from evenbarrel.storage.files import evaluation_bytes, read_content, readable
from evenbarrel.storage.lock import Lock
from evenbarrel.storage.parsing import first_unreadable, parse_json
from evenbarrel.storage.personal.user_folders import state_folder

_PRIVATE = 0o600
_ENDING, _LOCK, _TYPED, _OPEN, _SENT = ".autosave", ".lock", ".typed", ".open", ".sent"
_BESIDE = (_TYPED, _OPEN, _SENT)
_MOST_TYPED, _LARGEST_TYPED = 1000, 4 * 1024**2
"""Texts that are taken back, and bytes of the file they stand in."""
_LARGEST_OPEN = 16 * 1024**2
"""Bytes of what is left open, and of the file it was read from."""
_UNTITLED = "untitled"
_STANDINGS = ([], [None], *([standing] for standing in get_args(Standing)))
"""What may stand behind a text that was typed."""


@dataclass(frozen=True, slots=True)
class KeptOpen:
    """An extract that was left open, as data, and what was in the file that it was read from.

    `sent` is None where what was sent stands in `data`, or is kept elsewhere.
    """

    data: bytes
    sent: bytes | None = None


@dataclass(frozen=True, slots=True)
class Recovered:
    """Work that a window left unsaved when it was cut off, and where it is kept."""

    evaluation: Evaluation
    place: Path
    typed: tuple[TypedText, ...] = ()
    """What was typed and not taken: no evaluation holds it."""
    left_open: KeptOpen | None = None


class Autosave:
    """What one window keeps aside of the documents it works on; no other window writes there.

    Each window has a name of its own, and a lock that ends with it: only what a window left that
    lives no more is offered. `folder` is the person's folder for unsaved work if not given.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or state_folder()
        self._window = secrets.token_hex(8)
        self._kept: Path | None = None
        self._sent: bytes | None = None
        """What was sent, as it is kept by now: a large file is written once."""
        self._lock: Lock | None = None

    def keep(
        self,
        evaluation: Evaluation,
        document: Path | None = None,
        typed: Sequence[TypedText] = (),
        left_open: KeptOpen | None = None,
    ) -> None:
        """Keep `evaluation` in case the program is cut off; `document` is its file, if any.

        What was `typed` and not taken, and an extract `left_open`, stand in files beside it. Kept
        in the person's folder, or beside the document where that cannot be written. Raises
        `FileRefused` only where neither place can, or what is left open is too large.
        """
        content, name = evaluation_bytes(evaluation), self._name(document)
        # A folder that cannot be made is told by the write that follows.
        with contextlib.suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        try:
            place = self._write(self._folder / name, content)
        except FileRefused:
            if document is None:
                raise
            place = Path(os.path.realpath(document)).parent / f".{name}"
            self._write(place, content)
        _write_beside(place, _TYPED, json.dumps(typed).encode() if typed else None)
        self._write_open(place, left_open)

    def clear(self) -> None:
        """Remove what this window keeps: it was saved, undone, or given up in words."""
        if self._kept is not None:
            for place in (self._kept, *map(self._kept.with_suffix, _BESIDE)):
                with contextlib.suppress(OSError):
                    place.unlink()
        if self._lock is not None:
            self._lock.release()
        self._kept = self._lock = self._sent = None

    def offers(self, document: Path | None = None) -> tuple[Recovered, ...]:
        """Return what dead windows left of a document, or of untitled ones; the newest first.

        What equals the document as it is saved is no loss: it is removed. What cannot be read is
        left where it is. An offer stays until it is taken or thrown away.
        """
        saved = None if document is None else readable(document)
        found = []
        for place in self._left(document):
            kept = readable(place)
            if kept is None:
                continue
            offer = Recovered(kept, place, _typed_beside(place), _open_beside(place))
            if kept == saved and not offer.typed and offer.left_open is None:
                self.throw_away(offer)
            else:
                found.append(offer)
        return tuple(found)

    def throw_away(self, offer: Recovered) -> None:
        """Remove an offer: a person took it up, or does not want it."""
        for place in (offer.place, *map(offer.place.with_suffix, (*_BESIDE, _LOCK))):
            with contextlib.suppress(OSError):
                place.unlink()

    def _name(self, document: Path | None) -> str:
        return f"{_stem(document)}-{self._window}{_ENDING}"

    def _write(self, place: Path, content: bytes) -> Path:
        if self._kept is not None and self._kept != place:
            self.clear()
        if self._lock is None:
            lock = Lock(place.with_suffix(_LOCK))
            with contextlib.suppress(OSError):
                lock.acquire()
                self._lock = lock
        atomic_write(place, content, _PRIVATE)
        self._kept = place
        return place

    def _write_open(self, place: Path, left_open: KeptOpen | None) -> None:
        data = None if left_open is None else left_open.data
        if data is not None and len(data) > _LARGEST_OPEN:
            # What was looked through before is not this.
            _write_beside(place, _OPEN, None)
            problem = f"it takes more than {_LARGEST_OPEN // 1024**2} MB to be kept aside"
            raise FileRefused("what is looked through", "", problem)
        sent = None if left_open is None else left_open.sent
        # A larger one is read again where it is.
        sent = None if sent is None or len(sent) > _LARGEST_OPEN else sent
        if sent is not self._sent:
            # Whenever it is cut off, what was read never stands beside another file's content.
            _write_beside(place, _OPEN, None)
            _write_beside(place, _SENT, sent)
            self._sent = sent
        _write_beside(place, _OPEN, data)

    def _left(self, document: Path | None) -> list[Path]:
        stem = _stem(document)
        places = [(self._folder, stem)]
        if document is not None:
            places.append((Path(os.path.realpath(document)).parent, f".{stem}"))
        found = []
        for folder, name in places:
            with contextlib.suppress(OSError):
                found += [p for p in folder.glob(f"{name}-*{_ENDING}") if self._is_left(p)]
                sweep(folder)
        return sorted(found, key=_changed_at, reverse=True)

    def _is_left(self, place: Path) -> bool:
        """Say whether the window that kept it lives no more."""
        if place == self._kept:
            return False
        lock = Lock(place.with_suffix(_LOCK))
        if not lock.path.exists():
            return True
        try:
            if lock.acquire(take_over=False) is not None:
                return False
        except OSError:
            return False
        lock.release()
        return True


def _stem(document: Path | None) -> str:
    """Return what tells a document from others, whatever way or link leads to it."""
    if document is None:
        return _UNTITLED
    return hashlib.sha256(os.fsencode(os.path.realpath(document))).hexdigest()[:32]


def _changed_at(path: Path) -> int:
    """Return when a file was changed last [ns]; 0 where it is gone. It orders, it never hides."""
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return 0


def _write_beside(place: Path, ending: str, content: bytes | None) -> None:
    """Write a file beside what is kept, or remove it where there is nothing to stand in it."""
    beside = place.with_suffix(ending)
    if content is not None:
        atomic_write(beside, content, _PRIVATE)
    else:
        with contextlib.suppress(OSError):
            beside.unlink()


def _open_beside(place: Path) -> KeptOpen | None:
    """Return what was looked through; what cannot be read is empty, and none where it was none."""
    if not os.path.lexists(place.with_suffix(_OPEN)):
        return None
    return KeptOpen(_content(place, _OPEN) or b"", _content(place, _SENT))


def _content(place: Path, ending: str) -> bytes | None:
    try:
        return read_content(place.with_suffix(ending), _LARGEST_OPEN)
    except FileRefused:
        return None


def _typed_beside(place: Path) -> tuple[TypedText, ...]:
    """Return what was kept beside an evaluation as typed; of what is no such list nothing."""
    try:
        kept = parse_json(read_content(place.with_suffix(_TYPED), _LARGEST_TYPED))
    except (FileRefused, Fault):
        return ()
    rows = kept[:_MOST_TYPED] if isinstance(kept, list) else []
    return tuple(TypedText(tuple(row[0]), *row[1:]) for row in rows if _is_typed(row))


def _is_typed(row: Any) -> bool:
    """Say whether parsed data are a place, a text that can be shown, whether of a table, standing.

    What is for no datum has an empty place, and stands in no table. A standing is left out by
    versions of the program before it was kept.
    """
    match row:
        case [[*path], str(), bool() as table, *rest] if rest in _STANDINGS and (path or not table):
            named = all(isinstance(part, str) for part in path)
            return named and first_unreadable(row) is None
    return False
