"""What a typed text was read as."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from evenbarrel.wording.sentences import pages


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

    @property
    def objection(self) -> str:
        """The problem as it is shown beside what was typed; "" without one."""
        return pages.objection(self.problem) if self.problem else ""
