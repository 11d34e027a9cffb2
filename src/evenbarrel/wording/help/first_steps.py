"""What an empty evaluation says and offers: what comes first, page by page."""

from __future__ import annotations

from collections.abc import Mapping

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
