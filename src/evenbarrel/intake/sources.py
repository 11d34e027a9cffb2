"""Where the values of an extract come from: each number is told its place and its words."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from pathlib import PurePath
from typing import Any

from evenbarrel.entry.shapes import Context
from evenbarrel.intake.extract import FoundAt
from evenbarrel.model import quantity
from evenbarrel.model.datum_path import free_id
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.offers.terms import Document
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.storage import resin_table
from evenbarrel.wording.words.names import names_of_resins


@dataclass(frozen=True, slots=True)
class Source:
    """The file that values stand in, or none where they were pasted, and its name for people."""

    name: str
    document: Document | None = None

    def sourced(self, value: Any, place: FoundAt, printed_in: str = "", note: str = "") -> Any:
        """Return a quantity or an amount of money with its source; anything else as it is.

        `printed_in` is where the supplier says that the number is printed.
        """
        if not isinstance(value, Quantity | Money):
            return value
        source = printed_in or f"{self.name}, {place}"
        stands = None
        if self.document is not None and place.page is not None:
            stands = quantity.Place(document=self.document.id, page=place.page, box=place.box)
        elif self.document is not None and place.sheet:
            stands = quantity.Place(document=self.document.id, cell=str(place))
        value = value.replace(source=source, place=stands)
        return value.replace(note=note) if note and isinstance(value, Quantity) else value


def source_of_file(name: str, data: bytes, bid: Bid | None) -> Source:
    """Return the source for values of a file; a document the bid has already stays that one."""
    name = PurePath(name).name[:200]
    digest = hashlib.sha256(data).hexdigest()
    return replace(
        source_in(bid, Document(id="document", name=name, path=name, sha256=digest)), name=name
    )


def source_in(bid: Bid | None, document: Document) -> Source:
    """Return the source for values of a document: as the bid has it, else with an id of its own."""
    known = () if bid is None else bid.documents
    same = (one for one in known if one.sha256 and one.sha256 == document.sha256)
    kept = next(same, None) or next((one for one in known if one == document), None)
    if kept is None:
        kept = document.replace(id=free_id({one.id for one in known}, "document"))
    return Source(kept.name, kept)


def context_of(evaluation: Evaluation, bid: Bid | None = None) -> Context:
    """Return what reading needs to know of the evaluation; a bid's own currency counts first.

    A resin that the evaluation does not have is looked for in the shipped table.
    """
    currency = evaluation.currency if bid is None or bid.currency is None else bid.currency
    resins = names_of_resins(evaluation)
    table = {key: name for key, name in resin_table.names().items() if key not in resins}
    return Context(evaluation.display_units, currency, resins, table)
