"""The colours of print, taken from the paper theme; the page itself stays white."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache

from reportlab.lib.colors import Color, HexColor

from evenbarrel.resources import read_text


@cache
def _colours() -> Mapping[str, Color]:
    named = tomllib.loads(read_text("themes/paper.toml"))["colours"]
    return {name: HexColor(code) for name, code in named.items()}


def colour(name: str) -> Color:
    """Return a colour of the paper theme by its name; raises KeyError."""
    return _colours()[name]
