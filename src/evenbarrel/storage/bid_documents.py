"""The files that bids came in: where they are, and what is in them."""

from __future__ import annotations

from pathlib import Path

from evenbarrel import resources
from evenbarrel.model.offers.terms import Document
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import read_content

LARGEST = 200 * 1024 * 1024
"""Bytes of a document that is read."""


def path_to_keep(file: Path, evaluation: Path | None) -> str:
    """Return what a document's `path` says of a file: how to get there from the evaluation.

    The whole path where the evaluation has no file yet, or is on another drive.
    """
    file = file.absolute()
    if evaluation is None:
        return file.as_posix()
    return _up_and_down(file, evaluation.absolute().parent).as_posix()


def _up_and_down(file: Path, folder: Path) -> Path:
    """Return the way from a folder to a file; the whole path where they share no root."""
    shared = 0
    for one, other in zip(file.parts, folder.parts, strict=False):
        if one != other:
            break
        shared += 1
    if not shared:
        return file
    return Path(*[".."] * (len(folder.parts) - shared), *file.parts[shared:])


def where(document: Document, evaluation: Path | None) -> Path:
    """Return where a document's file should be."""
    path = Path(document.path or document.name)
    return path if evaluation is None else evaluation.absolute().parent / path


def read_document(document: Document, evaluation: Path | None) -> bytes:
    """Return what is in a document's file; raises `FileRefused`.

    A quote of the sample is found wherever the sample was saved to.
    """
    path = where(document, evaluation)
    try:
        if not path.is_absolute():
            raise FileRefused(path.name, "", "the evaluation it belongs to is not saved anywhere")
        return read_content(path, LARGEST)
    except FileRefused:
        shipped = _of_sample(document)
        if shipped is None:
            raise
        return shipped


def _of_sample(document: Document) -> bytes | None:
    if not document.sha256 or document.path not in resources.sample_names():
        return None
    return resources.read_sample(document.path)
