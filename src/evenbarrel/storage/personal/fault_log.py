"""The log of the program's own faults, in the person's log folder: short, and turned over."""

from __future__ import annotations

import logging
from pathlib import Path

from evenbarrel.storage.personal.user_folders import log_folder

NAME = "evenbarrel"
_BYTES, _KEPT = 256 * 1024, 3


def begin_log(folder: Path | None = None) -> Path | None:
    """Write faults to a file of the person's log folder from now on; return it.

    None where no file can be written there: the program then runs without a log.
    """
    # Loaded for the first fault: most days see none.
    from logging.handlers import RotatingFileHandler

    folder = folder or log_folder()
    path = folder / "faults.log"
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        handler = RotatingFileHandler(path, maxBytes=_BYTES, backupCount=_KEPT, encoding="utf-8")
    except OSError:
        return None
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    logger = logging.getLogger(NAME)
    for old in list(logger.handlers):
        logger.removeHandler(old)
        old.close()
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    logger.propagate = False
    return path


def log_fault(what: str, error: BaseException) -> None:
    """Write a fault with where it came about; the first one begins the log."""
    logger = logging.getLogger(NAME)
    if not logger.handlers:
        begin_log()
    logger.error("%s: %s", what, error, exc_info=(type(error), error, error.__traceback__))
