"""Where the program keeps what belongs to a person and not to a document."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path

_NAME = "evenbarrel"


def config_folder(environ: Mapping[str, str] = os.environ, platform: str = sys.platform) -> Path:
    """Return the folder for settings; it may not exist yet."""
    if platform == "win32":
        return _named(environ, "APPDATA", "AppData/Roaming")
    if platform == "darwin":
        return _home() / "Library/Application Support" / _NAME
    return _named(environ, "XDG_CONFIG_HOME", ".config")


def state_folder(environ: Mapping[str, str] = os.environ, platform: str = sys.platform) -> Path:
    """Return the folder for unsaved work; it may not exist yet."""
    if platform == "win32":
        return _named(environ, "LOCALAPPDATA", "AppData/Local")
    if platform == "darwin":
        return _home() / "Library/Application Support" / _NAME
    return _named(environ, "XDG_STATE_HOME", ".local/state")


def _named(environ: Mapping[str, str], variable: str, below_home: str) -> Path:
    named = Path(environ.get(variable, ""))
    # The XDG specification has a relative folder ignored.
    return (named if named.is_absolute() else _home() / below_home) / _NAME


def _home() -> Path:
    try:
        return Path.home()
    except RuntimeError:
        return Path(tempfile.gettempdir())
