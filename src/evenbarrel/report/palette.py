"""The few colours of print, taken from the paper theme; the page itself stays white."""

from __future__ import annotations

import tomllib

from reportlab.lib.colors import Color, HexColor

from evenbarrel.resources import read_text

_COLOURS = tomllib.loads(read_text("themes/paper.toml"))["colours"]


def colour(name: str) -> Color:
    """Return a colour of the paper theme by its name; raises KeyError."""
    return HexColor(_COLOURS[name])


TEXT, FAINT, LINE = colour("text"), colour("faint_text"), colour("line")
HEAD, RULER, ACCENT = colour("raised"), colour("ruler"), colour("accent")
STATES = {name: colour(name) for name in ("inside", "near_edge", "outside", "not_stated")}
