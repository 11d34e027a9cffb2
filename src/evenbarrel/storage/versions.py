"""Older files brought up to the present format, one whole-number version at a time.

Step n takes the plain dict of a file of version n, an evaluation or a bid on its own, to version
n + 1. A step returns a new dict and is never edited once released. Whoever changes a field's
default raises the version too, and the step writes the old default into files that left it out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from evenbarrel.model.evaluation import FORMAT_VERSION
from evenbarrel.storage.file_errors import Fault

CURRENT = FORMAT_VERSION

Step = Callable[[dict[str, Any]], dict[str, Any]]

STEPS: Mapping[int, Step] = MappingProxyType({})


def upgrade(
    data: dict[str, Any], steps: Mapping[int, Step] = STEPS, current: int = CURRENT
) -> dict[str, Any]:
    """Return `data` in format `current`; the dict given is left as it was.

    Raises `Fault` for a version that is missing, no whole number or newer than `current`, and for
    content that a step can make nothing of.
    """
    version = _version(data, current)
    for number in range(version, current):
        try:
            data = steps[number](data) | {"format_version": number + 1}
        except (LookupError, TypeError, AttributeError, ValueError) as error:
            raise Fault(
                "", f"it is damaged: format {number} cannot be brought to format {number + 1}"
            ) from error
    return data


def _version(data: dict[str, Any], current: int) -> int:
    if "format_version" not in data:
        raise Fault("format_version", "it is missing, so this may be no file of Evenbarrel")
    version = data["format_version"]
    # True is an int to Python, but no version.
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise Fault("format_version", "it must be a whole number from 1 up")
    if version > current:
        raise Fault(
            "format_version",
            f"written by a newer version of Evenbarrel; format {version}, "
            f"this version reads up to {current}",
        )
    return version
