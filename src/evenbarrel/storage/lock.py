"""Locks that end with their program: the system holds them, a killed program leaves none behind.

A lock is a small file that says who holds it, where and since when. Held it is by the operating
system's own lock on that file, so that what a crash leaves is known to be nobody's.
"""

from __future__ import annotations

import contextlib
import errno
import getpass
import json
import os
import socket
import sys
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

_LARGEST = 4096
_HELD = frozenset({errno.EACCES, errno.EAGAIN, errno.EDEADLK})
"""What the systems say of a lock that another program holds."""


@dataclass(frozen=True, slots=True)
class Holder:
    """Who holds a lock: a person's name on the system, the machine, and since when (ISO, UTC)."""

    person: str
    machine: str
    since: str


def _self() -> Holder:
    try:
        person = getpass.getuser()
    except (OSError, KeyError):
        # No name is known for this person here; the machine's must do.
        person = ""
    since = datetime.now(UTC).isoformat(timespec="seconds")
    return Holder(person, socket.gethostname(), since)


class Lock:
    """A lock at one path, held by at most one program at a time."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._descriptor: int | None = None

    @property
    def is_held(self) -> bool:
        """Whether this object holds the lock."""
        return self._descriptor is not None

    def acquire(self, *, take_over: bool = False) -> Holder | None:
        """Take the lock; return None when it is held now, else who holds it.

        What a program on this machine left when it died is taken without a word. What another
        machine holds cannot be told from what it left: its holder is returned, unless the person
        decides to `take_over`. Raises OSError where no file can stand at the path.
        """
        if self.is_held:
            return None
        descriptor, locked = self._open()
        found = _read(descriptor)
        abroad = found is not None and found.machine != socket.gethostname()
        if not take_over and (not locked or abroad):
            os.close(descriptor)
            return found or Holder("", "", "")
        if not locked:
            # Its holder keeps the old file; everybody after finds the new one.
            os.close(descriptor)
            self.path.unlink(missing_ok=True)
            descriptor, _ = self._open()
        _write(descriptor, _self())
        self._descriptor = descriptor
        return None

    def _open(self) -> tuple[int, bool]:
        """Open the lock's file and ask for its lock; say whether it was given."""
        while True:
            descriptor = os.open(self.path, os.O_RDWR | os.O_CREAT, 0o644)
            try:
                locked = _lock(descriptor)
            except OSError:
                os.close(descriptor)
                self.path.unlink(missing_ok=True)
                raise
            with contextlib.suppress(OSError):
                # Its holder may have removed it between the two steps: then it locks nothing.
                if os.path.samestat(os.fstat(descriptor), self.path.stat()):
                    return descriptor, locked
            os.close(descriptor)

    def release(self) -> None:
        """Give the lock up and remove its file, if it is still ours."""
        if self._descriptor is None:
            return
        with contextlib.suppress(OSError):
            if os.path.samestat(os.fstat(self._descriptor), self.path.stat()):
                self.path.unlink()
        os.close(self._descriptor)
        self._descriptor = None


def beside(document: Path) -> Path:
    """Return where the lock of a document stands."""
    target = Path(os.path.realpath(document))
    return target.with_name(f".{target.name}.lock")


def _lock(descriptor: int) -> bool:
    """Ask the system for the file's lock; say whether it was given. It ends with the process.

    Raises OSError where the disk knows no locks: nobody can hold one there.
    """
    try:
        if sys.platform == "win32":
            import msvcrt

            # A byte far behind the words, so that others can still read who holds it.
            os.lseek(descriptor, _LARGEST, os.SEEK_SET)
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno not in _HELD:
            raise
        return False
    return True


def _read(descriptor: int) -> Holder | None:
    os.lseek(descriptor, 0, os.SEEK_SET)
    try:
        read = json.loads(os.read(descriptor, _LARGEST))
        return Holder(str(read["person"]), str(read["machine"]), str(read["since"]))
    except (ValueError, KeyError, TypeError):
        return None


def _write(descriptor: int, holder: Holder) -> None:
    words = {"person": holder.person, "machine": holder.machine, "since": holder.since}
    os.ftruncate(descriptor, 0)
    os.lseek(descriptor, 0, os.SEEK_SET)
    os.write(descriptor, json.dumps(words).encode())
