"""The lines people sign on."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Flowable, Table

from evenbarrel.report.palette import colour
from evenbarrel.report.text import Writer
from evenbarrel.wording.sentences.document import SIGNATURE_FIELDS, Signature

_WIDTHS = [250.0, 16.0, 190.0, 16.0, 90.0, 16.0, 184.0]


def signature_block(writer: Writer, signatures: Sequence[Signature]) -> list[Flowable]:
    """Return one row to sign for each role: what is stated, then name, date and signature."""
    return [_row(writer, signature) for signature in signatures]


def _row(writer: Writer, signature: Signature) -> Table:
    ruler = colour("ruler")
    name, day, hand = (writer.paragraph(field, "note") for field in SIGNATURE_FIELDS)
    stated = [
        writer.paragraph(signature.role, "minor"),
        writer.paragraph(signature.statement, "cell"),
    ]
    table = Table(
        [[stated, "", "", "", "", "", ""], ["", "", name, "", day, "", hand]],
        _WIDTHS,
        hAlign="LEFT",
        spaceAfter=14,
    )
    table.setStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, 0), 30),
            ("TOPPADDING", (0, 1), (-1, 1), 3),
            *(("LINEBELOW", (place, 0), (place, 0), 0.7, ruler) for place in (2, 4, 6)),
            ("SPAN", (0, 0), (0, 1)),
        ]
    )
    return table
