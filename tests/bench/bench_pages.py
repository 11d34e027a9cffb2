"""How long a quote's pages take: the first one shown, the next, 200 searched, 50,000 words read.

    PYTHONPATH=src .venv/bin/python tests/bench/bench_pages.py

Times are of the desk as it is: read, opened, drawn beside the window and painted. They are
reported, never asserted.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from time import perf_counter

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEventLoop
from PySide6.QtWidgets import QApplication
from reportlab.pdfgen.canvas import Canvas

from evenbarrel import resources
from evenbarrel.desk.pages.bids.quote.panel import QuotePanel
from evenbarrel.desk.style.theme import Theme
from evenbarrel.intake.pages.boxed import grids_in
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.words import Box
from evenbarrel.model.offers.terms import Document

PAGES, LINES = 200, 60


def long_quote() -> bytes:
    """Return a quote of 200 pages with 60 lines of ten words each."""
    out = BytesIO()
    paper = Canvas(out, pagesize=(595, 842))
    for number in range(PAGES):
        paper.setFont("Helvetica", 9)
        for line in range(LINES):
            words = f"Stroke {line} mm 190 200 {number} of the screw as offered"
            paper.drawString(50, 790 - line * 12, words)
        paper.showPage()
    paper.save()
    return out.getvalue()


def full_page() -> bytes:
    """Return a page of 50,000 words."""
    out = BytesIO()
    paper = Canvas(out, pagesize=(2000, 2000))
    paper.setFont("Helvetica", 3)
    for line in range(500):
        paper.drawString(20, 1950 - 3.5 * line, " ".join(["190"] * 100))
    paper.save()
    return out.getvalue()


def until(application: QApplication, done: Callable[[], bool]) -> float:
    """Return how long it takes until something is so [s]."""
    begun = perf_counter()
    while not done():
        application.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 5)
    return perf_counter() - begun


def shown(panel: QuotePanel, number: int) -> Callable[[], bool]:
    return lambda: panel.page is not None and panel.page.number == number


def measure(name: str, data: bytes, application: QApplication, folder: Path) -> None:
    file = folder / name
    file.write_bytes(data)
    theme = Theme()
    theme.apply(application)
    panel = QuotePanel(theme)
    panel.resize(600, 900)
    panel.show()
    until(application, lambda: panel.isVisible())
    document = Document(id="document1", name=name, path=str(file))
    panel.show_documents((document,), None, True)
    first = until(application, shown(panel, 1))
    told = f"{name}: first page {first * 1000:.0f} ms"
    count = panel._opened.pages.count  # type: ignore[union-attr]
    if count > 4:
        until(application, lambda: not panel.loader.is_busy)
        panel.turn(1)
        near = until(application, shown(panel, 2))
        panel.turn(count // 2)
        far = until(application, shown(panel, 2 + count // 2))
        until(application, lambda: not panel.loader.is_busy)
        begun = perf_counter()
        panel.loader.search("200 199")
        until(application, lambda: bool(panel.finder.hits) or not panel.loader.is_busy)
        found = perf_counter() - begun
        told += f", next page {near * 1000:.0f} ms, a far one {far * 1000:.0f} ms"
        told += f", {count} pages searched in {found:.2f} s, {len(panel.finder.hits)} places"
    print(told)  # noqa: T201
    panel.loader.wait()
    panel.close()


def main() -> None:
    application = QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        for name, data in (
            ("warm-up.pdf", resources.read_sample("brastivel-offer.pdf")),
            ("brastivel-offer.pdf", resources.read_sample("brastivel-offer.pdf")),
            ("long.pdf", long_quote()),
            ("full.pdf", full_page()),
        ):
            measure(name, data, application, Path(folder))
    pages = QuotePages(full_page(), "full.pdf")
    begun = perf_counter()
    page = pages.page(1)
    words = perf_counter() - begun
    grids_in(page, Box(0, 0, 2000, 2000))
    columns = perf_counter() - begun - words
    told = f"{len(page.words)} words read in {words:.2f} s, set into columns in {columns:.2f} s"
    print(told)  # noqa: T201
    pages.close()


if __name__ == "__main__":
    main()
