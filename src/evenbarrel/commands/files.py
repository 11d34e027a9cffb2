"""What commands read and write: whole files, the output of a terminal."""

from __future__ import annotations

import argparse
import contextlib
import sys
from pathlib import Path

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.resources import read_sample
from evenbarrel.storage.archive import BEGINS, parse_archive
from evenbarrel.storage.atomic import atomic_write, keep_apart
from evenbarrel.storage.file_errors import FileRefused, system_words
from evenbarrel.storage.file_names import refuse_hidden
from evenbarrel.storage.files import parse_evaluation, read_content

SAMPLE = "irrigation-parts.evenbarrel.json"


def evaluation_of(arguments: argparse.Namespace) -> Evaluation:
    """Return the evaluation a command was given, or the sample; raises FileRefused."""
    if arguments.sample:
        return parse_evaluation(read_sample(SAMPLE), SAMPLE)
    return evaluation_in(Path(arguments.file))


def evaluation_in(path: Path) -> Evaluation:
    """Return the evaluation in a file, or in an archive of one; raises FileRefused."""
    data = read_content(path)
    if not data.startswith(BEGINS):
        return parse_evaluation(data, path.name)
    return parse_archive(data, path.name)


def named(text: str, *sources: str | None) -> Path:
    """Return the file to write, never one of those that are read.

    Refused before any work, as where its name hides a character.
    """
    path = Path(text)
    refuse_hidden(path)
    for source in sources:
        keep_apart(path, None if source is None else Path(source))
    return path


def put(data: bytes, out: Path | None) -> None:
    """Write to a file whole or not at all; None is the output."""
    if out is None:
        _print(data)
    else:
        atomic_write(out, data)


def _print(data: bytes) -> None:
    # A process may be started with its output closed.
    if sys.stdout is None:
        raise FileRefused("standard output", "", "it is closed")
    try:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        let_go_of_output()
        problem = f"it could not be written: {system_words(error)}"
        raise FileRefused("standard output", "", problem) from error


def let_go_of_output() -> None:
    """Close the output, so that nothing is tried on it again."""
    # What could not be written would be tried, and complained about, once more at the very end.
    if sys.stdout is not None:
        with contextlib.suppress(OSError):
            sys.stdout.close()


def refuse_unknown(bid: str, evaluation: Evaluation) -> None:
    """Raise FileRefused where the evaluation has no such bid."""
    if all(one.id != bid for one in evaluation.bids):
        known = ", ".join(one.id for one in evaluation.bids) or "none"
        raise FileRefused("--bid", bid, f"there is no such offer; there are: {known}")
