"""The five pages in the order of the work, each loaded when it is first shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedWidget, QWidget

from evenbarrel.desk.pages.page import Page
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import Path

PageKey = Literal["shots", "bids", "claims", "fit", "decision"]


class PageStack(QStackedWidget):
    """The pages on each other, of which one is seen."""

    def turn_to(self, page: QWidget) -> None:
        """Let a page be seen."""
        if page is self.currentWidget():
            return
        # Else Qt tells every widget of every page to wait with its painting, and then to go on.
        waits = Qt.WidgetAttribute.WA_UpdatesDisabled
        self.setAttribute(waits, True)
        self.setCurrentWidget(page)
        self.setAttribute(waits, False)


@dataclass(frozen=True, slots=True)
class PageEntry:
    """A page as the window lists it; its module is loaded when it is first shown."""

    key: PageKey
    title: str
    make: Callable[[Session, Theme], Page]


def _shots(session: Session, theme: Theme) -> Page:
    from evenbarrel.desk.pages.shots.page import ShotsPage

    return ShotsPage(session, theme)


def _bids(session: Session, theme: Theme) -> Page:
    from evenbarrel.desk.pages.bids.page import BidsPage

    return BidsPage(session, theme)


def _claims(session: Session, theme: Theme) -> Page:
    from evenbarrel.desk.pages.claims.page import ClaimsPage

    return ClaimsPage(session, theme)


def _fit(session: Session, theme: Theme) -> Page:
    from evenbarrel.desk.pages.fit.page import FitPage

    return FitPage(session, theme)


def _decision(session: Session, theme: Theme) -> Page:
    from evenbarrel.desk.pages.decision.page import DecisionPage

    return DecisionPage(session, theme)


PAGES = (
    PageEntry("shots", "Shots", _shots),
    PageEntry("bids", "Bids", _bids),
    PageEntry("claims", "Claims", _claims),
    PageEntry("fit", "Fit", _fit),
    PageEntry("decision", "Decision", _decision),
)


def page_with(path: Path) -> PageKey:
    """Return the page on which the datum at `path` is entered."""
    pages: Mapping[str, PageKey] = {
        "bids": "bids",
        "cost": "decision",
        "limits": "decision",
        "uncertainty": "decision",
    }
    return pages.get(path[0], "shots")
