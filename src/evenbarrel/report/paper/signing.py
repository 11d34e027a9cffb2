"""The lines people sign on."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Table

from evenbarrel.report.paper.palette import colour
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.sentences.document_summary import SIGNATURE_FIELDS, Signature

_GUTTER = 14.0
_HAND = 26.0
"""Height left to write in [pt]."""


def signature_strip(writer: Writer, signatures: Sequence[Signature], room: float) -> Table:
    """Return the roles side by side over `room` [pt]: what each answers for, and lines to sign."""
    count = len(signatures)
    each = (room - _GUTTER * (count - 1)) / count
    widths = ([each, _GUTTER] * count)[:-1]
    said, lines, hints = [], [], []
    for signature in signatures:
        stated = [
            writer.paragraph(signature.role, "minor"),
            writer.paragraph(signature.statement, "working"),
        ]
        hint = writer.paragraph("  /  ".join(SIGNATURE_FIELDS), "hint")
        said += [stated, ""]
        lines += ["", ""]
        hints += [hint, ""]
    table = Table([said[:-1], lines[:-1], hints[:-1]], widths, [None, _HAND, None], hAlign="LEFT")
    ruler = colour("ruler")
    table.setStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            *((side, (0, 0), (-1, -1), 0) for side in ("LEFTPADDING", "RIGHTPADDING")),
            *((side, (0, 0), (-1, -1), 1) for side in ("TOPPADDING", "BOTTOMPADDING")),
            *(("LINEBELOW", (n, 1), (n, 1), 0.7, ruler) for n in range(0, 2 * count, 2)),
        ]
    )
    return table
