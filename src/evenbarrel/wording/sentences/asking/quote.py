"""What is said of the pages of a quote: why a document is not shown, and what a click came to."""

from __future__ import annotations

from collections.abc import Mapping

REFUSED: Mapping[str, str] = {
    "password": "it asks for a password: save a copy without one and attach that",
    "broken": "it is no PDF, or it is broken or cut off",
    "large": "it has more than {detail} MB",
    "pages": "it has more than {detail} pages",
    "empty": "it has no page",
    "page": "page {detail} cannot be read",
    "kind": "only the pages of a PDF are shown; open it with its own program",
}
"""Why a document or a page of it is not shown, a part of a sentence."""

NOTHING_IN_BOX = "there is no text in the box"

SCANNED = (
    "This page is a picture without text. Type the number beside it; “Mark the place” and a box "
    "drawn round it tell where it stands."
)
