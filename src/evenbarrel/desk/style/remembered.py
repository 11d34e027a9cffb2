"""What the desk remembers of how a person likes it, from one day to the next."""

from __future__ import annotations

from PySide6.QtCore import QSettings

from evenbarrel.storage.personal.user_folders import config_folder


def remembered(name: str, otherwise: str) -> str:
    """Return what was remembered under a name, `otherwise` where nothing was."""
    return str(_settings().value(name, otherwise))


def remember(name: str, value: str) -> None:
    """Remember something under a name."""
    _settings().setValue(name, value)


def _settings() -> QSettings:
    return QSettings(str(config_folder() / "desk.ini"), QSettings.Format.IniFormat)
