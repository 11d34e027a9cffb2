"""What a person did on the panel of an extract: read off to be kept aside, and put back."""

from __future__ import annotations

from collections.abc import Iterator

from evenbarrel.desk.collecting.extract_panel import ExtractPanel
from evenbarrel.intake.accepting.keeping_up import kept_up
from evenbarrel.intake.accepting.left_open import Chosen, Draft, LeftOpen
from evenbarrel.intake.keys import key_of
from evenbarrel.model.changes import all_ids
from evenbarrel.model.datum_path import TypedText
from evenbarrel.model.evaluation import Evaluation


def chosen_on(panel: ExtractPanel, in_front: bool) -> Chosen:
    """Return what was ticked, typed and chosen of what stands open on a panel."""
    return Chosen(
        ticked=tuple(sorted(panel.ticked)),
        touched=panel.touched,
        fixed=panel.offer.fixed,
        noted=panel.notes.isChecked(),
        shown=panel.filter.currentIndex(),
        line=panel.table.current_line(),
        in_front=in_front,
        drafts=tuple(_drafts(panel)),
        beside=panel.particulars.given(),
    )


def open_again(panel: ExtractPanel, evaluation: Evaluation, left: LeftOpen) -> None:
    """Show what an earlier window left open, with all that a person had done to it."""
    chosen = left.chosen
    known = frozenset(all_ids(evaluation))
    extract = kept_up(left.extract, evaluation, known)
    panel.open(evaluation, extract, len(left.waiting), fixed=chosen.fixed)
    panel.ticked, panel.touched = frozenset(chosen.ticked), chosen.touched
    panel.notes.setChecked(chosen.noted)
    panel.filter.setCurrentIndex(chosen.shown if chosen.shown < panel.filter.count() else 0)
    panel.line.take_drafts(
        (one.line, one.key.shape, TypedText((), one.text, standing=one.standing))
        for one in chosen.drafts
    )
    panel.particulars.take_back(chosen.beside)
    panel.show_lines()
    if chosen.line in panel.table.lines.shown:
        panel.table.selectRow(panel.table.lines.shown.index(chosen.line))


def _drafts(panel: ExtractPanel) -> Iterator[Draft]:
    for place, shape, typed in panel.line.drafts():
        key = key_of(shape)
        yield Draft(
            line=place, owner=key.owner, field=key.field, text=typed.text, standing=typed.standing
        )
