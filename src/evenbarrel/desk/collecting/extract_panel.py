"""An extract as a person looks through it: ticks, puts right, and takes as one step."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.desk.collecting.extract_table import ExtractTable
from evenbarrel.desk.collecting.line_panel import LinePanel
from evenbarrel.desk.collecting.offer_choice import OfferChoice
from evenbarrel.desk.collecting.particulars_row import ParticularsRow
from evenbarrel.desk.fields.base import QuietCombo, commit_focused
from evenbarrel.desk.forms.add_resin import TableDialog
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import GRID, PROBLEM, Theme, heading
from evenbarrel.intake.accepting import correcting
from evenbarrel.intake.accepting.keeping_up import kept_up
from evenbarrel.intake.accepting.particulars import Particular, with_typed
from evenbarrel.intake.accepting.revising import revised_by, with_revision
from evenbarrel.intake.accepting.ticks import with_ticks
from evenbarrel.intake.extract import Extract, Line
from evenbarrel.intake.in_words import ExtractNames, WordedLine, context_for, shape_of
from evenbarrel.intake.keys import DatumKey
from evenbarrel.model.changes import all_ids
from evenbarrel.model.datum_path import BarrelPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.on_demand import OnDemand
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.asking import collecting as words
from evenbarrel.wording.sentences.asking import extracts

_FILTERS: Mapping[str, Callable[[Line, bool], bool]] = {
    "all": lambda line, ticked: True,
    "ticked": lambda line, ticked: ticked,
    "differs": lambda line, ticked: line.outcome in ("differs", "differs_from_confirmed"),
    "unsure": lambda line, ticked: not line.sure and line.outcome != "not_read",
    "not_read": lambda line, ticked: line.outcome == "not_read",
}


class ExtractPanel(QWidget):
    """Shows one extract and what a person ticked of it. Nothing is entered here."""

    take_wanted = Signal(object)
    """What is ticked is to be taken; carries the places of the lines that go into the notes."""
    put_away = Signal()
    offer_wanted = Signal(object)
    """Carries the id of the bid that it is to be for, "" for a new one: it is read anew."""
    worked_on = Signal()
    """A person ticked, put right or typed what would be lost with the extract."""
    look_wanted = Signal()
    """The person wants to look at the offers while the extract stays open."""
    line_chosen = Signal(object, object)
    """Carries the Document that an extract was read from, or None, and the Line that is chosen."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._evaluation = Evaluation()
        self._known: frozenset[str] = frozenset()
        self._worded: Sequence[WordedLine] = ()
        self._screws: list[tuple[BarrelPath, str]] = []
        self.holds = ""
        """What is looked at, in words."""
        self.extract: Extract | None = None
        self.ticked: frozenset[int] = frozenset()
        self._righted: tuple[tuple[int, ...], frozenset[int]] | None = None
        self.touched = False
        """Whether a person ticked or put anything right, which would be lost with it."""
        self.title = heading("", 2.0, lines=2)
        self.offer = OfferChoice()
        self.filter = QuietCombo()
        self.filter.setAccessibleName("Which lines are shown")
        self.filter.addItems(list(words.FILTERS.values()))
        self.filter.keep_narrow(10)
        self.table = ExtractTable(theme)
        self.line = LinePanel()
        self.particulars = ParticularsRow()
        self._warned: set[str] = set()
        self.notes = QCheckBox()
        self.counts, self.problem = Label(), Label()
        self.take, self.leave = QPushButton(words.TAKE), QPushButton(words.SET_ASIDE)
        self.look = QPushButton(words.LOOK)
        self.tick, self.untick = QPushButton(words.TICK_SHOWN), QPushButton(words.UNTICK_SHOWN)
        explain(self, "place.lines_read")
        self._lay_out()
        self._connect()

    @property
    def is_open(self) -> bool:
        """Whether an extract waits to be taken or put away."""
        return self.extract is not None

    def open(self, evaluation: Evaluation, extract: Extract, waiting: int, fixed: bool) -> None:
        """Show an extract made for that evaluation; what is sure and fills a gap is ticked.

        `waiting` more come after it; with `fixed` it can be for no other offer.
        """
        self._known = frozenset(all_ids(evaluation))
        self._warned &= self._known
        self.touched, self._righted = False, None
        self.line.forget()
        self.particulars.forget()
        self.holds = words.read_words(extract.name, of_revision=fixed)
        self.title.setText(words.extract_heading(self.holds, waiting))
        self.filter.setCurrentIndex(0)
        self.notes.setChecked(False)
        self.show_problem("")
        self.offer.fixed = fixed
        self._evaluation, self.ticked = evaluation, frozenset(extract.sure_lines())
        self._show(extract)
        self.table.fit_columns()
        self.table.selectRow(0)

    def open_again(self, evaluation: Evaluation, extract: Extract) -> None:
        """Show what was read anew for another offer, with what the person put right before."""
        before, touched = self.extract, self.touched
        if before is None:
            return
        self._known, self._righted = frozenset(all_ids(evaluation)), None
        extract = correcting.corrected_again(evaluation, extract, before)
        self._evaluation, self.ticked = evaluation, frozenset(extract.sure_lines())
        self._show(extract)
        self.touched = touched

    def close_extract(self) -> None:
        """Forget the extract: it was taken or put away."""
        self.extract, self.touched, self.ticked = None, False, frozenset()
        self.line.forget()
        self.table.lines.show_lines(None, (), frozenset(), ())

    def follow(self, evaluation: Evaluation) -> None:
        """Keep the extract up with an evaluation that changed while it is open."""
        if self.extract is not None and evaluation is not self._evaluation:
            self._evaluation = evaluation
            self._show(kept_up(self.extract, evaluation, self._known))
            before = revised_by(self.extract)
            if before is not None and all(bid.id != before for bid in evaluation.bids):
                # What it stood in for is gone.
                self._revise(None)

    def refused(self) -> tuple[str, ...]:
        """Return what would be lost if the extract went, in words."""
        if self.extract is None:
            return ()
        lines = self.extract.lines if self.touched else ()
        righted = [self._worded[n] for n, line in enumerate(lines) if line.is_corrected]
        typed = [*self.line.typed(), *self.particulars.drafts()]
        typed += [(one.datum, one.value) for one in righted]
        texts = tuple(words.typed_in(self.holds, label, text) for label, text in typed)
        return texts or ((self.holds,) if self.touched else ())

    def current_line(self) -> Line | None:
        """Return the line in focus, where an extract is open."""
        place = self.table.current_line()
        return None if self.extract is None or place is None else self.extract.lines[place]

    def give_value(self, value: object) -> None:
        """Give the line in focus a value that was read elsewhere."""
        place = self.table.current_line()
        if place is not None:
            self._give_value(place, value)

    def show_problem(self, text: str) -> None:
        """Say why what is ticked cannot be taken; nothing with ""."""
        self.problem.setText(text)
        self.problem.setVisible(bool(text))

    def _lay_out(self) -> None:
        self.problem.setForegroundRole(PROBLEM)
        self.notes.setAccessibleName(words.NOTES_NAME)
        for label in (self.problem, self.counts):
            label.setWordWrap(True)
        set_tip(self.take, "Ctrl+Return")
        show = Label(words.SHOW)
        show.setBuddy(self.filter)
        top = QHBoxLayout()
        top.addWidget(self.title, 1)
        top.addWidget(self.look, 0, Qt.AlignmentFlag.AlignTop)
        tools, last = QHBoxLayout(), QHBoxLayout()
        tools.addWidget(show)
        tools.addWidget(self.filter, 1)
        for widget in (self.tick, self.untick):
            tools.addWidget(widget)
        last.addStretch(1)
        last.addWidget(self.leave)
        last.addWidget(self.take)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, GRID, GRID)
        column.setSpacing(GRID // 2)
        nest(column, top)
        column.addWidget(self.offer)
        column.addWidget(self.counts)
        nest(column, tools)
        column.addWidget(self.table, 1)
        column.addWidget(self.line)
        column.addWidget(self.particulars)
        column.addWidget(self.problem)
        column.addWidget(self.notes)
        nest(column, last)

    def _connect(self) -> None:
        self.table.moved.connect(self._show_line)
        self.table.correct_wanted.connect(self.line.focus_value)
        self.table.lines.ticks_wanted.connect(self._tick)
        self.line.datum_wanted.connect(self._give_datum)
        # In its own turn: these fill anew the pick-list that was just chosen from.
        later = Qt.ConnectionType.QueuedConnection
        self.line.screw_wanted.connect(self._give_screw, later)
        self.offer.revision_wanted.connect(self._revise, later)
        self.line.value_wanted.connect(self._give_value)
        self.line.resin_wanted.connect(self._add_resin)
        self.offer.offer_wanted.connect(self.offer_wanted)
        self.particulars.typed.connect(self._give_particular)
        self.particulars.passed.connect(self._take)
        self.filter.activated.connect(lambda _: self.show_lines())
        self.tick.clicked.connect(lambda: self._tick(self.table.lines.shown, True))
        self.untick.clicked.connect(lambda: self._tick(self.table.lines.shown, False))
        for drafted in (self.line.drafted, self.particulars.drafted):
            drafted.connect(self.worked_on)
        self.notes.clicked.connect(self._touch)
        self.take.clicked.connect(self._take)
        self.leave.clicked.connect(self.put_away)
        self.look.clicked.connect(self.look_wanted)
        taken = QShortcut(QKeySequence("Ctrl+Return"), self)
        taken.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        taken.activated.connect(self._take)
        for button in (self.take, self.leave, self.look, self.tick, self.untick):
            button.setAutoDefault(True)

    def _show(self, extract: Extract) -> None:
        self.extract = extract
        names = ExtractNames(self._evaluation, extract)
        lines = extract.lines
        self._worded = OnDemand(len(lines), lambda place: names.worded(lines[place]))
        screws = correcting.screws_of(self._evaluation, extract)
        new = correcting.new_screw(self._evaluation, extract)
        self._screws = [*((screw, names.of(screw)) for screw in screws), (new, words.A_NEW_SCREW)]
        self.offer.show_extract(self._evaluation, extract)
        self.show_lines()

    def show_lines(self) -> None:
        """Show the lines that are wanted as they are now, and what is ticked of them."""
        if self.extract is None:
            return
        wanted = _FILTERS[tuple(words.FILTERS)[self.filter.currentIndex()]]
        current = self.table.current_line()
        lines = self.extract.lines
        shown = tuple(n for n, line in enumerate(lines) if wanted(line, n in self.ticked))
        changed = shown != self.table.lines.shown
        self.table.lines.show_lines(self.extract, self._worded, self.ticked, shown)
        if changed and shown:
            self.table.selectRow(shown.index(current) if current in shown else 0)
        unread = sum(line.outcome == "not_read" for line in lines)
        self.notes.setText(words.into_notes(unread))
        self.notes.setVisible(bool(unread))
        self._show_counts()
        self.particulars.show_extract(
            self._evaluation,
            self.extract,
            self.ticked,
            context_for(self._evaluation, self.extract),
        )
        self._show_line()

    def _show_counts(self) -> None:
        assert self.extract is not None
        lines = self.extract.lines
        left = Counter(
            "unsure" if line.outcome == "fills" else line.outcome
            for n, line in enumerate(lines)
            if n not in self.ticked
        )
        counts = [(extracts.LEFT[code], left[code]) for code in extracts.LEFT]
        self.counts.setText(words.chosen_line(len(self.ticked), len(lines), counts))
        self.take.setEnabled(bool(self.ticked) or self.notes.isVisible())

    def _show_line(self) -> None:
        if self.extract is None:
            return
        place = self.table.current_line()
        if place is not None:
            self.line_chosen.emit(self.extract.document, self.extract.lines[place])
        self.line.show_line(
            place,
            None if place is None else self.extract.lines[place],
            None if place is None else self._worded[place],
            self._screws,
            context_for(self._evaluation, self.extract),
        )

    def _tick(self, places: Any, on: bool) -> None:
        if self.extract is not None:
            self._touch()
            self._righted = None
            self.ticked = with_ticks(self.extract, self.ticked, places, on)
            self.show_problem("")
            self.show_lines()

    def _touch(self) -> None:
        self.touched = True
        self.worked_on.emit()

    def _corrected(self, extract: Extract, places: tuple[int, ...]) -> None:
        """Show an extract that was put right; what a person put right is meant to be taken."""
        if self._righted is None or self._righted[0] != places:
            self._righted = places, self.ticked
        # Of many choices on the way, as by the arrow keys, only the last unticks another line.
        before = self._righted[1]
        self._touch()
        self.ticked = with_ticks(extract, before - set(places), places, True)
        self.show_problem("")
        self._show(extract)

    def _give_datum(self, place: int, key: DatumKey | None) -> None:
        if self.extract is not None:
            changed = (
                correcting.without_datum(self.extract, place)
                if key is None
                else correcting.with_datum(self._evaluation, self.extract, place, key)
            )
            self._corrected(changed, (place,))

    def _give_screw(self, screw: BarrelPath) -> None:
        if self.extract is not None:
            places = self.table.marked_lines()
            changed = correcting.with_screw(self._evaluation, self.extract, places, screw)
            known = tuple(place for place in places if changed.lines[place].field)
            self._corrected(changed, known)

    def _give_value(self, place: int, value: Any) -> None:
        if self.extract is not None:
            changed = correcting.with_value(self._evaluation, self.extract, place, value)
            self._corrected(changed, (place,))

    def _add_resin(self, place: int) -> None:
        """Let a person add the resin of a line: of the shipped table, or as it is called there."""
        if self.extract is None:
            return
        dialog = TableDialog(self, self.extract.lines[place].text)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.picked.connect(lambda resin: self._give_value(place, resin.id))
        dialog.named.connect(lambda name: self._give_new_resin(place, name))
        dialog.open()

    def _give_new_resin(self, place: int, name: str) -> None:
        if self.extract is not None:
            changed, added = correcting.with_new_resin(self._evaluation, self.extract, place, name)
            self._corrected(changed, (place, added))

    def _give_particular(self, one: Particular, value: Any) -> None:
        if self.extract is not None:
            changed, place = with_typed(self._evaluation, self.extract, one, value)
            self._corrected(changed, (place,))

    def _revise(self, before: str | None) -> None:
        if self.extract is None:
            return
        own = len(with_revision(self._evaluation, self.extract, None).lines)
        extract = with_revision(self._evaluation, self.extract, before)
        sure = {n for n in extract.sure_lines() if n >= own}
        self._touch()
        self._righted = None
        self.ticked = frozenset(n for n in self.ticked if n < own) | sure
        self._show(extract)

    def _take(self) -> None:
        if self.extract is None:
            return
        commit_focused()
        lines = self.extract.lines
        typed = [s.datum.label for n, s, _ in self.line.drafts() if shape_of(lines[n]) == s]
        typed += self.particulars.refused()
        if typed:
            self.show_problem(pages.refused_entries(typed))
            return
        noted = [n for n, one in enumerate(lines) if one.outcome == "not_read"]
        noted = noted if self.notes.isChecked() and self.notes.isVisible() else []
        if not self.ticked and not noted:
            self.show_problem(words.NOTHING_TICKED)
            return
        bid = self.extract.bid.bid
        if bid not in self._warned and self.particulars.begin("supplier"):
            # Once for an offer: it may be taken without, and is then called by its place.
            self._warned.add(bid)
            return
        self.take_wanted.emit(tuple(noted))
