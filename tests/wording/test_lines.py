"""Where lists are broken into lines."""

from __future__ import annotations

import pytest

from evenbarrel.wording.words.lines import NO_BREAK, with_units_kept, with_whole_parts

SETS = "1 × Unit 604 B; 1 × Machine 14 40"


def one_each(text: str) -> float:
    """Every letter is as wide as any other."""
    return float(len(text))


def lines_of(text: str, room: int) -> list[str]:
    """The text in lines of so many letters."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}".lstrip()
        lines[-1:] = [longer] if len(longer) <= room else [lines[-1], word]
    return [line.replace(NO_BREAK, " ") for line in lines if line]


@pytest.mark.parametrize("room", range(17, 33))
def test_a_list_is_broken_between_its_parts(room: int) -> None:
    told = with_whole_parts(SETS, room, one_each)
    assert lines_of(told, room) == ["1 × Unit 604 B;", "1 × Machine 14 40"]


@pytest.mark.parametrize(
    ("text", "room"),
    [
        (SETS, 12),
        ("aa bb, cccc dddd, ee ff", 12),
        ("The drive has 55 kW. It would need 90 kW, or more.", 40),
        ("one part alone", 8),
    ],
    ids=["a part has no room", "a line more", "sentences", "no list"],
)
def test_other_texts_stay_as_they_are(text: str, room: int) -> None:
    assert with_whole_parts(text, room, one_each) == text


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("1.05 g/cm³ rated, 45 mm", "1.05_g/|cm³ rated, 45_mm"),
        ("4.2 fl oz or 3 g/10 min", "4.2_fl_oz or 3_g/|10_min"),
        ("0.970 g/cm³ ± 4.0 % (43 % to 50 %)", "0.970_g/|cm³ ±_4.0_% (43_% to 50_%)"),
        ("EUR −412 a year; rate, kg/h", "EUR_−412 a year; rate, kg/|h"),
        # What only looks like a number with its unit, or like a unit.
        ("8 jobs, 3 great moulds, 12 kg/ha, and/or, L/D", None),
    ],
)
def test_a_number_is_kept_with_its_unit(text: str, kept: str | None) -> None:
    told = with_units_kept(text, "|").replace(NO_BREAK, "_")
    assert told == (text if kept is None else kept)
    assert with_units_kept(text).replace(NO_BREAK, " ") == text
