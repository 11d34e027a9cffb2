"""Fields: three states, an echo always, and no word unless a person acts."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from evenbarrel.desk.fields.base import Field
from evenbarrel.desk.fields.make import field_for
from evenbarrel.desk.fields.quantity import DetailsDialog, MoneyField, QuantityField
from evenbarrel.desk.fields.simple import ChoiceField, ResinField, ShapeField
from evenbarrel.entry.shapes import Context, read, shapes_of
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, Zones
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import Filler, ResidenceLimit, Resin

from .conftest import quantity

RESINS = {"ps": "Polystyrene", "pp": "Polypropylene"}
Make = Callable[..., Any]


@pytest.fixture
def make(qtbot: Any, theme: object) -> Make:
    """Builds the field of one datum, shown and with the keyboard in it."""

    def build(model: type, name: str, value: object = None) -> Field:
        field = field_for(shapes_of(model)[name], Context(resins=RESINS))
        qtbot.addWidget(field)
        field.reset(value)
        field.show()
        field.activateWindow()
        field.setFocus()
        return field

    return build


@pytest.fixture
def stroke(make: Make) -> QuantityField:
    field: QuantityField = make(Barrel, "stroke")
    return field


def type_into(qtbot: Any, line: QLineEdit, text: str) -> None:
    line.selectAll()
    if text.isascii():
        qtbot.keyClicks(line, text)
    else:
        line.insert(text)
        line.setModified(True)
    qtbot.keyClick(line, Qt.Key.Key_Return)


def heard(field: Field) -> list[Any]:
    values: list[Any] = []
    field.edited.connect(values.append)
    return values


def wheel(widget: QWidget) -> None:
    centre = QPointF(widget.rect().center())
    event = QWheelEvent(
        centre,
        QPointF(widget.mapToGlobal(centre.toPoint())),
        QPoint(0, -120),
        QPoint(0, -120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, event)


def test_a_typed_number_is_taken_and_read_back(qtbot: Any, stroke: QuantityField) -> None:
    values = heard(stroke)
    type_into(qtbot, stroke.line, "180")
    assert values == [quantity("180", "mm")]
    assert stroke.message.text() == "read as 180 mm"


@pytest.mark.parametrize(
    ("typed", "magnitude", "unit", "echo"),
    [
        ("7.5 in", "7.5", "in", "read as 7.5 in = 190.5 mm"),
        ("1 1/2 in", "1.5", "in", "read as 1.5 in = 38.10 mm"),
        ("18,5 cm", "18.5", "cm", "read as 18.5 cm = 185.0 mm"),
        ("Ø 45,0", "45.0", "mm", "read as 45.0 mm"),
        ("7 ½ in", "7.5", "in", "read as 7.5 in = 190.5 mm"),
    ],
)
def test_numbers_as_offers_print_them(
    qtbot: Any, stroke: QuantityField, typed: str, magnitude: str, unit: str, echo: str
) -> None:
    values = heard(stroke)
    type_into(qtbot, stroke.line, typed)
    assert values == [quantity(magnitude, unit)]
    assert stroke.line.text() == magnitude
    assert stroke.unit is not None
    assert stroke.unit.currentText() == unit
    assert stroke.message.text() == echo


def test_thousands_are_never_guessed_in_silence(qtbot: Any, stroke: QuantityField) -> None:
    values = heard(stroke)
    # Neither stroke is usual, so the mark is one of decimals.
    type_into(qtbot, stroke.line, "9,234")
    assert values == [quantity("9.234", "mm")]
    assert "write 9234 if thousands are meant" in stroke.message.text()


@pytest.mark.parametrize(
    "typed", ["abc", "nan", "inf", "1e400", "0x10", "180-200", "180 kg", "0", "-5", "12 34"]
)
def test_what_is_no_number_stays_visible_with_the_reason(
    qtbot: Any, make: Make, typed: str
) -> None:
    stroke: QuantityField = make(Barrel, "stroke", quantity("200", "mm"))
    values = heard(stroke)
    type_into(qtbot, stroke.line, typed)
    assert values == []
    assert stroke.line.text() == typed
    assert stroke.message.text().startswith("⊗ Not accepted: ")
    stroke.show_value(quantity("200", "mm"))
    assert stroke.line.text() == typed
    stroke.show_value(quantity("210", "mm"))
    assert stroke.line.text() == "210"


def test_empty_is_not_zero(qtbot: Any, make: Make) -> None:
    stroke: QuantityField = make(Barrel, "stroke", quantity("200", "mm"))
    values = heard(stroke)
    type_into(qtbot, stroke.line, " ")
    assert values == [None]
    assert stroke.message.text() == "Injection stroke of the screw"


def test_an_unusual_value_is_taken_with_a_warning(qtbot: Any, stroke: QuantityField) -> None:
    values = heard(stroke)
    type_into(qtbot, stroke.line, "180 in")
    assert values == [quantity("180", "in")]
    assert "unusual: 0.39 to 98 in is usual; check the unit" in stroke.message.text()


def test_another_unit_reads_the_same_printed_number(qtbot: Any, make: Make) -> None:
    stroke: QuantityField = make(Barrel, "stroke", quantity("7.5", "mm"))
    values = heard(stroke)
    assert stroke.unit is not None
    stroke.unit.setFocus()
    qtbot.keyClick(stroke.unit, Qt.Key.Key_End)
    stroke.unit.activated.emit(stroke.unit.currentIndex())
    assert values == [quantity("7.5", "in")]


def test_source_and_standing_stand_with_the_number(qtbot: Any, make: Make) -> None:
    stroke: QuantityField = make(Barrel, "stroke", quantity("200", "mm"))
    values = heard(stroke)
    type_into(qtbot, stroke.provenance.source, "offer p. 3")
    standing = stroke.provenance.standing
    qtbot.keyClick(standing, Qt.Key.Key_End)
    standing.activated.emit(standing.currentIndex())
    assert [value.source for value in values] == ["offer p. 3", "offer p. 3"]
    assert [value.standing for value in values] == ["quoted", "assumed"]


def test_half_width_and_note_survive_a_new_number(qtbot: Any, make: Make) -> None:
    value = Quantity(magnitude="200", unit="mm", half_width=0.01, note="stamped on the unit")
    stroke: QuantityField = make(Barrel, "stroke", value)
    values = heard(stroke)
    type_into(qtbot, stroke.line, "201")
    assert values == [value.replace(magnitude="201")]


def test_the_half_width_is_entered_in_a_small_dialog(qtbot: Any, make: Make) -> None:
    stroke: QuantityField = make(Barrel, "stroke", quantity("200", "mm"))
    values = heard(stroke)
    qtbot.mouseClick(stroke.details, Qt.MouseButton.LeftButton)
    (dialog,) = stroke.findChildren(DetailsDialog)
    type_into(qtbot, dialog.half_line, "many")
    assert dialog.isVisible()
    dialog.half_line.selectAll()
    qtbot.keyClicks(dialog.half_line, "2 %")
    dialog.accept()
    assert values == [quantity("200", "mm").replace(half_width=0.02)]


def test_leaving_an_untouched_field_says_nothing(qtbot: Any, make: Make) -> None:
    stroke: QuantityField = make(Barrel, "stroke", quantity("200.0", "mm"))
    values = heard(stroke)
    for line in (stroke.line, stroke.provenance.source):
        line.setFocus()
        qtbot.keyClick(line, Qt.Key.Key_Return)
        qtbot.keyClick(line, Qt.Key.Key_Tab)
    assert values == []


def test_showing_a_value_says_nothing(make: Make) -> None:
    stroke: QuantityField = make(Barrel, "stroke")
    values = heard(stroke)
    stroke.show_value(quantity("200", "mm"))
    stroke.reset(None)
    assert values == []


def test_the_wheel_changes_nothing(make: Make) -> None:
    stroke: QuantityField = make(Barrel, "stroke", quantity("200", "mm"))
    values = heard(stroke)
    assert stroke.unit is not None
    for widget in (stroke.line, stroke.unit, stroke.provenance.standing):
        wheel(widget)
    assert stroke.unit.currentText() == "mm"
    assert stroke.provenance.standing.currentText() == "quoted"
    assert values == []


def test_money_takes_a_currency_typed_beside_it(qtbot: Any, make: Make) -> None:
    price: MoneyField = make(Bid, "price")
    values = heard(price)
    type_into(qtbot, price.line, "198500 chf")
    assert values == [Money(amount="198500", currency="CHF")]
    assert price.currency.text() == "CHF"


@pytest.mark.parametrize("typed", ["abc", "198500 francs", "1e99", "12 34"])
def test_money_that_cannot_be_read_is_not_taken(qtbot: Any, make: Make, typed: str) -> None:
    price: MoneyField = make(Bid, "price")
    values = heard(price)
    type_into(qtbot, price.line, typed)
    assert values == []
    assert price.line.text() == typed


@pytest.mark.parametrize(
    ("model", "name", "typed", "value"),
    [
        (Job, "cavities", "8", 8),
        (Job, "annual_quantity", "640,000", 640000),
        (Job, "annual_quantity", "1 200 000", 1200000),
        (Job, "cavities", "", None),
        (Barrel, "feed_fill", "60 %", 0.6),
        (Barrel, "feed_fill", "0,6", 0.6),
        (Barrel, "feed_fill", "60", 0.6),
        (Barrel, "feed_fill", "1", 0.01),
        (Bid, "valid_until", "2026-06-30", date(2026, 6, 30)),
        (Bid, "currency", "chf", "CHF"),
        (Bid, "supplier", "Łukowa works", "Łukowa works"),
        (Barrel, "zones", "50 / 25 / 25 %", Zones(feed=0.5, compression=0.25, metering=0.25)),
        (
            Resin,
            "residence_limits",
            "230 C: 12 min; 482 F: 360 s",
            (
                ResidenceLimit(temperature=quantity("230", "degC"), time=quantity("12", "min")),
                ResidenceLimit(temperature=quantity("482", "degF"), time=quantity("360", "s")),
            ),
        ),
        (
            Resin,
            "fillers",
            "glass fibre 30 % at 2.55 g/cm3",
            (Filler(name="glass fibre", mass_share=0.3, density=quantity("2.55", "g/cm3")),),
        ),
    ],
)
def test_one_line_fields_read_their_kind(
    qtbot: Any, make: Make, model: type, name: str, typed: str, value: object
) -> None:
    before = {"cavities": 4}.get(name)
    field: ShapeField = make(model, name, before)
    values = heard(field)
    type_into(qtbot, field.line, typed or " ")
    assert values == [value]


@pytest.mark.parametrize(
    ("model", "name", "typed"),
    [
        (Job, "cavities", "0"),
        (Job, "cavities", "2.5"),
        (Job, "cavities", "1025"),
        (Job, "start_year", "27"),
        (Barrel, "feed_fill", "101"),
        (Barrel, "feed_fill", "-0.1"),
        (Bid, "date", "31.06.2026"),
        (Bid, "date", "2026-02-30"),
        (Bid, "currency", "euro"),
        (Barrel, "zones", "50 / 25 %"),
        (Barrel, "zones", "50 / 30 / 30 %"),
        (Resin, "residence_limits", "12 min"),
        (Resin, "fillers", "glass fibre"),
    ],
)
def test_one_line_fields_keep_what_they_cannot_take(
    qtbot: Any, make: Make, model: type, name: str, typed: str
) -> None:
    field: ShapeField = make(model, name)
    values = heard(field)
    type_into(qtbot, field.line, typed)
    assert values == []
    assert field.line.text() == typed
    assert ": enter " in field.message.text()


def test_a_number_among_several_keeps_its_source(qtbot: Any, make: Make) -> None:
    stay = Quantity(magnitude="12", unit="min", source="data sheet p. 2", standing="confirmed")
    limit = ResidenceLimit(temperature=quantity("230", "degC"), time=stay)
    field: ShapeField = make(Resin, "residence_limits", (limit,))
    values = heard(field)
    assert field.line.text() == "230 °C: 12 min"
    type_into(qtbot, field.line, "235 C: 12 min")
    assert values == [(limit.replace(temperature=quantity("235", "degC")),)]


def test_a_choice_has_an_entry_for_not_stated(qtbot: Any, make: Make) -> None:
    field: ChoiceField = make(Barrel, "pressure_kind", "melt")
    values = heard(field)
    qtbot.keyClick(field.combo, Qt.Key.Key_End)
    field.combo.activated.emit(field.combo.currentIndex())
    qtbot.keyClick(field.combo, Qt.Key.Key_Home)
    field.combo.activated.emit(field.combo.currentIndex())
    assert values == ["oil", None]
    assert field.combo.itemText(0) == "not stated"
    wheel(field.combo)
    assert field.combo.currentIndex() == 0


def test_a_resin_is_chosen_by_name_and_follows_the_evaluation(qtbot: Any, make: Make) -> None:
    field: ResinField = make(Job, "resin", "pp")
    values = heard(field)
    assert field.combo.currentText() == "Polypropylene"
    field.take_context(Context(resins=RESINS | {"abs": "ABS"}))
    assert field.combo.currentText() == "Polypropylene"
    assert values == []
    qtbot.keyClick(field.combo, Qt.Key.Key_End)
    field.combo.activated.emit(field.combo.currentIndex())
    assert values == ["abs"]


def test_undo_goes_to_the_window_unless_text_is_pending(qtbot: Any, stroke: QuantityField) -> None:
    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QKeyEvent

    def is_kept() -> bool:
        event = QKeyEvent(
            QEvent.Type.ShortcutOverride, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier
        )
        event.ignore()
        QApplication.sendEvent(stroke.line, event)
        return event.isAccepted()

    assert not is_kept()
    qtbot.keyClicks(stroke.line, "18")
    assert is_kept()
    qtbot.keyClick(stroke.line, Qt.Key.Key_Return)
    assert not is_kept()


def test_half_of_a_character_never_reaches_a_file() -> None:
    reading = read(shapes_of(Job)["name"], "lid \ud800", Context())
    assert reading.value == "lid ?"


@pytest.mark.parametrize("text", ["1" * 50_000, " " * 50_000, "a, 30 %" * 5_000])
def test_a_very_long_filler_is_refused_at_once(text: str) -> None:
    assert read(shapes_of(Resin)["fillers"], text, Context()).problem or not text.strip()


def test_more_filler_than_compound_is_refused() -> None:
    text = "glass 60 % at 2.55 g/cm3; chalk 60 % at 2.7 g/cm3"
    assert (
        "more than the whole compound" in read(shapes_of(Resin)["fillers"], text, Context()).problem
    )


TOO_LONG = "x" * 2_001


def test_a_source_that_no_file_can_keep_is_refused_in_its_field(
    qtbot: Any, stroke: QuantityField
) -> None:
    stroke.reset(quantity("200", "mm"))
    got: list[object] = []
    stroke.edited.connect(got.append)
    stroke.provenance.source.setText(TOO_LONG)
    qtbot.keyClick(stroke.provenance.source, Qt.Key.Key_Return)
    assert "at most 2,000 characters" in stroke.message.text()
    assert stroke.draft() is not None
    assert got == []
    stroke.provenance.source.setText("page 4")
    qtbot.keyClick(stroke.provenance.source, Qt.Key.Key_Return)
    assert got == [quantity("200", "mm").replace(source="page 4")]


def test_a_note_that_is_too_long_keeps_its_dialog_open(qtbot: Any, stroke: QuantityField) -> None:
    stroke.reset(quantity("200", "mm"))
    stroke.details.click()
    dialog = stroke.findChild(DetailsDialog)
    dialog.note_line.setText(TOO_LONG)
    dialog.accept()
    assert dialog.isVisible()
    dialog.note_line.setText("as drawn")
    dialog.accept()
    assert stroke.quantity == quantity("200", "mm").replace(note="as drawn")


@pytest.mark.parametrize(
    ("model", "name", "longest"), [(Bid, "delivery", 2_000), (Bid, "notes", 20_000)]
)
def test_a_text_that_is_too_long_stays_in_its_line(
    make: Make, model: type, name: str, longest: int
) -> None:
    field = make(model, name)
    field.line.setText("x" * longest)
    field.commit()
    assert field.draft() is None
    field.line.setText("x" * (longest + 1))
    field.commit()
    assert field.draft() == "x" * (longest + 1)
    assert f"at most {longest:,} characters" in field.message.text()
