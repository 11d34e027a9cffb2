"""What other numbers say of one datum, and how it stands with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from evenbarrel.appraisal.results import State


@dataclass(frozen=True)
class Hint:
    """A remark beside a datum; `state` gives its mark and colour, None where it only tells."""

    text: str
    state: State | None = None


NO_HINT = Hint("")
