"""What a failed claim leaves in doubt, and the question that ends the doubt."""

from __future__ import annotations

from evenbarrel.appraisal.results import Claim

OVERLOAD = "overload"
"""Note of a query that nobody is asked about: such drives are overloaded for a stroke."""

UNASKED = frozenset((OVERLOAD, "melt_density"))
"""Notes of queries that explain themselves: nobody could answer more than they say."""


def is_failed(claim: Claim) -> bool:
    """Say whether a claim is a query or contradicts."""
    return claim.state in ("query", "contradicts")


def is_asked(claim: Claim) -> bool:
    """Say whether a claim failed in a way that its supplier is asked about."""
    return is_failed(claim) and claim.note not in UNASKED


def is_disputing(claim: Claim) -> bool:
    """Say whether a claim puts its datum in dispute: it contradicts, or slips would explain it.

    One or several: 175 bar may be the oil's or MPa printed as bar, and neither guess decides.
    """
    return claim.state == "contradicts" or (claim.state == "query" and bool(claim.causes))


def datum_to_ask(claim: Claim) -> str:
    """Return the datum a failed claim asks about: the one whose slip explains it, else its own."""
    return claim.cause_datum or claim.subject


def question_id(bid: str | None, datum: str) -> str:
    """Return the stable id of the question about one datum of a bid, or of ours."""
    return f"{bid or 'us'}.{datum}"
