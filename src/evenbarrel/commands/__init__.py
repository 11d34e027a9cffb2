"""The commands that work without a window and never load Qt."""

from __future__ import annotations

COMMANDS = (
    "appraise",
    "report",
    "schema",
    "sheet",
    "letter",
    "take",
    "compare",
    "archive",
    "protocol",
)
