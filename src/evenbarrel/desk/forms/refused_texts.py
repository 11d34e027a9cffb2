"""What was typed into cells and could not be taken: it stays there with the reason."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple


class RefusedText(NamedTuple):
    """A text, why it was not taken, and the value that it was typed over."""

    text: str
    problem: str
    before: object


class RefusedTexts:
    """The texts by thing and field; each stands over the value it was typed over.

    Another value replaces it, and with a thing that is gone what was typed into it is gone.
    """

    def __init__(self) -> None:
        self._texts: dict[tuple[str, str], RefusedText] = {}

    def keep(self, thing: Any, field: str, text: str, problem: str) -> None:
        """Keep a text that was typed over what the field of a thing holds."""
        self._texts[thing.id, field] = RefusedText(text, problem, getattr(thing, field))

    def forget(self, thing: str, field: str) -> None:
        """Forget what was typed into the field of a thing, by its id."""
        self._texts.pop((thing, field), None)

    def forget_others(self, things: Iterable[Any]) -> None:
        """Forget what was typed into other things: their ids may be given again."""
        here = {thing.id for thing in things}
        self._texts = {key: text for key, text in self._texts.items() if key[0] in here}

    def at(self, thing: Any, field: str) -> RefusedText | None:
        """Return the text that stands in the field of a thing, None where none does."""
        found = self._texts.get((thing.id, field))
        return found if found is not None and found.before == getattr(thing, field) else None

    def standing(self, things: Iterable[Any]) -> tuple[str, ...]:
        """Return the texts that still stand in fields of these things."""
        by_id = {thing.id: thing for thing in things}
        return tuple(
            one.text
            for (thing, field), one in self._texts.items()
            if thing in by_id and self.at(by_id[thing], field) is not None
        )
