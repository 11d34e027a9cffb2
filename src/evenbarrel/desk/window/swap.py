"""An edit as a step that can be undone."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QUndoCommand

from evenbarrel.desk.style.plain import on_button
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.pictures.label_layout import fitted

_MERGEABLE = 1
_LONGEST = 80
"""Letters of what a step is called."""


class Swap(QUndoCommand):
    """The one command of the program: it swaps whole evaluations; `put` takes the new one."""

    def __init__(
        self,
        put: Callable[[Evaluation], None],
        before: Evaluation,
        after: Evaluation,
        text: str,
        merge_key: str,
    ) -> None:
        # Shown in a menu, where a single & would be a mnemonic, and which is as wide as its words.
        super().__init__(on_button(fitted(text, _LONGEST, len)))
        self._put = put
        self._before = before
        self._after = after
        self._merge_key = merge_key

    def redo(self) -> None:
        """Put the later evaluation in."""
        self._put(self._after)

    def undo(self) -> None:
        """Put the earlier one back."""
        self._put(self._before)

    def id(self) -> int:
        """Return which steps may become one with it."""
        return _MERGEABLE if self._merge_key else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Take a later step of the same kind in."""
        if not isinstance(other, Swap) or other._merge_key != self._merge_key:
            return False
        self._after = other._after
        self.setObsolete(self._after == self._before)
        return True
