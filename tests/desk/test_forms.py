"""Generated forms: every datum has a row and a name, drafts stay, hints stand beside."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from evenbarrel.desk.fields.quantity import MoneyField, QuantityField
from evenbarrel.desk.forms.form import Form, context_of
from evenbarrel.model.datum import data_of
from evenbarrel.model.datum_path import BarrelPath, TypedText
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.resin import OutputFactors, Resin
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.hint import Hint

from .conftest import quantity, small_programme, without_name

MODELS = (Bid, InjectionUnit, Barrel, Job, Resin, OutputFactors, Evaluation)
PROGRAMME = small_programme()
CONTEXT = context_of(PROGRAMME)
A, B = (barrel for _, _, barrel in PROGRAMME.barrels())


@pytest.fixture
def form(qtbot: Any, theme: object) -> Form:
    """The form of a barrel, showing screw A."""
    form = Form(Barrel)
    qtbot.addWidget(form)
    form.show_thing(A, BarrelPath("b", "u", A.id), CONTEXT)
    form.show()
    form.activateWindow()
    return form


def type_into(qtbot: Any, form: Form, name: str, text: str) -> None:
    field = form.fields[name]
    assert isinstance(field, QuantityField)
    field.line.selectAll()
    qtbot.keyClicks(field.line, text)
    qtbot.keyClick(field.line, Qt.Key.Key_Return)


@pytest.mark.parametrize("model", MODELS)
def test_every_described_datum_has_one_row(qtbot: Any, theme: object, model: type) -> None:
    form = Form(model)
    qtbot.addWidget(form)
    assert set(form.fields) >= set(data_of(model))
    headings = {label.text() for label in form.findChildren(QLabel)}
    assert {labels.GROUPS[datum.group] for datum in data_of(model).values()} <= headings


@pytest.mark.parametrize("model", MODELS)
def test_everything_the_keyboard_reaches_has_a_name(qtbot: Any, theme: object, model: type) -> None:
    form = Form(model)
    qtbot.addWidget(form)
    assert without_name(form) == []


def test_every_label_leads_to_its_field(form: Form) -> None:
    buddies = {label.buddy() for label in form.findChildren(QLabel)} - {None}
    assert buddies == set(form.fields.values())


def test_a_change_is_told_by_name(qtbot: Any, form: Form) -> None:
    with qtbot.waitSignal(form.edited) as told:
        type_into(qtbot, form, "stroke", "180")
    assert told.args == [BarrelPath("b", "u", A.id), "stroke", quantity("180", "mm")]


def test_showing_things_says_nothing(qtbot: Any, form: Form) -> None:
    with qtbot.assertNotEmitted(form.edited):
        form.show_thing(B, BarrelPath("b", "u", B.id), CONTEXT)
        form.show_thing(B.replace(stroke=None), BarrelPath("b", "u", B.id), CONTEXT)


def test_refused_text_outlives_a_change_elsewhere(qtbot: Any, form: Form) -> None:
    type_into(qtbot, form, "stroke", "two hundred")
    form.show_thing(
        A.replace(swept_volume=quantity("251", "cm3")), BarrelPath("b", "u", A.id), CONTEXT
    )
    assert form.fields["stroke"].line.text() == "two hundred"
    assert form.refused() == ("Stroke",)


def test_refused_text_waits_for_its_own_barrel(qtbot: Any, form: Form) -> None:
    type_into(qtbot, form, "stroke", "two hundred")
    form.show_thing(B, BarrelPath("b", "u", B.id), CONTEXT)
    assert form.fields["stroke"].line.text() == "200"
    assert form.refused() == ()
    form.show_thing(A, BarrelPath("b", "u", A.id), CONTEXT)
    assert form.fields["stroke"].line.text() == "two hundred"
    assert form.refused() == ("Stroke",)


def test_what_is_being_typed_waits_for_its_own_barrel(qtbot: Any, form: Form) -> None:
    """Though nobody left the field; and a currency waits for its amount."""
    stroke, price = form.fields["stroke"], form.fields["price_difference"]
    assert isinstance(stroke, QuantityField)
    assert isinstance(price, MoneyField)
    qtbot.keyClicks(price.currency, "USD")
    price.commit()
    stroke.line.selectAll()
    qtbot.keyClicks(stroke.line, "21")
    form.show_thing(B, BarrelPath("b", "u", B.id), CONTEXT)
    assert (stroke.line.text(), price.currency.text()) == ("200", "")
    form.show_thing(A, BarrelPath("b", "u", A.id), CONTEXT)
    assert (stroke.line.text(), price.currency.text()) == ("21", "USD")


def test_refused_texts_are_told_of_every_barrel_with_the_unit_that_was_chosen(
    qtbot: Any, theme: object, form: Form
) -> None:
    first, second = (BarrelPath("n", "u1", barrel.id) for barrel in (A, B))
    form.show_thing(A, first, CONTEXT)
    volume = form.fields["swept_volume"]
    assert isinstance(volume, QuantityField)
    assert volume.unit is not None
    volume.unit.setFocus()
    qtbot.keyClicks(volume.unit, "in")
    volume.line.setFocus()
    type_into(qtbot, form, "swept_volume", "7x9")
    form.show_thing(B, second, CONTEXT)
    type_into(qtbot, form, "stroke", "much")
    told = (
        TypedText((*first.path, "swept_volume"), "7x9 in3", standing="quoted"),
        TypedText((*second.path, "stroke"), "much", standing="quoted"),
    )
    assert set(form.not_taken(PROGRAMME)) == set(told)
    later = PROGRAMME.replace(bids=())
    assert list(form.not_taken(later)) == []

    # Another form that takes them back shows them with the reasons, for the thing they are of.
    other = Form(Barrel)
    qtbot.addWidget(other)
    assert [other.take_back(one, PROGRAMME) for one in told] == [True, True]
    assert not other.take_back(told[0], later)
    other.show_thing(A, first, CONTEXT)
    assert other.refused() == ("Swept volume",)
    shown = other.fields["swept_volume"]
    assert isinstance(shown, QuantityField)
    assert shown.line.text() == "7x9 in3"
    assert "Not accepted" in shown.message.text()
    assert set(other.not_taken(PROGRAMME)) == set(told)


def test_a_source_without_its_number_waits_too(qtbot: Any, form: Form) -> None:
    field = form.fields["swept_volume"]
    assert isinstance(field, QuantityField)
    qtbot.keyClicks(field.provenance.source, "offer p. 3")
    form.show_thing(B, BarrelPath("b", "u", B.id), CONTEXT)
    assert field.provenance.source.text() == ""
    form.show_thing(A, BarrelPath("b", "u", A.id), CONTEXT)
    with qtbot.waitSignal(form.edited) as told:
        type_into(qtbot, form, "swept_volume", "251")
    assert told.args[2].source == "offer p. 3"


def test_a_number_that_came_back_is_not_emptied_by_showing_it(qtbot: Any, form: Form) -> None:
    """Its source had been left behind when it was emptied; then that was undone elsewhere."""
    printed = A.replace(stroke=quantity("200", "mm").replace(source="offer p. 4"))
    form.show_thing(printed, BarrelPath("b", "u", A.id), CONTEXT)
    type_into(qtbot, form, "stroke", " ")
    form.show_thing(printed.replace(stroke=None), BarrelPath("b", "u", A.id), CONTEXT)
    assert form.refused() == ("Stroke",)
    form.show_thing(B, BarrelPath("b", "u", B.id), CONTEXT)
    with qtbot.assertNotEmitted(form.edited):
        form.show_thing(printed, BarrelPath("b", "u", A.id), CONTEXT)
    field = form.fields["stroke"]
    assert isinstance(field, QuantityField)
    assert (field.line.text(), field.provenance.source.text()) == ("200", "offer p. 4")
    assert form.refused() == ()


def test_another_display_unit_changes_the_echo_and_not_the_value(form: Form) -> None:
    field = form.fields["stroke"]
    assert field.message.text() == "read as 200 mm"
    in_us = context_of(PROGRAMME.replace(display_units="us"))
    form.show_thing(A, BarrelPath("b", "u", A.id), in_us)
    assert field.message.text() == "read as 200 mm = 7.874 in"
    assert field.shown == quantity("200", "mm")


def test_a_hint_stands_beside_its_row_until_the_next(form: Form) -> None:
    form.show_hints({"stroke": Hint("4.4 diameters"), "no_such_datum": Hint("never shown")})
    assert form.fields["stroke"].hint.text() == "4.4 diameters"
    form.show_hints({"swept_volume": Hint("geometry gives 251 cm³", "outside")})
    assert form.fields["stroke"].hint.text() == ""
    assert form.fields["swept_volume"].hint.text() == "geometry gives 251 cm³"
