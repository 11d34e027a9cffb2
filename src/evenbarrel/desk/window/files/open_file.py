"""The file a document stands in: held against other windows, and compared with the disk."""

from __future__ import annotations

from pathlib import Path

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.files import fingerprint, readable
from evenbarrel.storage.lock import Holder, Lock, beside


class OpenFile:
    """One file, or with `path` None none; `read_only` where another window holds it.

    `content` is the fingerprint of what was opened or saved here.
    """

    def __init__(self, path: Path | None = None, content: str | None = None) -> None:
        self.path = path
        self.read_only = False
        self._content = content
        self._lock: Lock | None = None

    def hold(self, *, take_over: bool = False) -> Holder | None:
        """Hold the file against other windows; return who holds it, None if we do.

        Where nobody can hold it, as in a folder that takes no files, nobody else does either.
        """
        self.let_go()
        if self.path is None:
            return None
        lock = Lock(beside(self.path))
        try:
            holder = lock.acquire(take_over=take_over)
        except OSError:
            holder = None
        else:
            self._lock = lock if holder is None else None
        self.read_only = holder is not None
        return holder

    def let_go(self) -> None:
        """Hold the file no longer."""
        if self._lock is not None:
            self._lock.release()
        self._lock = None

    def saved(self, content: str) -> None:
        """Take it that the file holds now what was written here."""
        self._content = content

    def changed_on_disk(self) -> Evaluation | None:
        """Return what stands in the file, if that is not what was opened or saved here.

        None where it is the same, is gone, or cannot be read as an evaluation.
        """
        if self.path is None or self._content is None:
            return None
        now = fingerprint(self.path)
        if now is None or now == self._content:
            return None
        return readable(self.path)
