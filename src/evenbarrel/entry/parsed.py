"""What a typed text was read as."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class ParsedText:
    """What a text means: a value with its echo and warning, or a problem in words.

    `remark` is on how it was typed; it says nothing of a value that stands in the file.
    """

    value: Any = None
    echo: str = ""
    remark: str = ""
    warning: str = ""
    problem: str = ""
