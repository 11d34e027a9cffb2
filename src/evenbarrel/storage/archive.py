"""An evaluation with everything that was made of it, in one file that tells if it was changed."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from io import BytesIO
from struct import error as StructError
from typing import Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo
from zlib import error as BadStream

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.states.digest import SCHEME, digest
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import evaluation_bytes, parse_evaluation

EVALUATION, CONTENTS = "evaluation.evenbarrel.json", "contents.json"
"""What must be in an archive: the evaluation, and what else is in it with its digests."""
MOST_MEMBERS, MOST_UNPACKED = 20, 128 * 1024 * 1024
"""More is no archive of ours: it is refused before anything is unpacked."""
BEGINS = b"PK\x03\x04"
"""How a zip file begins."""

# Equal data give equal bytes: no archive tells when it was made.
_NO_DAY = (2000, 1, 1, 0, 0, 0)
_ENTRY = b"PK\x01\x02"
"""How each entry of a zip's own list begins."""


def archive_bytes(
    evaluation: Evaluation, made: Mapping[str, bytes], version: str, results_digest: str
) -> bytes:
    """Return an archive of an evaluation and of what was `made` of it, by name.

    Its list of contents holds the program's version, the digests of evaluation and results, and
    the SHA-256 of each member.
    """
    members = {EVALUATION: evaluation_bytes(evaluation), **made}
    contents = {
        "archive": 1,
        "program_version": version,
        "digest_scheme": SCHEME,
        "digest": digest(evaluation),
        "results_digest": results_digest,
        "members": {name: _sha256(data) for name, data in members.items()},
    }
    text = json.dumps(contents, indent=1, ensure_ascii=False) + "\n"
    out = BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED) as archive:
        for name, data in {CONTENTS: text.encode("utf-8"), **members}.items():
            member = ZipInfo(name, _NO_DAY)
            member.create_system = 0
            archive.writestr(member, data, ZIP_DEFLATED)
    return out.getvalue()


def parse_archive(data: bytes, name: str) -> Evaluation:
    """Return the evaluation in the content of the archive called `name`.

    Raises `FileRefused` where it is no such archive, or names the member whose digest fails.
    """
    members = _unpacked(data, name)
    for needed in (CONTENTS, EVALUATION):
        if needed not in members:
            raise FileRefused(
                name, needed, "it is missing: this is not an archive of an evaluation"
            )
    listed = _listed(members[CONTENTS], name)
    unlisted = next((one for one in members if one not in (*listed, CONTENTS)), None)
    if unlisted is not None:
        raise FileRefused(name, unlisted, "the archive's list does not name it")
    for one, expected in listed.items():
        if one not in members:
            raise FileRefused(name, one, "it is missing, though the archive's list names it")
        if _sha256(members[one]) != expected:
            raise FileRefused(name, one, "its digest fails: it is not what was archived")
    return parse_evaluation(members[EVALUATION], f"{name}, {EVALUATION}")


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _listed(data: bytes, name: str) -> Mapping[str, str]:
    """Return the digests by member that an archive lists."""
    try:
        contents: Any = json.loads(data)
        members = contents["members"]
        if contents["archive"] == 1 and isinstance(members, dict):
            return {str(one): str(digest) for one, digest in members.items()}
        problem = "it is of a newer version, or not the list of an archive"
    except (ValueError, KeyError, TypeError, RecursionError):
        problem = "it is not the list of an archive"
    raise FileRefused(name, CONTENTS, problem)


def _unpacked(data: bytes, name: str) -> Mapping[str, bytes]:
    """Return the members of a zip by name, refused before unpacking where they are too many."""
    # Counted before the list is read: a zip of a million names takes a while to list.
    if data.count(_ENTRY) > 10 * MOST_MEMBERS:
        raise FileRefused(name, "", f"it holds more than {MOST_MEMBERS} files")
    try:
        with ZipFile(BytesIO(data)) as archive:
            members = archive.infolist()
            _refuse_strange(members, name)
            return {one.filename: _read(archive, one, name) for one in members}
    except (
        BadZipFile,
        BadStream,
        EOFError,
        RuntimeError,
        StructError,
        ValueError,
        OSError,
    ) as error:
        raise FileRefused(name, "", "it is damaged, or not a zip archive") from error


def _refuse_strange(members: list[ZipInfo], name: str) -> None:
    if len(members) > MOST_MEMBERS:
        raise FileRefused(name, "", f"it holds more than {MOST_MEMBERS} files")
    if sum(one.file_size for one in members) > MOST_UNPACKED:
        raise FileRefused(name, "", f"it unpacks to more than {MOST_UNPACKED // 1024**2} MB")
    seen = set()
    for one in members:
        path = one.filename
        if path.startswith("/") or "\\" in path or ":" in path or ".." in path.split("/"):
            raise FileRefused(name, path, "its path leads out of the archive")
        if path in seen:
            raise FileRefused(name, path, "it is in the archive twice")
        if one.flag_bits & 1:
            raise FileRefused(name, path, "it is locked by a password")
        if one.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
            raise FileRefused(name, path, "it uses a kind of compression that is not supported")
        seen.add(path)


def _read(archive: ZipFile, member: ZipInfo, name: str) -> bytes:
    """Return what is in a member, no more than it says there is."""
    with archive.open(member) as file:
        content = file.read(member.file_size + 1)
    if len(content) > member.file_size:
        raise FileRefused(name, member.filename, "it unpacks to more than it says")
    return content
