"""The pages of the evaluation: frames, foot with page x of y, head of what continues, outline."""

from __future__ import annotations

from functools import partial
from io import BytesIO
from typing import Any

from reportlab import rl_config
from reportlab.lib.pagesizes import A4, landscape
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
)

from evenbarrel.report.paper.fonts import REGULAR, width_of
from evenbarrel.report.paper.palette import colour
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper.sections import continued_text, page_text
from evenbarrel.wording.pictures.label_layout import fitted

# Streams are bytes, as in any file; written as text the file is a fifth larger and takes longer.
rl_config.useA85 = 0

WIDTH, HEIGHT = landscape(A4)
MARGIN, FOOT, HEAD = 40.0, 34.0, 28.0
ROOM = WIDTH - 2 * MARGIN
"""Width of the one column of a page [pt]."""
GUTTER = 20.0
COLUMN = (ROOM - GUTTER) / 2
"""Width of each of the two columns of the appendix [pt]."""
FRAME = HEIGHT - FOOT - HEAD
"""Height of a page between head and foot [pt]."""
DEPTH = FRAME - 12.0

ONE, TWO = "one", "two"
_SMALL = 6.5
_measure = partial(width_of, font=REGULAR, size=_SMALL)
_BAND = 2
"""A band stands below sections and what the outline names in them."""
_BEGUN = 30.0
"""What begins within so much of a page's top [pt], below a table's headings, begins with it."""


class _Numbered(Canvas):
    """A canvas whose pages say which of how many they are: the number is known at the end only.

    They say at their head, too, what they continue.
    """

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        self._under: dict[int, str] = {}
        self._continued: dict[int, str] = {}

    def begin(self, level: int, title: str) -> None:
        """Take down that something begins here, and ends what was before on its level."""
        left, bottom = self.absolutePosition(0, 0)
        self._under = _above(self._under, level) | {level: title}
        if left < WIDTH / 2 and bottom > HEIGHT - HEAD - _BEGUN:
            self._continued = _above(self._continued, level)

    def turn(self) -> None:
        """Begin a page: what is not ended is continued on it."""
        self._continued = self._under

    def continued(self) -> tuple[str, ...]:
        """Return what the page continues, from the section down."""
        return tuple(self._continued.values())

    def save(self) -> None:
        """Fill the places that were held, and finish the document."""
        total = self.getPageNumber() - 1
        for page in range(1, total + 1):
            self.beginForm(f"number{page}", 0, 0, WIDTH, HEIGHT)
            self.setFont(REGULAR, _SMALL)
            self.setFillColor(colour("faint_text"))
            self.drawRightString(WIDTH - MARGIN, FOOT - 18, page_text(page, total))
            self.endForm()
        super().save()


def _above(pages: dict[int, str], level: int) -> dict[int, str]:
    return {upper: title for upper, title in pages.items() if upper < level}


def _hold_number(canvas: Canvas) -> None:
    """Hold the place at the foot of the page."""
    canvas.doForm(f"number{canvas.getPageNumber()}")


class Outlined(Flowable):
    """Invisible: a bookmark and its entry in the outline, before what it names."""

    def __init__(self, key: str, title: str, level: int) -> None:
        super().__init__()
        self._key, self._title, self._level = key, title, level

    def wrap(self, _room: float, _height: float) -> tuple[float, float]:
        """Return that it takes no place."""
        return 0.0, 0.0

    def draw(self) -> None:
        """Set the bookmark at the top of what follows."""
        canvas: Any = self.canv
        canvas.begin(self._level, self._title)
        self.canv.bookmarkHorizontal(self._key, 0, 0)
        self.canv.addOutlineEntry(self._title, self._key, self._level, closed=self._level == 0)


class Begun(Flowable):
    """Invisible: a group of a table's rows, told at the head of each page that continues it."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = title

    def wrap(self, _room: float, _height: float) -> tuple[float, float]:
        """Return that it takes no place."""
        return 0.0, 0.0

    def draw(self) -> None:
        """Take down that its rows begin."""
        canvas: Any = self.canv
        canvas.begin(_BAND, self._title)


def columns(number: str) -> list[Flowable]:
    """Return what begins a new page of one or two columns."""
    return [NextPageTemplate(number), PageBreak()]


class Pages(BaseDocTemplate):
    """The document: the same content gives the same bytes."""

    def __init__(self, out: BytesIO, writer: Writer, title: str, author: str, foot: str) -> None:
        super().__init__(
            out,
            pagesize=(WIDTH, HEIGHT),
            title=writer.line(title),
            author=writer.line(author),
            subject=foot,
            creator=foot.partition(",")[0],
            invariant=1,
            lang="en-GB",
            displayDocTitle=1,
            initialFontName=REGULAR,
        )
        self._foot, self._title = (
            foot,
            fitted(writer.line(title), ROOM * 0.5, _measure),
        )
        self.addPageTemplates(
            [
                PageTemplate(
                    ONE, [_frame(MARGIN, ROOM)], onPage=self._furnish, onPageEnd=self._head
                ),
                PageTemplate(
                    TWO,
                    [_frame(MARGIN, COLUMN), _frame(MARGIN + COLUMN + GUTTER, COLUMN)],
                    onPage=self._furnish,
                    onPageEnd=self._head,
                ),
            ]
        )

    def write(self, story: list[Flowable]) -> None:
        """Lay out what is told, and write the document."""
        self.build(story, canvasmaker=_Numbered)

    def _head(self, canvas: Any, _document: BaseDocTemplate) -> None:
        text = continued_text(canvas.continued())
        canvas.saveState()
        canvas.setFont(REGULAR, _SMALL)
        canvas.setFillColor(colour("faint_text"))
        canvas.drawString(MARGIN, HEIGHT - HEAD + 8, fitted(text, ROOM, _measure))
        canvas.restoreState()

    def _furnish(self, canvas: Any, _document: BaseDocTemplate) -> None:
        canvas.saveState()
        canvas.setFont(REGULAR, _SMALL)
        canvas.setFillColor(colour("faint_text"))
        canvas.setStrokeColor(colour("line"))
        canvas.setLineWidth(0.4)
        canvas.line(MARGIN, FOOT - 8, WIDTH - MARGIN, FOOT - 8)
        canvas.drawString(MARGIN, FOOT - 18, self._foot)
        canvas.drawCentredString(WIDTH / 2, FOOT - 18, self._title)
        canvas.restoreState()
        canvas.turn()
        _hold_number(canvas)

    def beforeDocument(self) -> None:
        """Open the outline with the document."""
        self.canv.showOutline()


def _frame(left: float, width: float) -> Frame:
    return Frame(
        left,
        FOOT,
        width,
        HEIGHT - FOOT - HEAD,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )
