"""A PDF opened to be read: its pages as words with boxes, and as pictures. The only pdfium."""

from __future__ import annotations

import atexit
import ctypes
import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, lru_cache, partial
from threading import RLock
from typing import Any
from weakref import WeakSet

from evenbarrel.intake.pages.words import Box, Page, Word
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.wording.sentences.asking import quote

MOST_BYTES, MOST_PAGES = 200 * 1024 * 1024, 2_000
MOST_PIXELS = 24_000_000
"""Of one picture of a page: four times what a large screen shows."""
_MOST_CHARACTERS = 1_000_000
_PASSWORD = 4
_Edges = tuple[float, float, float, float]
"""Left, bottom, right and top as a page's own coordinates have them."""
_HYPHENS = frozenset({0x2, 0xFFFE})
"""What pdfium gives for a hyphen that parts a word at the end of a line."""

_SPACE = 0.2
"""Of a line's height: letters that are closer have no space between them."""

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
            _still_open.add(self)
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
                _still_open.discard(self)

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


_still_open: WeakSet[QuotePages] = WeakSet()


def _close_all() -> None:
    """Close what is open when the program ends: pdfium's own end comes after, and would warn."""
    for pages in tuple(_still_open):
        pages.close()


@cache
def _library() -> Any:
    """Return pdfium, loaded once; what was registered last is done first at the end."""
    # Imported here: it loads a library that most sessions never need.
    import pypdfium2

    atexit.register(_close_all)
    return pypdfium2


def digest_of(data: bytes) -> str:
    """Return the SHA-256 of a file's content, as a bid's `documents` keep it."""
    return hashlib.sha256(data).hexdigest()


def _opened(data: bytes, name: str) -> Any:
    pdfium = _library()
    try:
        return pdfium.PdfDocument(data)
    except pdfium.PdfiumError as error:
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

    edges = left, right, bottom, top = tuple(ctypes.c_double() for _ in range(4))
    code_of, box_of = raw.FPDFText_GetUnicode, raw.FPDFText_GetCharBox
    word, may_end = _Letters(turned), False
    for index in range(min(text.count_chars(), _MOST_CHARACTERS)):
        letter = _letter(code_of(text, index))
        if letter.isspace():
            # pdfium puts a space wherever letters are set apart one by one, as some printers do.
            may_end = raw.FPDFText_IsGenerated(text, index) == 1
            if not may_end:
                yield from word.ended()
        elif letter and box_of(text, index, *edges):
            box = left.value, bottom.value, right.value, top.value
            if may_end and not word.goes_on_at(box, partial(_line_height, text, index, turned)):
                yield from word.ended()
            word.add(letter, box)
            may_end = False
    yield from word.ended()


@lru_cache(maxsize=4096)
def _letter(code: int) -> str:
    """Return the letter of a code, "" for what is no letter or half of one."""
    if code in _HYPHENS:
        return "-"
    return chr(code) if 0 < code <= 0x10FFFF and not 0xD800 <= code <= 0xDFFF else ""


def _line_height(text: Any, index: int, turned: _Turned) -> float:
    """Return how high the line of a letter is, from what hangs lowest to what stands highest."""
    from pypdfium2 import raw

    box = raw.FS_RECTF()
    if not raw.FPDFText_GetLooseCharBox(text, index, box):
        return 0.0
    return turned.box(box.left, box.bottom, box.right, box.top).height


class _Letters:
    """The letters of a word so far, and the box round them in the page's own coordinates."""

    def __init__(self, turned: _Turned) -> None:
        self._turned = turned
        self._text: list[str] = []
        self._box: _Edges = (0.0, 0.0, 0.0, 0.0)

    def add(self, letter: str, box: _Edges) -> None:
        """Add a letter."""
        if self._text:
            own = self._box
            # A page has up to a million letters: this is the quickest way round them.
            box = (
                own[0] if own[0] < box[0] else box[0],
                own[1] if own[1] < box[1] else box[1],
                own[2] if own[2] > box[2] else box[2],
                own[3] if own[3] > box[3] else box[3],
            )
        self._box = box
        self._text.append(letter)

    def goes_on_at(self, box: _Edges, line_height: Callable[[], float]) -> bool:
        """Say whether a letter in a box belongs to the word: no font's space is so narrow."""
        if not self._text:
            return True
        own, other = self._turned.box(*self._box), self._turned.box(*box)
        beside = other.bottom < own.top and own.bottom < other.top
        return beside and abs(other.left - own.right) < _SPACE * line_height()

    def ended(self) -> Iterator[Word]:
        """Yield the word, if there is one, and begin anew."""
        if self._text:
            yield Word("".join(self._text), self._turned.box(*self._box))
        self._text = []
