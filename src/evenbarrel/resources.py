"""What the program ships beside its code: the resin table, fonts, palettes, icons, the samples.

A name is the path of a file below its folder, written with `/`: `resins.json`,
`themes/paper.toml`. An installed program finds both folders inside the package, a checkout beside
`src`.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path


def read_bytes(name: str) -> bytes:
    """The bytes of the resource `name`; FileNotFoundError where no such file is shipped."""
    return _read("resources", name)


def read_text(name: str) -> str:
    """The text of the resource `name`, UTF-8; FileNotFoundError where no such file is shipped."""
    return read_bytes(name).decode("utf-8")


def sample_names() -> tuple[str, ...]:
    """The names of the sample files, sorted."""
    found = _folder("sample_quotes").iterdir()
    return tuple(sorted(entry.name for entry in found if entry.is_file()))


def sample_name() -> str | None:
    """The name of the sample evaluation; None where none is shipped."""
    return next((name for name in sample_names() if name.endswith(".evenbarrel.json")), None)


def read_sample(name: str) -> bytes:
    """The bytes of the sample file `name`; FileNotFoundError where no such file is shipped."""
    return _read("sample_quotes", name)


def _read(folder: str, name: str) -> bytes:
    file = _folder(folder).joinpath(*name.split("/"))
    if ".." in name.split("/") or not file.is_file():
        raise FileNotFoundError(f"{folder} holds no file {name!r}")
    return file.read_bytes()


@cache
def _folder(name: str) -> Traversable:
    installed = files("evenbarrel") / f"_{name}"
    return installed if installed.is_dir() else Path(__file__).resolve().parents[2] / name
