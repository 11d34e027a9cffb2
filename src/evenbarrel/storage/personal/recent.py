"""The files opened last, newest first; nothing about this list ever stops the program."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path

from evenbarrel.storage.atomic import atomic_write
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.personal.user_folders import config_folder

LONGEST = 10


class RecentFiles:
    """The list, kept as JSON in `folder`, which is the person's settings folder if not given."""

    def __init__(self, folder: Path | None = None) -> None:
        self._file = (folder or config_folder()) / "recent.json"

    def paths(self) -> tuple[Path, ...]:
        """Return the paths, newest first; none where the list cannot be read."""
        try:
            entries = json.loads(self._file.read_bytes())
        except (OSError, ValueError, RecursionError):
            return ()
        if not isinstance(entries, list):
            return ()
        return tuple(Path(entry) for entry in entries if entry and isinstance(entry, str))[:LONGEST]

    def remember(self, path: Path) -> None:
        """Put `path` at the head of the list."""
        first = path.absolute()
        self._keep((first, *(other for other in self.paths() if other != first))[:LONGEST])

    def forget(self, path: Path) -> None:
        """Take `path` off the list."""
        gone = path.absolute()
        self._keep(tuple(other for other in self.paths() if other != gone))

    def _keep(self, paths: tuple[Path, ...]) -> None:
        with contextlib.suppress(FileRefused, OSError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            atomic_write(self._file, json.dumps([str(path) for path in paths], indent=1).encode())
