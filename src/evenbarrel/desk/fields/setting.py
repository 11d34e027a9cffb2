"""The field of a limit or a half-width."""

from __future__ import annotations

from evenbarrel.desk.fields.base import TypedField
from evenbarrel.entry.settings import Setting, read_setting, text_of
from evenbarrel.entry.shapes import ParsedText


class SettingField(TypedField):
    """A limit or a half-width in a line. Emits `edited(float)`."""

    def __init__(self, setting: Setting) -> None:
        super().__init__(setting.label)
        self._key = setting.key

    def read(self, text: str) -> ParsedText:
        """Return the number in `text`."""
        return read_setting(self._key, text)

    def written(self, value: object) -> str:
        """Return the number as text."""
        return text_of(self._key, value) if isinstance(value, int | float) else ""
