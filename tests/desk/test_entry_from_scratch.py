"""A buyer enters three offers with eight screws and four moulds by keys alone, from nothing."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt

from evenbarrel.appraisal.verdicts.states import NOT_STATED
from evenbarrel.model.job import Job
from evenbarrel.model.quantity import Money, Quantity

from .person import ALT, CTRL, SHIFT, Person

PLAIN = Qt.KeyboardModifier.NoModifier
ENTER, TAB = Qt.Key.Key_Return, Qt.Key.Key_Tab
MOST_KEYS = 700
"""Letters and all: at two a second, which is slow, under six of the twenty minutes there are."""

MOULDS = (
    ("Lid", "pp", "12.5", "8", "cold", "6", "12"),
    ("Tray", "hips", "85", "2", "cold", "9", "24"),
    ("Gear", "pom", "4.2", "16", "cold", "8", "18"),
    ("Housing", "pc", "140", "1", "hot", "", "38"),
)
COLUMNS = ("name", "resin", "part_mass", "cavities", "runner_kind", "runner_mass", "cycle_time")
"""Where each stands: shots, as smallest and largest, lie between runner and cycle."""
SKIPPED = 2
AFTER_CYCLE = 3

SCREW = (
    "label",
    "screw_diameter",
    "stroke",
    "length_ratio",
    "swept_volume",
    "rated_shot_mass",
    "reference_resin",
    "injection_pressure",
    "injection_rate",
)
"""The rows of the sheet of screws, as suppliers print them first."""
OFFERS = {
    ("Nordquell", "Unit 600"): (
        ("A", "40", "180", "22", "226", "206", "ps", "2100", "180"),
        ("B", "45", "180", "22", "286", "260", "ps", "1660", "228"),
        ("C", "50", "180", "20", "353", "321", "ps", "1344", "281"),
    ),
    ("Hallfeld", "H 45"): (
        ("1", "42", "190", "22", "263", "240", "ps", "2000", "200"),
        ("2", "48", "190", "22", "344", "313", "ps", "1531", "261"),
        ("3", "54", "190", "20", "435", "396", "ps", "1210", "331"),
    ),
    ("Varnsee", "V 9"): (
        ("S", "38", "170", "23", "193", "175", "ps", "2200", "160"),
        ("M", "43", "170", "22", "247", "225", "ps", "1718", "205"),
    ),
}


@dataclass
class Hand:
    """Counts every key that a person presses."""

    person: Person
    keys: int = 0

    def press(
        self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> None:
        self.keys += 1
        self.person.key(key, held)

    def type(self, text: str) -> None:
        self.keys += len(text)
        self.person.type(text)


def enter_moulds(hand: Hand) -> None:
    """Type into the empty table; Tab leads on, and from the last cell to the next mould."""
    for place, (*first, cycle) in enumerate(MOULDS):
        for text in first:
            hand.type(text)
            hand.press(TAB)
        for _ in range(SKIPPED):
            hand.press(TAB)
        hand.type(cycle)
        for _ in range(AFTER_CYCLE if place < len(MOULDS) - 1 else 0):
            hand.press(TAB)
        hand.press(TAB)


def enter_offers(hand: Hand) -> None:
    """A supplier, its unit, and each screw down the sheet."""
    for (supplier, unit), screws in OFFERS.items():
        hand.press(Qt.Key.Key_A, CTRL | SHIFT)
        hand.type(supplier)
        hand.press(Qt.Key.Key_U, CTRL | SHIFT)
        hand.type(unit)
        for screw in screws:
            hand.press(Qt.Key.Key_B, CTRL | SHIFT)
            for text in screw:
                hand.type(text)
                hand.press(ENTER)


def last_cell(person: Person) -> None:
    person.go_to("Shots")
    person.page.table.setFocus()
    person.key(Qt.Key.Key_End, CTRL)


def test_a_mould_that_tab_alone_began_is_none_once_the_page_is_left(same_desk: Person) -> None:
    """Tab leads on from the last cell: whoever stops there has one mould more than was typed."""
    same_desk.session.open_sample()
    before = same_desk.session.evaluation
    for leave in (
        lambda: same_desk.go_to("Bids"),
        lambda: same_desk.key(Qt.Key.Key_S, CTRL | SHIFT),
    ):
        last_cell(same_desk)
        same_desk.key(TAB)
        same_desk.key(TAB)
        assert len(same_desk.session.evaluation.jobs) == len(before.jobs) + 1
        leave()
        assert same_desk.session.evaluation == before
    # A mould that was asked for stays.
    last_cell(same_desk)
    same_desk.key(Qt.Key.Key_J, CTRL | SHIFT)
    same_desk.go_to("Bids")
    assert len(same_desk.session.evaluation.jobs) == len(before.jobs) + 1


def test_a_mould_with_anything_typed_into_it_stays(same_desk: Person) -> None:
    same_desk.session.open_sample()
    for text, kept in (("Lid", True), ("much", False)):
        last_cell(same_desk)
        same_desk.key(TAB)
        count = len(same_desk.session.evaluation.jobs)
        if not kept:
            for _ in range(2):
                same_desk.key(TAB)
        same_desk.type(text)
        same_desk.go_to("Bids")
        assert len(same_desk.session.evaluation.jobs) == count
    same_desk.go_to("Shots")
    (refused,) = same_desk.page.refused()
    assert refused.text == "much"


def test_three_offers_and_four_moulds_are_entered_by_keys_alone(person: Person) -> None:
    refused: list[str] = []
    person.session.refused.connect(refused.append)
    hand = Hand(person)
    hand.press(Qt.Key.Key_N, ALT)
    person.wait(lambda: person.focus().accessibleName() == "Title")
    for text in ("Caps", "Purchasing", "Hall 2"):
        hand.type(text)
        hand.press(TAB)
    hand.press(TAB)
    enter_moulds(hand)
    hand.press(Qt.Key.Key_2, ALT)
    enter_offers(hand)
    hand.press(Qt.Key.Key_4, ALT)

    evaluation = person.session.evaluation
    assert (evaluation.title, evaluation.buyer, evaluation.site) == ("Caps", "Purchasing", "Hall 2")
    assert [job_as_typed(job) for job in evaluation.jobs] == list(MOULDS)
    found = {
        (bid.supplier, unit.designation): tuple(
            tuple(as_typed(getattr(barrel, name)) for name in SCREW) for barrel in unit.barrels
        )
        for bid in evaluation.bids
        for unit in bid.units
    }
    assert found == OFFERS
    assert refused == []
    assert hand.keys <= MOST_KEYS
    appraisal = person.session.appraisal
    assert appraisal is not None
    # Everything that was entered is judged: no cell lacks what it cannot do without.
    assert (len(appraisal.barrels), len(appraisal.jobs)) == (8, 4)
    assert (appraisal.grid.state != NOT_STATED).all()
    board = person.page.board
    assert board.isVisible()
    assert board.board_model.rowCount() == 8


def job_as_typed(job: Job) -> tuple[str, ...]:
    return tuple(as_typed(getattr(job, name)) for name in COLUMNS)


def as_typed(value: object) -> str:
    if isinstance(value, Quantity):
        return value.magnitude
    if isinstance(value, Money):
        return value.amount
    return "" if value is None else str(value)
