"""What helps a person in: what comes first, the glossary's own words, the look at the sample."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.wording.words.glossary import Entry

GLOSSARY = "Glossary"
SEARCH = "Search the terms"
NOTHING_FOUND = "No term holds these words. Try one word, or a part of it."
GLOSSARY_KEYS = "Type to search, up and down to choose, Esc to go back to the work."


def fields_told(entry: Entry) -> str:
    """Return the fields that an entry explains, a line each; "" for none."""
    if not entry.data:
        return ""
    return "\n".join(("Fields:", *(f"–  {text}" for text in entry.data)))


FIRST_TITLE = "Nothing is entered yet."
FIRST_STEPS: Mapping[str, str] = {
    "shots": "First the moulds that are planned: resin and mass of each shot. That is done here.",
    "bids": "First the moulds that are planned, on the Shots page. Then the offers, here, as they "
    "are printed.",
    "claims": "First the moulds (Shots), then the offers (Bids). Here each printed number is then "
    "held against the others.",
    "fit": "First the moulds (Shots), then the offers (Bids). Here each barrel is then held "
    "against each mould's shot.",
    "decision": "First the moulds (Shots), then the offers (Bids). Here stands what is then to be "
    "decided, and by whom.",
}
"""What comes first, by page."""
BEGIN_NEW = "Begin a &new evaluation"
OPEN_FILE = "&Open a file…"
OPEN_RECENT = "Open a &recent file"
NO_RECENT = "No file was opened yet"
OPEN_SAMPLE = "Open the sa&mple"
SAMPLE_TIP = "Invented offers for invented moulds, to look at and to try things on"
