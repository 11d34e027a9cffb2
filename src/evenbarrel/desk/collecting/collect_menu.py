"""The menu of collecting: ways in, what goes out, offers beside those they replace."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu

from evenbarrel.desk.collecting import outgoing
from evenbarrel.desk.collecting.ways import WAYS_IN, Wish
from evenbarrel.desk.style.plain import on_button
from evenbarrel.desk.window.session import Session
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.wording.sentences.asking import collecting as words

Collect = Callable[[Wish], None]


def fill_ways(menu: QMenu, collect: Collect, with_keys: bool) -> None:
    """Put every way in, and the blank data sheet, into a menu."""
    for way in WAYS_IN:
        action = _add(menu, way.words.button, way.begin, collect)
        if with_keys and way.keys:
            action.setShortcut(QKeySequence(way.keys))
    menu.addSeparator()
    _add(menu, words.SHEET_BLANK, outgoing.blank_sheet(), collect)


def fill_sending(menu: QMenu, session: Session, collect: Collect) -> None:
    """Put what goes out into a menu, an entry a supplier, made when it is opened."""

    def asked(evaluation: Evaluation) -> Sequence[Bid]:
        return evaluation.suppliers_bids

    def every(evaluation: Evaluation) -> Sequence[Bid]:
        return evaluation.bids

    def revised(evaluation: Evaluation) -> Sequence[Bid]:
        return [bid for bid in evaluation.bids if bid.revises is not None]

    def only_open(bid: Bid) -> Wish:
        return outgoing.sheet_for(bid, only_open=True)

    for text, bids, wish in (
        (words.SHEET_FOR, asked, outgoing.sheet_for),
        (words.SHEET_OPEN, asked, only_open),
        (words.BID_FILE_OF, every, outgoing.bid_file),
        (words.COMPARE_WITH_BEFORE, revised, _compare),
    ):
        if wish is _compare:
            menu.addSeparator()
        _of_bids(menu.addMenu(text), session, bids, wish, collect)


def fill_offer(menu: QMenu, session: Session, bid: Bid, collect: Collect) -> None:
    """Put what can be done with one offer into a menu."""
    # Loaded when a menu is opened: the window is painted first.
    from evenbarrel.intake.accepting.revising import may_revise
    from evenbarrel.wording.sentences.asking.carried import offer_name

    menu.clear()
    for text, wish in (
        (words.SHEET_OF_IT, outgoing.sheet_for(bid)),
        (words.OPEN_OF_IT, outgoing.sheet_for(bid, only_open=True)),
        (words.FILE_OF_IT, outgoing.bid_file(bid)),
    ):
        _add(menu, text, wish, collect)
    menu.addSeparator()
    stands_in = menu.addMenu(words.REVISES_MENU)
    for one in may_revise(session.evaluation, bid.id):
        _add(stands_in, on_button(offer_name(session.evaluation, one)), _revise(bid, one), collect)
    if stands_in.isEmpty():
        stands_in.addAction(words.NONE_TO_REVISE).setEnabled(False)
    compare = _add(menu, words.COMPARE_REVISIONS, _compare(bid), collect)
    compare.setEnabled(bid.revises is not None)


def _of_bids(
    menu: QMenu,
    session: Session,
    bids: Callable[[Evaluation], Sequence[Bid]],
    wish: Callable[[Bid], Wish],
    collect: Collect,
) -> None:
    def fill() -> None:
        from evenbarrel.wording.sentences.asking.carried import offer_name

        menu.clear()
        for bid in bids(session.evaluation):
            called = on_button(f"{offer_name(session.evaluation, bid)}…")
            _add(menu, called, wish(bid), collect)
        if menu.isEmpty():
            menu.addAction(words.NO_SUPPLIER).setEnabled(False)

    menu.aboutToShow.connect(fill)


def _add(menu: QMenu, text: str, wish: Wish, collect: Collect) -> QAction:
    action = QAction(text, menu)
    action.triggered.connect(lambda: collect(wish))
    menu.addAction(action)
    return action


def _revise(bid: Bid, before: Bid) -> Wish:
    return lambda collector: collector.revision_wanted.emit(bid.id, before.id)


def _compare(bid: Bid) -> Wish:
    return lambda collector: collector.comparison_wanted.emit(bid.id)
