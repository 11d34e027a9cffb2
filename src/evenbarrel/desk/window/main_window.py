"""The one window: pages along the left edge, drawers at the right, how the barrels stand below."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QCloseEvent, QFont, QKeySequence, QPalette, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QMainWindow, QVBoxLayout, QWidget

from evenbarrel.desk.drawers.folding import PageAndDrawers
from evenbarrel.desk.fields.base import commit_focused, first_reachable
from evenbarrel.desk.help.first_steps import FirstSteps
from evenbarrel.desk.help.guided_look import GuidedLook
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.pages.all_pages import PAGES, PageKey, PageStack, page_with
from evenbarrel.desk.pages.page import Page
from evenbarrel.desk.pages.typed import TypedOnPages
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, list_item, name_window, show_in_status_bar
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.what_if.strip import WhatIfStrip
from evenbarrel.desk.window.files.documents import Documents
from evenbarrel.desk.window.files.dropped_files import DroppedFiles
from evenbarrel.desk.window.files.exports import EXPORTS, Export
from evenbarrel.desk.window.files.file_dialogs import Dialogs
from evenbarrel.desk.window.menus import Menus
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.progress_line import ProgressLine
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import Path, TypedText
from evenbarrel.model.states.difference import EVERYTHING, Difference
from evenbarrel.storage.autosave import KeptOpen
from evenbarrel.wording.help import guided_look
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.asking import collecting

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.appraisal.references import ClaimRef
    from evenbarrel.desk.collecting.ways import Wish
    from evenbarrel.desk.what_if.dialog import WhatIf

WIDTH, HEIGHT = 1400, 900
_ENTRIES = {one.key: one for one in PAGES}
_LIST_WIDTH = 112
_ITEM_HEIGHT = 4 * GRID
_MESSAGE_MS = 12_000


class MainWindow(QMainWindow):
    """Lays out pages and drawers and keeps the visible ones up to date."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        exports: tuple[Export, ...] = EXPORTS,
        dialogs: Dialogs | None = None,
    ) -> None:
        super().__init__()
        self._session = session
        self._theme = theme
        self._pages: dict[PageKey, Page] = {}
        self._stale: dict[PageKey, Difference] = {}
        self._shown_choice: dict[PageKey, tuple[str | None, str | None]] = {}
        self._drawers: list[Any] = []
        self.notice = Notice()
        self.page_list, self.stack = QListWidget(), PageStack()
        self.gate_counts = Label()
        self.progress_line = ProgressLine(session.stop_appraising, session.appraise_again)
        self._cover = Label(pages.FIRST_VERDICTS)
        self.typed = TypedOnPages(session, self._pages, self._page)
        self.documents = Documents(
            session, self.notice, dialogs or Dialogs(self), self.commit, self.typed.not_taken, self
        )
        self._menus = Menus(
            self,
            session,
            theme,
            self.documents,
            exports,
            tuple(entry.title for entry in PAGES),
            self.walk_to,
            self.take_look,
            self.collect,
            self.open_what_if,
        )
        self.body = PageAndDrawers(self.stack, self._menus.drawers)
        self._dropped = DroppedFiles(self)
        self.first_steps = FirstSteps(session, self.documents)
        self.look = GuidedLook(session)
        self.what_if: WhatIf | None = None
        self.what_if_strip = WhatIfStrip(self.open_what_if, self._throw_trial_away)
        self._look_offered = False
        self._lay_out()
        self._connect()
        self.resize(WIDTH, HEIGHT)
        self.go_to(0)
        self._show_title()

    @property
    def page(self) -> Page:
        """The page that is turned to, made when it is first asked for."""
        return self._page(self._key())

    def _page(self, key: PageKey) -> Page:
        if key not in self._pages:
            self._pages[key] = page = _ENTRIES[key].make(self._session, self._theme)
            explain(page, f"place.{key}")
            page.datum_wanted.connect(self.open_datum)
            page.claim_wanted.connect(self.open_claim)
            page.collecting_wanted.connect(self.collect)
            page.what_if_wanted.connect(self.open_what_if)
            page.room_wanted.connect(self.body.leave)
            self._stale[key] = EVERYTHING
            self.stack.addWidget(page)
        return self._pages[key]

    def set_drawers(self, questions: QWidget, working: QWidget) -> None:
        """Put the two drawers at the right edge; each may have `show_appraisal(appraisal)`."""
        self._drawers = [questions, working]
        for widget, name in ((questions, "questions"), (working, "working")):
            explain(widget, f"place.{name}")
        self.body.add_drawers(questions, working)
        self._show_in_drawers()

    def go_to(self, place: int) -> None:
        """Show the page at that place of the list."""
        self.commit()
        self.page_list.setCurrentRow(place)

    def walk_to(self, place: int) -> None:
        """Show a page by its key; the keyboard goes along from the list."""
        self.go_to(place)
        if self.page_list.hasFocus():
            self.enter_page()

    def enter_page(self) -> None:
        """Put the keyboard into the page."""
        entrance = self.page.entrance() or first_reachable(self.stack)
        entrance.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def open_page(self, key: PageKey) -> None:
        """Show the page of that key."""
        self.go_to([entry.key for entry in PAGES].index(key))

    def open_datum(self, path: Path) -> None:
        """Show the page, the thing and the field of the datum at `path`."""
        self.open_page(page_with(path))
        self.page.open_datum(path)

    def open_claim(self, reference: ClaimRef) -> None:
        """Show the Claims page with a claim in full."""
        self.open_page("claims")
        self.page.open_claim(reference)

    def collect(self, wish: Wish) -> None:
        """Do what is wanted of collecting bids, on the page that shows them."""
        self.open_page("bids")
        self.page.collect(wish)

    def open_what_if(self) -> None:
        """Show beside the pages what other data would change; nothing is decided by it."""
        # Loaded when it is first wanted: it brings numpy along.
        from evenbarrel.desk.what_if.dialog import WhatIf

        self.commit()
        if self.what_if is None:
            self.what_if = WhatIf(self._session, self._theme, self)
            self.what_if.shown_or_tried.connect(self._show_trial)
        self.what_if.open()
        self._show_trial()

    def take_look(self) -> None:
        """Open the sample and begin the guided look at it."""
        self._look_offered = True
        if self.documents.open_sample():
            self.look.start()

    def offer_look(self) -> None:
        """Offer the look, once; nothing else that is told gives way to it."""
        if not self._look_offered and not self.notice.isVisible():
            self._look_offered = True
            self.notice.show_message(
                guided_look.OFFER,
                (guided_look.TAKE, self.look.start),
                (guided_look.NOT_NOW, lambda: None),
            )

    def commit(self) -> None:
        """Take what stands typed and not yet left."""
        commit_focused()
        if self._pages:
            self.page.commit()

    def _open_typed(self, typed: TypedText) -> None:
        self.open_page(page_with(typed.path) if typed.path else "bids")
        self.page.open_typed(typed)

    def _open_again(self, kept: KeptOpen) -> None:
        self.collect(lambda collector: collector.open_again(kept))

    def keep(self) -> None:
        """Keep what is unsaved, with what stands typed and not yet left."""
        try:
            self.commit()
        finally:
            self._session.autosave()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close where nothing is lost by it."""
        if not self.documents.may_leave():
            event.ignore()
            return
        # What runs beside the window may take seconds to notice that it is to stop.
        self.hide()
        self._session.close()
        self.documents.exporter.wait()
        for one in (self.what_if, *self._pages.values()):
            if one is not None:
                one.wait()
        super().closeEvent(event)

    def _lay_out(self) -> None:
        self.page_list.setAccessibleName("Pages")
        self.page_list.setFixedWidth(_LIST_WIDTH)
        self.page_list.setFrameShape(QListWidget.Shape.NoFrame)
        self.page_list.setSpacing(2)
        font = QFont(self.page_list.font())
        font.setPointSizeF(font.pointSizeF() + 2.0)
        self.page_list.setFont(font)
        # On the window's own ground: a list of places, not a table of data.
        palette = QPalette()
        palette.setColor(QPalette.ColorRole.Base, Qt.GlobalColor.transparent)
        self.page_list.setPalette(palette)
        for entry in PAGES:
            item = list_item(entry.title)
            item.setSizeHint(QSize(0, _ITEM_HEIGHT))
            self.page_list.addItem(item)
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, GRID, 0)
        for widget in (self.notice, self.first_steps, self.look, self.what_if_strip):
            column.addWidget(widget)
        right = QVBoxLayout()
        right.setSpacing(0)
        nest(right, column)
        right.addWidget(self.body, 1)
        centre = QWidget()
        row = QHBoxLayout(centre)
        row.setContentsMargins(GRID, GRID, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.page_list)
        nest(row, right, 1)
        self.setCentralWidget(centre)
        self.gate_counts.setContentsMargins(GRID, 0, GRID, 0)
        self.gate_counts.setAccessibleName("How the barrels stand")
        self.statusBar().addPermanentWidget(self.progress_line)
        self.statusBar().addPermanentWidget(self.gate_counts)
        self._cover.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.stack.addWidget(self._cover)

    def _connect(self) -> None:
        self.page_list.currentRowChanged.connect(lambda _: self._show_page())
        self._session.changed.connect(self._show_appraisal)
        self._session.edited.connect(self._show_entries)
        self._session.appraising.connect(self._show_waiting)
        self._session.progress.connect(self.progress_line.show_progress)
        self._session.selection.changed.connect(self._follow_choice)
        self._session.file_changed.connect(self._show_title)
        self._session.refused.connect(self._show_message)
        self._session.changed.connect(self.typed.forget_gone)
        self.documents.sample_opened.connect(self.offer_look)
        self.documents.typed_wanted.connect(self._open_typed)
        self._session.open_again.connect(self._open_again)
        self._dropped.evaluation.connect(self.documents.open_recent)
        self._dropped.sent.connect(
            lambda paths: self.collect(lambda collector: collector.read_files(paths))
        )
        self._dropped.too_many.connect(
            lambda: self.notice.show_message(collecting.MANY_DROPPED, problem=True)
        )
        self.look.wanted.connect(self._show_step)
        self.look.left.connect(self.enter_page)
        self.first_steps.begin.clicked.connect(self._begin_new)
        self._menus.drawers.toggled.connect(self._show_in_drawers)
        # Who opens a number wants to see its working.
        self._session.show_working.connect(lambda _: self._menus.drawers.setChecked(True))
        for keys, step in (("Ctrl+PgDown", 1), ("Ctrl+PgUp", -1)):
            QShortcut(QKeySequence(keys), self).activated.connect(partial(self._turn, step))
        QShortcut(QKeySequence("F6"), self).activated.connect(self._next_area)

    def _show_trial(self) -> None:
        if self.what_if is not None:
            self.what_if_strip.show_tried(self.what_if.lines, self.what_if.isVisible())

    def _throw_trial_away(self) -> None:
        if self.what_if is not None:
            self.what_if.throw_away()

    def _show_message(self, text: str) -> None:
        show_in_status_bar(self.statusBar(), text, _MESSAGE_MS)

    def _begin_new(self) -> None:
        self.documents.new()
        self.open_datum(("title",))

    def _show_step(self, step: guided_look.Step) -> None:
        self.open_page(step.page)
        if step.shown is not None:
            self.page.point_at(step.shown)

    def _turn(self, step: int) -> None:
        self.walk_to((self.page_list.currentRow() + step) % self.page_list.count())

    def _next_area(self) -> None:
        """Take the keyboard on to the page list, the page, and each drawer in turn."""
        drawers = [one for one in self._drawers if one.isVisible()]
        areas, focus = [self.page_list, self.stack, *drawers], self.focusWidget()
        inside = [a is focus or (focus is not None and a.isAncestorOf(focus)) for a in areas]
        place = inside.index(True) + 1 if any(inside) else 0
        area = areas[place % len(areas)]
        first = area if area is self.page_list else first_reachable(area)
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _key(self) -> PageKey:
        return PAGES[self.page_list.currentRow()].key

    def _show_page(self) -> None:
        key = self._key()
        fresh = key not in self._pages or key in self._stale
        # Before it is seen: what was chosen or changed elsewhere must be what it shows.
        if self._session.appraisal is not None and (
            fresh or self._shown_choice.get(key) != self._session.selection.pair
        ):
            self._update(self._session.appraisal)
        self._uncover()

    def _uncover(self) -> None:
        """Let the page be seen, unless it still shows another document or none."""
        covered = self._session.awaits_first
        self.stack.turn_to(self._cover if covered else self.page)
        self.body.show_words_alone(covered or self.page.words_alone)
        self._menus.show_page_actions(() if covered else self.page.actions())
        self.first_steps.show_page(self._key(), self._session.evaluation)

    def _show_waiting(self, busy: bool) -> None:
        self.progress_line.show_busy(busy, self._session.is_current)
        self.gate_counts.setVisible(not busy)
        self._uncover()

    def _show_entries(self) -> None:
        if self._session.appraisal is not None:
            self.page.show_entries()

    def _show_appraisal(self, appraisal: Appraisal, difference: Difference) -> None:
        for key in self._pages:
            self._stale[key] = self._stale.get(key, Difference()) | difference
        self._update(appraisal)
        self._show_in_drawers()
        self._uncover()
        self.gate_counts.setText(pages.gate_counts_line(tuple(appraisal.gates.states.values())))
        self._show_title()

    def _update(self, appraisal: Appraisal) -> None:
        """Bring the visible page up to date."""
        key, page = self._key(), self.page
        page.show_appraisal(appraisal, self._stale.pop(key, Difference()))
        self._shown_choice[key] = self._session.selection.pair

    def _follow_choice(self) -> None:
        """The visible page follows a choice by itself; the others do when they are shown."""
        if self._pages:
            self._shown_choice[self._key()] = self._session.selection.pair

    def _show_in_drawers(self) -> None:
        """Bring the drawers up to date; put away they wait until they come back."""
        appraisal = self._session.appraisal
        if appraisal is not None and self._menus.drawers.isChecked():
            for drawer in self._drawers:
                drawer.show_appraisal(appraisal)

    def _show_title(self) -> None:
        session = self._session
        name = session.evaluation.title or pages.UNTITLED
        of_file = "" if session.path is None else f" ({session.path.name})"
        reading = " – read-only" if session.read_only else ""
        name_window(self, f"{name}{of_file}", f"{reading} – Evenbarrel")
        # Told again what it is, Qt would ask the screen for the whole title anew.
        if self.isWindowModified() != session.is_modified:
            self.setWindowModified(session.is_modified)
