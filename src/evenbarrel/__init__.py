"""Evenbarrel: bids for injection units on one volume basis."""

from __future__ import annotations

__version__ = "0.1.0"
