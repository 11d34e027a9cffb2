"""Writing a file whole or not at all."""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
import stat
import time
from pathlib import Path

from evenbarrel.storage.file_errors import FileRefused, not_a_file, system_words

_LEFT_FOR_DEAD = 24 * 3600.0
"""No write takes a day [s]: what is as old was left by a program that was killed."""


def atomic_write(
    path: Path, data: bytes, mode: int | None = None, *, keep_before: bool = False
) -> None:
    """Put `data` at `path` so that a reader finds the old file or the new one, never a part.

    A link stays a link and its target is written. An existing file keeps its permissions; a new
    one gets `mode`, or what the umask leaves. With `keep_before` the version before stays beside it
    as `.bak`. Raises `FileRefused`; the old file is then untouched
    and nothing is left beside it.
    """
    try:
        target = Path(os.path.realpath(path))
        kept = _permissions(target)
        _replace(target, data, mode, kept, keep_before and kept is not None)
    except OSError as error:
        raise _not_written(path, system_words(error)) from error
    except ValueError as error:
        raise _not_written(path, "its name holds a character no file name can have") from error


def keep_apart(
    output: Path,
    source: Path | None,
    problem: str = "it holds the evaluation itself: name another file",
) -> None:
    """Refuse an output that would take the place of the file it is made from.

    `source` is that file, usually an evaluation's; None where there is none. Raises `FileRefused`.
    """
    # What cannot be looked at is no file yet, or is refused when it is written.
    with contextlib.suppress(OSError, ValueError):
        if source is not None and output.samefile(source):
            raise FileRefused(output.name, "", problem)


def sweep(folder: Path) -> None:
    """Remove what writes that were killed left in a folder: files of a day ago and older."""
    with contextlib.suppress(OSError):
        newest = time.time() - _LEFT_FOR_DEAD
        for left in folder.glob(".evenbarrel-*.tmp"):
            with contextlib.suppress(OSError):
                if left.stat().st_mtime < newest:
                    left.unlink()


def _not_written(path: Path, why: str) -> FileRefused:
    return FileRefused(path.name or str(path), "", f"it could not be written: {why}")


def _permissions(target: Path) -> int | None:
    """Return the permissions of the file to be replaced, None where there is none."""
    try:
        found = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found.st_mode):
        raise IsADirectoryError(None, "it is a folder, not a file")
    if not stat.S_ISREG(found.st_mode):
        raise PermissionError(None, not_a_file(found.st_mode))
    # Replacing needs the folder's permission only; a file set read-only is meant to stay.
    if not os.access(target, os.W_OK):
        raise PermissionError(None, "it is read-only")
    return stat.S_IMODE(found.st_mode)


def _replace(
    target: Path, data: bytes, mode: int | None, kept: int | None, keep_before: bool
) -> None:
    temporary, before = (
        target.parent / f".evenbarrel-{secrets.token_hex(8)}.tmp" for _ in range(2)
    )
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    # Never more open than the file it replaces, not even while it is being written.
    private = 0o666 if mode is None and kept is None else 0o600
    try:
        with os.fdopen(os.open(temporary, flags, private), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        lasting = mode if kept is None else kept
        if lasting is not None:
            temporary.chmod(lasting)
        if keep_before:
            _second_name(target, before)
        temporary.replace(target)
        if keep_before:
            # Only now: a write that fails leaves the version before as it was, too.
            with contextlib.suppress(OSError):
                before.replace(target.with_name(target.name + ".bak"))
    except BaseException:
        for left in (temporary, before):
            with contextlib.suppress(OSError):
                left.unlink()
        raise
    _sync_folder(target.parent)


def _second_name(target: Path, other: Path) -> None:
    """Give the file a second name, or copy it where the disk knows no second names.

    Nothing comes of it where the folder takes no more: saving counts more than the version before.
    """
    with contextlib.suppress(OSError):
        try:
            os.link(target, other)
        except OSError:
            shutil.copy2(target, other)


def _sync_folder(folder: Path) -> None:
    # The new file is in place; where a system cannot sync a folder there is nothing to undo.
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
