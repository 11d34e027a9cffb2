from __future__ import annotations

import tomllib
from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest

from evenbarrel import resources

THEMES = ("paper", "slate")
STATES = ("inside", "near_edge", "outside", "not_stated")

# Linear sRGB to CIE XYZ, D65: IEC 61966-2-1.
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
# Simulated dichromacy on linear sRGB: IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, severity 1.
SIGHT = {
    "full": np.eye(3),
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
}


def colours_of(theme: str) -> dict[str, str]:
    table = tomllib.loads(resources.read_text(f"themes/{theme}.toml"))
    assert table["name"] == theme
    return table["colours"]


def linear(colour: str) -> np.ndarray:
    shares = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(shares <= 0.04045, shares / 12.92, ((shares + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    dark, light = sorted(float(TO_XYZ[1] @ linear(colour)) for colour in (one, other))
    return (light + 0.05) / (dark + 0.05)


def lab(colour: str, sight: np.ndarray) -> np.ndarray:
    """CIE 1976 L*a*b* of a colour as an eye of that sight sees it."""
    white = TO_XYZ.sum(axis=1)
    share = TO_XYZ @ np.clip(sight @ linear(colour), 0, 1) / white
    x, y, z = np.where(share > (6 / 29) ** 3, np.cbrt(share), share * 841 / 108 + 4 / 29)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


def test_contrast_of_black_on_white_is_the_greatest_there_is() -> None:
    # WCAG 2.2, definition of contrast ratio: from 1:1 to 21:1.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#777777") == 1.0


@pytest.mark.parametrize("weight", ["", "-Bold", "-Oblique"])
def test_fonts_are_truetype_files(weight: str) -> None:
    assert resources.read_bytes(f"fonts/DejaVuSans{weight}.ttf").startswith(b"\x00\x01\x00\x00")


def test_the_fonts_licence_is_shipped_whole() -> None:
    licence = resources.read_text("legal/DejaVu-LICENSE.txt")
    assert "Bitstream Vera Fonts Copyright" in licence
    assert "Arev Fonts Copyright" in licence
    assert licence.count('THE FONT SOFTWARE IS PROVIDED "AS IS"') == 2


def test_our_licence_names_its_authors() -> None:
    assert "Copyright (c) 2026 the Evenbarrel authors" in resources.read_text("legal/LICENSE.txt")


@pytest.mark.parametrize(
    "name", ["nothing.json", "fonts", "", "../pyproject.toml", "themes/../resins.json"]
)
def test_what_is_not_shipped_is_not_found(name: str) -> None:
    with pytest.raises(FileNotFoundError, match="resources holds no file"):
        resources.read_bytes(name)
    with pytest.raises(FileNotFoundError):
        resources.read_sample(name)


def test_samples_are_read_by_the_names_listed() -> None:
    names = resources.sample_names()
    assert list(names) == sorted(set(names))
    assert names
    assert all(resources.read_sample(name) for name in names)


def test_text_is_read_as_utf_8() -> None:
    assert "°C" in resources.read_text("resins.json")


def test_every_palette_names_the_same_colours() -> None:
    paper, slate = (colours_of(theme) for theme in THEMES)
    assert list(paper) == list(slate)
    assert set(STATES) < set(paper)


@pytest.mark.parametrize("theme", THEMES)
def test_text_stands_out(theme: str) -> None:
    # WCAG 2.2, success criterion 1.4.3: 4.5 for text.
    colours = colours_of(theme)
    for text in ("text", "faint_text"):
        for ground in ("window", "page", "raised", "selection", "tint"):
            assert contrast(colours[text], colours[ground]) >= 4.5, (text, ground)


@pytest.mark.parametrize("theme", THEMES)
def test_marks_stand_out(theme: str) -> None:
    # WCAG 2.2, success criterion 1.4.11: 3 for graphics.
    colours = colours_of(theme)
    for mark in (*STATES, "accent", "focus", "ruler"):
        assert contrast(colours[mark], colours["page"]) >= 3.0, mark


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("sight", SIGHT)
def test_states_stay_apart_for_every_eye(theme: str, sight: str) -> None:
    # CIE 1976 colour difference; about 2.3 is just noticeable, marks need far more.
    colours = colours_of(theme)
    for one, other in combinations(STATES, 2):
        gap = lab(colours[one], SIGHT[sight]) - lab(colours[other], SIGHT[sight])
        assert np.linalg.norm(gap) >= 20.0, (one, other)


def test_the_icon_is_a_drawing_without_text_to_set() -> None:
    root = ElementTree.fromstring(resources.read_text("icons/evenbarrel.svg"))
    kinds = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert "path" in kinds
    assert "text" not in kinds
