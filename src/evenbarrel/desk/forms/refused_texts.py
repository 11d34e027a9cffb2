"""What was typed and could not be taken: it stays where it was typed, with the reason."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, NamedTuple, Protocol

from evenbarrel.desk.forms.cell_edits import grid_context
from evenbarrel.entry.shapes import Shape, read
from evenbarrel.model.datum_path import Path, TypedText
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.sentences import pages

Find = Callable[[Evaluation, str], tuple[Path, Any]]
"""Returns where the thing of an id stands, and the thing; raises KeyError where it is gone."""


class Typing(Protocol):
    """A place to type in, as a form or a table, which keeps what it could not take."""

    def not_taken(self, evaluation: Evaluation) -> Iterable[TypedText]:
        """Return what was typed into anything that can be shown here, and still stands."""

    def take_back(self, typed: TypedText, evaluation: Evaluation) -> bool:
        """Keep a text as if it had been typed here; False where this is not its place."""

    def forget_gone(self, evaluation: Evaluation) -> None:
        """Forget what was typed into things that are gone: their ids may be given again."""

    def forget_typed(self) -> None:
        """Forget all that was typed: another document is opened."""


class RefusedText(NamedTuple):
    """A text, why it was not taken, and the value that it was typed over."""

    text: str
    problem: str
    before: object


class RefusedTexts:
    """The texts in the cells of a table by thing and field, also of things not shown now.

    Each stands over the value it was typed over: another value replaces it, and with a thing that
    is gone what was typed into it is gone. `changed` is called where texts came or went unseen.
    """

    def __init__(self, shapes: Sequence[Shape], find: Find, changed: Callable[[], None]) -> None:
        self._shapes = {shape.name: shape for shape in shapes}
        self._find = find
        self._changed = changed
        self._texts: dict[tuple[str, str], RefusedText] = {}
        self._begun: dict[tuple[str, str], RefusedText] = {}
        """What is being typed in a cell, and not left yet."""

    def keep(self, thing: Any, field: str, text: str, problem: str) -> None:
        """Keep a text that was typed over what the field of a thing holds."""
        self._texts[thing.id, field] = RefusedText(text, problem, getattr(thing, field))

    def begin(self, thing: Any, field: str, text: str) -> None:
        """Know what is being typed into the field of a thing: a window that is cut off loses it."""
        self._begun = {(thing.id, field): RefusedText(text, "", getattr(thing, field))}

    def leave(self) -> None:
        """Know that nothing is being typed any more."""
        self._begun = {}

    def forget(self, thing: str, field: str) -> None:
        """Forget what was typed into the field of a thing, by its id."""
        self._texts.pop((thing, field), None)

    def at(self, thing: Any, field: str) -> RefusedText | None:
        """Return the text that stands in the field of a thing, None where none does."""
        found = self._texts.get((thing.id, field))
        return found if found is not None and found.before == getattr(thing, field) else None

    def not_taken(self, evaluation: Evaluation) -> Iterator[TypedText]:
        """Yield the texts that still stand, of all things, and what is being typed."""
        for (name, field), one in {**self._texts, **self._begun}.items():
            path, thing = self._found(evaluation, name)
            if path and one.before == getattr(thing, field):
                yield TypedText((*path, field), one.text, table=True)

    def take_back(self, typed: TypedText, evaluation: Evaluation) -> bool:
        """Keep a text as if it had been typed into its cell; False where there is no such cell."""
        shape = self._shapes.get(typed.path[-1])
        path, thing = self._found(evaluation, typed.path[-2]) if len(typed.path) > 1 else ((), None)
        if not typed.table or shape is None or path != typed.path[:-1]:
            return False
        context = grid_context(evaluation)
        reading = read(shape, typed.text, context, getattr(thing, shape.name))
        self.keep(thing, shape.name, typed.text, reading.objection or pages.TYPED_BEFORE)
        self._changed()
        return True

    def forget_gone(self, evaluation: Evaluation) -> None:
        """Forget what was typed into things that are gone: their ids may be given again."""
        gone = [key for key in self._texts if not self._found(evaluation, key[0])[0]]
        for key in gone:
            del self._texts[key]

    def forget_typed(self) -> None:
        """Forget all that was typed: another document is opened."""
        self._begun = {}
        if self._texts:
            self._texts = {}
            self._changed()

    def _found(self, evaluation: Evaluation, name: str) -> tuple[Path, Any]:
        try:
            return self._find(evaluation, name)
        except KeyError:
            return (), None
