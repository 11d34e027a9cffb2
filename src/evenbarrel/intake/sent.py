"""What a supplier sent, as it came: a file, a text that was pasted, or pages of a quote."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from evenbarrel.intake.extract import Extract
from evenbarrel.intake.pages.words import Box
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.terms import Document


@dataclass(frozen=True, slots=True)
class Printed:
    """What is printed in a box on a page of a bid's document; on all its pages without one."""

    document: Document
    bid: str
    page: int | None = None
    box: Box | None = None


@dataclass(frozen=True, slots=True)
class Sent:
    """What was sent: a file, or a text that was pasted; `data` is what stood in the file.

    What was `printed` on pages that are open `make`s its extract of the evaluation and a bid's id.
    """

    name: str
    path: Path | None = None
    text: str = ""
    data: bytes | None = None
    printed: Printed | None = None
    make: Callable[[Evaluation, str | None], Extract] | None = None
