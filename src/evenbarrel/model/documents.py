"""Pure edits of the documents that bids came in, and of what is printed where in them."""

from __future__ import annotations

from typing import Any

from evenbarrel.model import datum_path as edits
from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.offers.terms import Document


def with_document(evaluation: Evaluation, bid: str, document: Document) -> Evaluation:
    """Return the evaluation with a document of a bid, in place of the one with its id if any."""
    path = ("bids", bid, "documents")
    known = {one.id: one for one in edits.get(evaluation, path)} | {document.id: document}
    return edits.put(evaluation, path, tuple(known.values()))


def without_document(evaluation: Evaluation, bid: str, document: str) -> Evaluation:
    """Return the evaluation without a document, and no number of the bid placed in it.

    What the numbers' sources say in words stays.
    """
    path = ("bids", bid)
    present: Bid = edits.get(evaluation, path)
    kept = tuple(one for one in present.documents if one.id != document)
    return edits.put(evaluation, path, _unplaced(present, document).replace(documents=kept))


def _unplaced(thing: Any, document: str) -> Any:
    """Return a thing with no place in the document anywhere in it."""
    if isinstance(thing, tuple):
        return tuple(_unplaced(one, document) for one in thing)
    if not isinstance(thing, Frozen):
        return thing
    place = getattr(thing, "place", None)
    if place is not None:
        return thing.replace(place=None) if place.document == document else thing
    present = {name: getattr(thing, name) for name in type(thing).model_fields}
    changed = {name: _unplaced(value, document) for name, value in present.items()}
    differ = {name: value for name, value in changed.items() if value is not present[name]}
    differ = {name: value for name, value in differ.items() if value != present[name]}
    return thing.replace(**differ) if differ else thing
