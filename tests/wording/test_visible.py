"""What hides in a text is shown; everything else is left as it is."""

from __future__ import annotations

import unicodedata
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.wording.words.visible import marks_of, visible, visible_line

HIDING = (
    "\x00\x07\x1b\x7f\x85\x9b\u00ad\u061c\u200b\u200e\u202e\u2028\u2066\u2060\ufeff\ufff9\ufffc"
)
ANY = st.text(st.characters(codec=None) | st.sampled_from(HIDING + "\U000e0041\ufe0f\ud800\n\t\r"))


def test_a_sign_that_cannot_be_seen_is_shown_by_its_code(for_each: Any) -> None:
    @for_each([*HIDING, "\U000e0041", "\ud800", "\ufe0f"])
    def _(sign: str) -> None:
        shown = f"Mill⟨U+{ord(sign):04X}⟩race"
        assert visible(f"Mill{sign}race") == visible_line(f"Mill{sign}race") == shown
        assert marks_of(f"{sign}Mill{sign}") == (f"⟨U+{ord(sign):04X}⟩",)


@pytest.mark.parametrize(
    "text", ["", "Łódź 45\u202f% ½ Ø", "日中", "שלום", "e\u0301", "<b>&amp;", "\u00a0"]
)
def test_what_can_be_seen_stays(text: str) -> None:
    assert visible(text) == visible_line(text) == text
    assert not marks_of(text)


def test_lines_stay_lines_where_there_may_be_several() -> None:
    assert visible("a\r\nb\n\tc") == "a\nb\n\tc"
    assert not marks_of("a\r\nb")
    assert visible("a\rb") == "a⟨U+000D⟩b"
    assert visible_line("a\r\nb\tc") == "a⟨U+000D U+000A⟩b⟨U+0009⟩c"


def test_a_long_run_does_not_flood_the_page() -> None:
    assert visible("\u200b" * 2000) == "⟨U+200B U+200B U+200B U+200B and 1996 more⟩"


@given(ANY)
def test_nothing_hidden_is_left_and_a_second_time_changes_nothing(text: str) -> None:
    hidden = {"Cc", "Cs", "Zl", "Zp"}
    assert not {unicodedata.category(sign) for sign in visible_line(text)} & hidden
    assert not {unicodedata.category(sign) for sign in visible(text) if sign not in "\n\t"} & hidden
    assert visible(visible(text)) == visible(text)
    assert visible_line(visible(text)) == visible_line(visible_line(visible(text)))


@given(ANY, ANY)
def test_texts_that_differ_look_different(one: str, other: str) -> None:
    # Unless somebody typed a mark, or a run is so long that its end is only counted.
    if "⟨" not in one + other and max(len(one), len(other)) <= 4 and one != other:
        assert visible_line(one) != visible_line(other)
