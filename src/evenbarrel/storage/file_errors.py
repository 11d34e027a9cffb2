"""Why a file is refused, in one plain sentence."""

from __future__ import annotations

import errno
import stat

from evenbarrel.wording.words.visible import visible

_SYSTEM_WORDS = {
    errno.ENOENT: "there is no such file or folder",
    errno.ENOTDIR: "a part of its path is not a folder",
    errno.EISDIR: "it is a folder, not a file",
    errno.EACCES: "you have no permission for it",
    errno.EPERM: "you have no permission for it",
    errno.EROFS: "its disk is read-only",
    errno.ENOSPC: "there is no space left on the disk",
    errno.ELOOP: "it is a link that leads back to itself",
    errno.ENAMETOOLONG: "its name is too long",
}


_LONGEST_PLACE = 300
"""Characters that say where in a file; no file's own names flood a refusal."""


class Fault(Exception):
    """What is wrong inside a file whose name is not known yet: a field, or "", and the problem."""

    def __init__(self, field: str, problem: str) -> None:
        super().__init__(field, problem)
        self.field = field
        self.problem = problem


class FileRefused(Exception):
    """A file that cannot be read or written; its text is one sentence of one line.

    `name` is the file's name, `field` says in words where in the file ("" where it is the file as
    a whole), `problem` what is wrong there.
    """

    def __init__(self, name: str, field: str, problem: str) -> None:
        self.name = one_line(name, 200)
        self.field = one_line(field, _LONGEST_PLACE)
        self.problem = problem
        super().__init__(": ".join(part for part in (self.name, self.field, problem) if part))


def one_line(text: str, longest: int = 60) -> str:
    """Return `text` on one line, nothing hidden in it, cut to `longest` characters."""
    # Cut first: of a text of megabytes only its beginning is ever seen.
    text = visible(text[: 4 * longest + 1])
    printable = "".join(character if character.isprintable() else " " for character in text)
    line = " ".join(printable.split())
    return line if len(line) <= longest else f"{line[: longest - 1]}…"


def not_a_file(mode: int) -> str:
    """Return what stands at a path that is neither file nor folder, by its mode."""
    if stat.S_ISFIFO(mode):
        return "it is a pipe, not a file"
    if stat.S_ISSOCK(mode):
        return "it is a socket, not a file"
    return "it is a device, not a file"


def system_words(error: OSError) -> str:
    """Return what the operating system objected to, in plain words."""
    known = _SYSTEM_WORDS.get(error.errno or 0)
    return known or one_line(error.strerror or "the system refused it", 120)
