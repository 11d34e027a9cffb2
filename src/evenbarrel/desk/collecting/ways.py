"""Every way in, once: the menu, the button on Bids and the first opening list the same ones."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from evenbarrel.wording.sentences.asking.collecting import WAYS, WayWords

if TYPE_CHECKING:
    from evenbarrel.desk.collecting.collector import Collector

Wish = Callable[["Collector"], None]
"""Something of collecting bids that a person wants done."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way in: the key of its words, what begins it, and its keys."""

    key: str
    begin: Wish
    keys: str = ""

    @property
    def words(self) -> WayWords:
        """What it is called, and when it is the right one."""
        return WAYS[self.key]


WAYS_IN: tuple[Way, ...] = (
    Way("data_sheet", lambda collector: collector.ask_for("data_sheet")),
    Way("table", lambda collector: collector.ask_for("table"), "Ctrl+Shift+T"),
    Way("quote", lambda collector: collector.ask_for("quote", several=True)),
    Way("paste", lambda collector: collector.paste(), "Ctrl+Shift+V"),
    Way("bid_file", lambda collector: collector.ask_for("bid_file", several=True), "Ctrl+Shift+I"),
    Way("typing", lambda collector: collector.typing_wanted.emit()),
)
