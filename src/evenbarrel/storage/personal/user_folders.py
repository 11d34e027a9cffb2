"""Where the program keeps what belongs to a person and not to a document."""

from __future__ import annotations

from pathlib import Path

import platformdirs

_NAME = "evenbarrel"


def config_folder() -> Path:
    """Return the folder for settings; it may not exist yet."""
    return Path(platformdirs.user_config_dir(_NAME, appauthor=False))


def state_folder() -> Path:
    """Return the folder for unsaved work; it may not exist yet."""
    return Path(platformdirs.user_state_dir(_NAME, appauthor=False))


def log_folder() -> Path:
    """Return the folder for the log of faults; it may not exist yet."""
    return Path(platformdirs.user_log_dir(_NAME, appauthor=False))
