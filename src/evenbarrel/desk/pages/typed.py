"""What is typed and not taken: told, and forgotten with what it was typed for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from evenbarrel.desk.pages.all_pages import PageKey, page_with
from evenbarrel.desk.pages.page import Page
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import TypedText

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.desk.forms.refused_texts import Typing


class TypedOnPages:
    """The forms and tables of those pages that are made, and what they could not take."""

    def __init__(
        self,
        session: Session,
        pages: Mapping[PageKey, Page],
        page_of: Callable[[PageKey], Page],
    ) -> None:
        self._pages = pages
        self._page_of = page_of
        self.beside: list[Typing] = []
        """Where a person types beside the pages, as in letters."""
        self._session = session
        session.typed = self.not_taken
        session.opened.connect(self._forget)
        session.typed_back.connect(self._take_back)

    def not_taken(self) -> tuple[TypedText, ...]:
        """Return what was typed on any page and not taken, of every thing, and beside them."""
        evaluation = self._session.evaluation
        of_pages = (text for page in self._pages.values() for text in page.refused())
        return (*of_pages, *(text for one in self.beside for text in one.not_taken(evaluation)))

    def forget_gone(self, appraisal: Appraisal) -> None:
        """Forget what was typed into things that the evaluation has no longer."""
        for place in self._places():
            place.forget_gone(appraisal.evaluation)

    def _take_back(self, typed: Sequence[TypedText]) -> None:
        """Keep texts as if they had been typed; one that no page has a place for is none."""
        evaluation = self._session.evaluation
        for one in (one for one in typed if one.path):
            if not any(place.take_back(one, evaluation) for place in self.beside):
                self._page_of(page_with(one.path)).take_back(one)

    def _forget(self) -> None:
        """Forget all that was typed: another document has the same ids for other things."""
        for place in self._places():
            place.forget_typed()

    def _places(self) -> Iterator[Typing]:
        yield from self.beside
        for page in self._pages.values():
            yield from page.typing()
