"""Words written from right to left, on paper: each line reads as it is written, letters joined."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.report.paper.right_to_left import as_set
from evenbarrel.report.pdf import render_pdf
from evenbarrel.wording.paper.sections import SECTIONS

ALL = range(0x110000)
SHALOM, FIRM = "\u05e9\u05dc\u05d5\u05dd", "\u0634\u0631\u0643\u0629"


def test_words_are_turned_round_and_numbers_and_other_words_stay() -> None:
    turned = SHALOM[::-1]
    assert as_set(f"Unit {SHALOM} 45 mm", ALL) == f"Unit {turned} 45 mm"
    assert as_set(f"{SHALOM} 12.5 ({SHALOM}), A", ALL) == f"({turned}) 12.5 {turned}, A"
    assert as_set(f"A ({SHALOM}, B) {SHALOM}", ALL) == f"A ({turned}, B) {turned}"
    assert as_set("Größe – 45 mm", ALL) == "Größe – 45 mm"


def test_letters_are_joined_as_far_as_the_font_has_their_forms() -> None:
    # sheen initial, reh final, kaf initial, teh marbuta final: reh joins none behind it.
    assert as_set(FIRM, ALL) == "\ufeb7\ufeae\ufedb\ufe94"[::-1]
    assert as_set(FIRM, ()) == FIRM[::-1]
    assert as_set("\u0644\u0627", ALL) == "\ufefb"
    # A mark stays with its letter and parts none: beh, fatha, beh.
    assert as_set("\u0628\u064e\u0628", ALL) == "\ufe90\ufe91\u064e"


def test_such_names_are_printed_and_not_said_to_be_lacking(few, told) -> None:
    bid = few.bids[0].replace(supplier=f"{FIRM} {SHALOM}")
    text = told(render_pdf(appraise(few.replace(bids=(bid, *few.bids[1:])))))
    assert SECTIONS["glyphs"] not in text
    # A reader finds the letters themselves again.
    assert FIRM in text
    assert SHALOM in text
