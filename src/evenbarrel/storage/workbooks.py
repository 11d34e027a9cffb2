"""What every workbook that is written keeps to: text stays text, and no date tells when."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from evenbarrel.wording.words.visible import visible

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell.cell import Cell as Field

LONGEST = 32_767
"""Characters a cell of a workbook can hold; a longer text is cut where all can see it."""

# A workbook carries two dates and an archive one for each part: none may tell when it was written.
_NO_DAY = datetime(2000, 1, 1)
_NO_ARCHIVE_DAY = (2000, 1, 1, 0, 0, 0)


def plain(words: str) -> str:
    """Return words a workbook can hold: nothing hidden in them, not too long."""
    kept = visible(words)
    return kept if len(kept) <= LONGEST else kept[: LONGEST - 1] + "…"


def write_text(field: Field, words: str) -> Field:
    """Write words that stay words, even those that begin like a formula."""
    field.value = plain(words)
    field.data_type = "s"
    field.quotePrefix = True
    return field


def workbook_bytes(book: Workbook, stored: Sequence[Mapping[str, float]] = ()) -> bytes:
    """Return the workbook's archive with every date in it set to one day.

    `stored` gives for each worksheet the values of formulas by their cells: openpyxl writes a
    formula or a value, and what shows a workbook without calculating it would show nothing.
    """
    book.properties.created = _NO_DAY
    first = BytesIO()
    book.save(first)
    out = BytesIO()
    with ZipFile(first) as read, ZipFile(out, "w", ZIP_DEFLATED) as written:
        for name in read.namelist():
            content = _undated(name, read.read(name))
            written.writestr(_part(name), _with_values(name, content, stored), ZIP_DEFLATED)
    return out.getvalue()


_WORKSHEET = re.compile(r"xl/worksheets/sheet([0-9]+)\.xml")
_FORMULA = re.compile(rb'(<c r="([A-Z]+[0-9]+)"[^>]*><f>[^<]*</f>)<v ?/>')


def _with_values(name: str, content: bytes, stored: Sequence[Mapping[str, float]]) -> bytes:
    """Put the value of each formula beside it, where it has one."""
    sheet = _WORKSHEET.fullmatch(name)
    if sheet is None or not stored:
        return content
    values = stored[int(sheet[1]) - 1]

    def beside(found: re.Match[bytes]) -> bytes:
        value = values.get(found[2].decode())
        return found[0] if value is None else found[1] + f"<v>{value!r}</v>".encode()

    return _FORMULA.sub(beside, content)


def _part(name: str) -> ZipInfo:
    part = ZipInfo(name, _NO_ARCHIVE_DAY)
    part.create_system = 0
    return part


def _undated(name: str, content: bytes) -> bytes:
    if name != "docProps/core.xml":
        return content
    day: Any = _NO_DAY.isoformat().encode() + b"Z"
    return re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", lambda found: found[1] + day, content)
