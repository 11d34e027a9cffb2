"""What an empty evaluation says and offers: what comes first, page by page."""

from __future__ import annotations

from collections.abc import Mapping

FIRST_TITLE = "Nothing is entered yet."
FIRST_STEPS: Mapping[str, str] = {
    "shots": "Begin here, with the planned jobs: the mould, its resin and the mass of each shot.",
    "bids": "Enter the planned jobs first, on the Shots page. Then enter the offers here, as "
    "they are printed.",
    "claims": "Enter the jobs first (Shots), then the offers (Bids). This page then checks "
    "each printed number against the others.",
    "fit": "Enter the jobs first (Shots), then the offers (Bids). This page then compares each "
    "barrel with each job's shot.",
    "decision": "Enter the jobs first (Shots), then the offers (Bids). This page then shows "
    "what is to be decided, and by whom.",
}
"""What comes first, by page."""
BEGIN_NEW = "Begin a &new evaluation"
OPEN_FILE = "&Open a file…"
OPEN_RECENT = "Open a &recent file"
NO_RECENT = "No file opened yet"
OPEN_SAMPLE = "Open the sa&mple"
SAMPLE_TIP = "Invented offers for invented moulds, to look at and try things out"
