"""A PDF opened to be read: its pages as words with boxes, and as pictures. The only pdfium."""

from __future__ import annotations

import ctypes
import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from threading import RLock
from typing import Any

from evenbarrel.intake.pages.words import Box, Page, Word, around
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.wording.sentences.asking import quote

MOST_BYTES, MOST_PAGES = 200 * 1024 * 1024, 2_000
MOST_PIXELS = 24_000_000
"""Of one picture of a page: four times what a large screen shows."""
_MOST_CHARACTERS = 1_000_000
_PASSWORD = 4
_HYPHENS = frozenset({0x2, 0xFFFE})
"""What pdfium gives for a hyphen that parts a word at the end of a line."""

# pdfium is not made for several threads: one of them is in it at any time.
_alone = RLock()


@dataclass(frozen=True, slots=True)
class Picture:
    """A page as it looks: rows of pixels, blue green red and one byte unused each."""

    pixels: bytes
    width: int
    height: int
    bytes_a_row: int


class QuotePages:
    """An open PDF. Any thread may call it, and waits while another does; `close` it at the end."""

    def __init__(self, data: bytes, name: str) -> None:
        """Open what a file holds; raises `FileRefused` where it is not to be shown."""
        self.name = name
        self._document: Any = None
        if len(data) > MOST_BYTES:
            raise _refused(name, "large", str(MOST_BYTES // 1024 // 1024))
        with _alone:
            self._document = _opened(data, name)
            self.count: int = len(self._document)
            if not 0 < self.count <= MOST_PAGES:
                self.close()
                code = "pages" if self.count else "empty"
                raise _refused(name, code, str(MOST_PAGES))

    def close(self) -> None:
        """Let go of the file's content; nothing can be read afterwards."""
        with _alone:
            if self._document is not None:
                self._document.close()
                self._document = None

    def __del__(self) -> None:
        """Let go alone: pdfium's own way out would not wait for who is in it."""
        self.close()

    def size(self, number: int) -> tuple[float, float]:
        """Return width and height of a page as shown [pt]; raises `FileRefused`."""
        with self._page(number) as page:
            return page.get_size()  # type: ignore[no-any-return]

    def text(self, number: int) -> str:
        """Return what a page says as one text; raises `FileRefused`."""
        with self._page(number) as page, _closing(page.get_textpage()) as text:
            return str(text.get_text_range())

    def page(self, number: int) -> Page:
        """Return a page with its words; raises `FileRefused` where it cannot be read."""
        with self._page(number) as page:
            width, height = page.get_size()
            turned = _Turned(page, width, height)
            with _closing(page.get_textpage()) as text:
                words = tuple(_words(text, turned))
            return Page(number, width, height, words)

    def picture(self, number: int, scale: float) -> Picture:
        """Return a page as it looks, `scale` pixels a point; raises `FileRefused`."""
        with self._page(number) as page:
            width, height = page.get_size()
            scale = min(scale, (MOST_PIXELS / max(1.0, width * height)) ** 0.5)
            with _closing(page.render(scale=scale, prefer_bgrx=True)) as bitmap:
                return Picture(bytes(bitmap.buffer), bitmap.width, bitmap.height, bitmap.stride)

    @contextmanager
    def _page(self, number: int) -> Iterator[Any]:
        import pypdfium2

        with _alone:
            try:
                page = None if self._document is None else self._document[number - 1]
            except (pypdfium2.PdfiumError, IndexError) as error:
                raise _refused(self.name, "page", str(number)) from error
            if page is None:
                raise _refused(self.name, "page", str(number))
            try:
                yield page
            except pypdfium2.PdfiumError as error:
                raise _refused(self.name, "page", str(number)) from error
            finally:
                page.close()


def digest_of(data: bytes) -> str:
    """Return the SHA-256 of a file's content, as a bid's `documents` keep it."""
    return hashlib.sha256(data).hexdigest()


def _opened(data: bytes, name: str) -> Any:
    # Imported here: it loads a library that most sessions never need.
    import pypdfium2

    try:
        return pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        code = "password" if error.err_code == _PASSWORD else "broken"
        raise _refused(name, code) from error


def _refused(name: str, code: str, detail: str = "") -> FileRefused:
    return FileRefused(name, "", quote.REFUSED[code].format(detail=detail))


@contextmanager
def _closing(thing: Any) -> Iterator[Any]:
    try:
        yield thing
    finally:
        thing.close()


class _Turned:
    """Takes boxes of a page's own coordinates to those of the page as it is shown."""

    def __init__(self, page: Any, width: float, height: float) -> None:
        self._left, self._bottom, right, top = page.get_bbox()
        self._wide, self._high = right - self._left, top - self._bottom
        self._turns = page.get_rotation() // 90 % 4
        shown = self._wide if self._turns % 2 == 0 else self._high
        # A page may have a unit of its own that is not the point.
        self._unit = width / shown if shown else 1.0

    def box(self, left: float, bottom: float, right: float, top: float) -> Box:
        """Return a box as it is shown."""
        one, other = self._point(left, bottom), self._point(right, top)
        return Box(
            min(one[0], other[0]),
            min(one[1], other[1]),
            max(one[0], other[0]),
            max(one[1], other[1]),
        )

    def _point(self, x: float, y: float) -> tuple[float, float]:
        x, y = x - self._left, y - self._bottom
        for_turns = (
            (x, y),
            (y, self._wide - x),
            (self._wide - x, self._high - y),
            (self._high - y, x),
        )
        shown = for_turns[self._turns]
        return shown[0] * self._unit, shown[1] * self._unit


def _words(text: Any, turned: _Turned) -> Iterator[Word]:
    """Yield the words of a page in the order it prints them."""
    from pypdfium2 import raw

    left, right, bottom, top = (ctypes.c_double() for _ in range(4))
    letters: list[str] = []
    boxes: list[Box] = []

    def word() -> Iterator[Word]:
        if letters and boxes:
            yield Word("".join(letters), turned.box(*around(boxes)))
        letters.clear()
        boxes.clear()

    for index in range(min(text.count_chars(), _MOST_CHARACTERS)):
        code = raw.FPDFText_GetUnicode(text, index)
        letter = "-" if code in _HYPHENS else chr(code) if code <= 0x10FFFF else ""
        # What no letter is known for is none, and no half of one is.
        if not letter or code == 0 or 0xD800 <= code <= 0xDFFF:
            continue
        if letter.isspace():
            yield from word()
            continue
        letters.append(letter)
        if raw.FPDFText_GetCharBox(text, index, left, right, bottom, top):
            boxes.append(Box(left.value, bottom.value, right.value, top.value))
    yield from word()
