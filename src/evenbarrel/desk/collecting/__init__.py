"""Collecting bids: ways in, the proposal that each of them makes, ways out, revisions."""
