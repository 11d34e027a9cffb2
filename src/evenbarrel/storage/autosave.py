"""Unsaved work kept beside its file, and offered again after the program was cut off."""

from __future__ import annotations

import contextlib
import hashlib
import os
import secrets
from pathlib import Path

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.atomic import atomic_write
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import evaluation_bytes, read_evaluation
from evenbarrel.storage.user_folders import state_folder

_PRIVATE = 0o600


class Recovery:
    """Autosaves of one window: a document's beside its file, an untitled one's in `folder`.

    `folder` is the person's folder for unsaved work if not given. It also takes the autosave of a
    document whose own folder cannot be written.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or state_folder()
        # Every window has its own, so that two untitled documents never overwrite each other.
        self._untitled = self._folder / f"untitled-{secrets.token_hex(8)}.autosave"
        self._offered: Path | None = None

    def autosave(self, evaluation: Evaluation, path: Path | None = None) -> None:
        """Keep `evaluation` in case the program is cut off; `path` is its file, if it has one.

        Raises `FileRefused` only where neither place can be written.
        """
        content = evaluation_bytes(evaluation)
        if path is not None:
            with contextlib.suppress(FileRefused):
                atomic_write(_beside(path), content, _PRIVATE)
                return
        place = self._untitled if path is None else self._apart(path)
        # A folder that cannot be made is told by the write that follows.
        with contextlib.suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        atomic_write(place, content, _PRIVATE)

    def offer(self, path: Path | None = None) -> Evaluation | None:
        """Return unsaved work to offer, or None.

        Of a file: its autosave, where that is no older than the file and differs from it, or
        where the file cannot be read. Without a path: the newest untitled document that another
        window left. Nothing is removed before `clear`.
        """
        if path is None:
            return self._offer_untitled()
        kept = _newest((_beside(path), self._apart(path)))
        unsaved = None if kept is None else _readable(kept)
        if kept is None or unsaved is None:
            return None
        saved = _readable(path)
        if saved is None:
            return unsaved
        return unsaved if _changed_at(kept) >= _changed_at(path) and unsaved != saved else None

    def clear(self, path: Path | None = None) -> None:
        """Remove what is kept for `path`, or for the untitled document and the one last offered.

        Called after a save, or when the person does not want what was offered. An untitled
        document that was saved under a name is cleared both ways.
        """
        places = (
            (self._untitled, self._offered) if path is None else (_beside(path), self._apart(path))
        )
        for place in places:
            if place is not None:
                with contextlib.suppress(OSError):
                    place.unlink()

    def _apart(self, path: Path) -> Path:
        name = hashlib.sha256(os.fsencode(os.path.realpath(path))).hexdigest()
        return self._folder / f"{name[:32]}.autosave"

    def _offer_untitled(self) -> Evaluation | None:
        try:
            left = [p for p in self._folder.glob("untitled-*.autosave") if p != self._untitled]
        except OSError:
            return None
        for place in sorted(left, key=_changed_at, reverse=True):
            unsaved = _readable(place)
            if unsaved is not None:
                self._offered = place
                return unsaved
        return None


def _beside(path: Path) -> Path:
    target = Path(os.path.realpath(path))
    return target.with_name(f".{target.name}.autosave")


def _newest(places: tuple[Path, ...]) -> Path | None:
    there = [place for place in places if place.is_file()]
    return max(there, key=_changed_at, default=None)


def _changed_at(path: Path) -> int:
    """Return when a file was changed last [ns]; 0 where it is gone."""
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return 0


def _readable(path: Path) -> Evaluation | None:
    try:
        return read_evaluation(path)
    except FileRefused:
        return None
