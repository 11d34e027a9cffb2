"""Sections of the evidence: suppliers, assumptions, signatures."""
