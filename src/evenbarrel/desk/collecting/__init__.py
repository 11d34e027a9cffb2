"""Collecting bids: ways in, the extract that each of them makes, ways out, revisions."""
