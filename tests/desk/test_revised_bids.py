"""Bids that were revised or withdrawn: shown and edited on Bids, counted nowhere else."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QLabel

from evenbarrel.desk.pages.bids.page import BidsPage
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.record.decision import Assignment, Deviation, JobOnBarrel, Proposal
from evenbarrel.wording.sentences.pages import NOT_COUNTED

from .conftest import small_programme


def renamed(bid: Bid, ending: str, **more: Any) -> Bid:
    """The bid once more, with ids of its own."""
    units = tuple(
        unit.replace(
            id=f"{unit.id}{ending}",
            barrels=tuple(b.replace(id=f"{b.id}{ending}") for b in unit.barrels),
        )
        for unit in bid.units
    )
    return bid.replace(id=f"{bid.id}{ending}", units=units, **more)


def revised() -> Evaluation:
    """The small programme, its bid revised once, the revision of that withdrawn again.

    A pin, a deviation and a proposal still name a barrel of the first.
    """
    first = small_programme()
    second = renamed(first.bids[0], "2", revises="n")
    third = renamed(first.bids[0], "3", revises="n2", withdrawn=True)
    return first.replace(
        bids=(*first.bids, second, third),
        assignment=(Assignment(job="cap", barrel="na"),),
        deviations=(Deviation(barrel="na", criterion="utilisation", person="A. Person"),),
        proposal=Proposal(barrels=("na",), jobs=(JobOnBarrel(job="cap", barrel="na"),)),
    )


def tree_texts(page: BidsPage) -> dict[str, str]:
    return {path[-1]: item.text(0) for path, item in page.tree._items.items()}


def test_what_is_revised_stays_on_bids_and_is_marked(window: MainWindow, session: Session) -> None:
    session.edit("Revised", revised())
    window.go_to(1)
    page: BidsPage = window.page
    texts = tree_texts(page)
    assert [texts[name] for name in ("n", "n2", "n3")] == [
        "Nordquell   revised",
        "Nordquell",
        "Nordquell   withdrawn",
    ]
    assert [texts[name] for name in ("na", "na3")] == ["A", "A"]
    assert texts["na2"].startswith("A   251 cm³")
    assert session.appraisal is not None
    assert [barrel.id for barrel in session.appraisal.barrels] == ["na2", "nb2"]
    # Nothing of the pin is lost: its job counts for every barrel that stands.
    assert session.appraisal.gate("na2").jobs == ("cap", "tray")


def test_every_page_shows_a_revised_barrel_chosen_and_edited(
    qtbot: Any, window: MainWindow, session: Session
) -> None:
    session.edit("Revised", revised())
    window.go_to(1)
    page: BidsPage = window.page
    session.selection.choose("na2", "cap")
    page.choose(("bids", "n", "units", "u1"))
    assert page.sheet.model.columnCount() == 2
    assert page.sheet._known == {"na": {}, "nb": {}}
    assert NOT_COUNTED in [label.text() for label in page.sheet.strip.findChildren(QLabel)]
    page.choose(("bids", "n", "units", "u1", "barrels", "na"))
    assert session.selection.pair == (None, "cap")
    form = next(form for form in page.forms.values() if form.subject and form.isVisible())
    assert form.subject is not None
    assert form.subject.path[-1] == "na"
    assert page._forms.put(("bids", "n", "units", "u1", "barrels", "na"), "label", "Old A")
    assert session.evaluation.barrel("na").label == "Old A"
    for place in range(window.page_list.count()):
        window.go_to(place)
    window.go_to(1)
    page.choose(("bids", "n2", "units", "u12", "barrels", "na2"))
    assert session.selection.barrel == "na2"
    # What was chosen comes to count no more.
    withdrawn = tuple(b.replace(withdrawn=True) for b in session.evaluation.bids)
    session.edit("Withdrawn", session.evaluation.replace(bids=withdrawn))
    assert session.selection.barrel is None
    assert session.appraisal is not None
    assert session.appraisal.barrels == ()
    for place in range(window.page_list.count()):
        window.go_to(place)
    session.undo_stack.undo()
    assert len(session.appraisal.barrels) == 2


def test_a_page_in_sight_follows_what_comes_to_count(window: MainWindow, session: Session) -> None:
    session.edit("Revised", revised())
    window.go_to(3)
    assert window.page.board.board_model.rowCount() == 2
    bids = session.evaluation.bids
    several = (bids[0], bids[1].replace(revises=None), bids[2])
    session.edit("Two offers", session.evaluation.replace(bids=several))
    assert window.page.board.board_model.rowCount() == 4
    session.undo_stack.undo()
    assert window.page.board.board_model.rowCount() == 2


def test_letters_go_to_suppliers_whose_bid_counts(window: MainWindow, session: Session) -> None:
    evaluation = revised()
    own = renamed(evaluation.bids[0], "own", supplier="Own plant")
    own = own.replace(units=tuple(unit.replace(owned_copies=1) for unit in own.units))
    session.edit("Revised", evaluation.replace(bids=(*evaluation.bids, own)))
    window._menus.letters.aboutToShow.emit()
    assert [action.text() for action in window._menus.letters.actions()] == ["To Nordquell…"]
    assert [bid.id for bid in session.evaluation.suppliers_bids] == ["n2"]
