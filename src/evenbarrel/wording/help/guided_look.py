"""A guided look at a programme: five places, and what is to be seen at each of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from evenbarrel.appraisal.references import Reference, WayOut

LookPage = Literal["shots", "bids", "claims", "fit", "decision"]

TITLE = "Guided look at the sample"
OFFER = (
    "The sample is invented, offers and moulds alike. Five steps show what there is to see "
    "in it, in about three minutes."
)
WHY = "Why this one"
TAKE, NOT_NOW = "&Take the look", "Not now"
NEXT, BACK, LEAVE, DONE = "&Next", "&Back", "&Leave", "&Done"


@dataclass(frozen=True, slots=True)
class Step:
    """One place of the look: its page, what is shown of it, and two sentences on what to see."""

    page: LookPage
    title: str
    text: str
    shown: Reference | WayOut | None


def place_words(place: int, of_all: int, step: Step) -> str:
    """Return how far the look is, and what the step is called: "2 of 5: As printed"."""
    return f"{place + 1} of {of_all}: {step.title}"
