"""What goes out: data sheets for suppliers, and bids as files of their own."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from evenbarrel.desk.collecting.ways import Wish
from evenbarrel.desk.window.files.exports import Export
from evenbarrel.model.offers.bid import Bid
from evenbarrel.wording.sentences.asking import collecting as words

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_LONGEST_STEM = 60


def blank_sheet() -> Wish:
    """Return the wish for a data sheet for a supplier without an offer yet."""
    return _sheet(None, only_open=False, stem="data-sheet")


def sheet_for(bid: Bid, only_open: bool = False) -> Wish:
    """Return the wish for the data sheet of an offer, or of its open questions alone."""
    of = "open-questions" if only_open else "data-sheet"
    return _sheet(bid.id, only_open, f"{of}-{_plain_name(bid)}")


def bid_file(bid: Bid) -> Wish:
    """Return the wish for an offer as a file of its own."""
    name = bid.id

    def render(appraisal: Appraisal) -> bytes:
        from evenbarrel.intake.bid_file import bid_file_of
        from evenbarrel.storage.files import bid_bytes

        return bid_bytes(bid_file_of(appraisal.evaluation, name))

    export = Export(words.BID_FILE, words.BID_FILE, ".bid.json", render, name=_plain_name(bid))
    return lambda collector: collector.send(export)


def _sheet(bid: str | None, only_open: bool, stem: str) -> Wish:
    def render(appraisal: Appraisal) -> bytes:
        from evenbarrel.intake.data_sheet.writer import render_sheet

        return render_sheet(appraisal, bid, only_open)

    export = Export(words.DATA_SHEET, words.DATA_SHEET, ".xlsx", render, name=stem)
    return lambda collector: collector.send(export)


def _plain_name(bid: Bid) -> str:
    """Return whose offer it is as a part of a file's name: letters and digits alone."""
    called = bid.supplier or f"offer {bid.reference}"
    plain = re.sub(r"[^a-z0-9]+", "-", called.casefold())[:_LONGEST_STEM]
    return plain.strip("-") or "offer"
