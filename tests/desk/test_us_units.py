"""US units all through: one system is shown, what was entered is kept."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.desk.forms.grids.entry_model import EntryModel
from evenbarrel.desk.window.session import Session
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.pictures.board import board
from evenbarrel.wording.pictures.scales import Scale
from evenbarrel.wording.sheets.barrels import barrels_sheet
from evenbarrel.wording.words.numbers import in_system

from .conftest import quantity
from .person import Person

METRIC = ("g/cm³", "cm³", " g", " bar", "kg/h", "g/s", "cm³/s", " mm")
PART_MASS = ("jobs", "j1", "part_mass")


@pytest.fixture
def in_us(same_desk: Person) -> Person:
    """A person who looks at the sample in US units."""
    same_desk.session.open_sample()
    same_desk.session.put(("display_units",), "us", "Show us units")
    QApplication.processEvents()
    return same_desk


def heading(model: EntryModel, name: str) -> str:
    place = [getattr(c, "name", "") for c in model._columns].index(name)
    across = model._across
    orientation = Qt.Orientation.Vertical if across else Qt.Orientation.Horizontal
    return str(model.headerData(place, orientation))


def cell(model: EntryModel, name: str, thing: int, role: Any = Qt.ItemDataRole.DisplayRole) -> str:
    place = [getattr(c, "name", "") for c in model._columns].index(name)
    index = model.index(place, thing) if model._across else model.index(thing, place)
    return str(index.data(role))


@pytest.mark.parametrize(
    ("kind", "entered", "unit", "told"),
    [
        # 28.349523125 g to the ounce, 6894.757 Pa to the pound-force per square inch.
        ("mass", "233", "g", ("8.22", "oz")),
        ("melt_pressure", "2068", "bar", ("29994", "psi")),
        # 453.59237 g to the pound: 70 kg/h is 154.3 lb/h.
        ("mass_rate", "70", "kg/h", ("154", "lb/h")),
        # 28.349523125 g in 16.387064 cm3: an ounce to the cubic inch is 1.72999 g/cm3.
        ("density", "0.910", "g/cm3", ("0.526", "oz/in3")),
        ("volume_rate", "215", "cm3/s", ("13.1", "in3/s")),
        ("temperature", "-5", "degC", ("23", "degF")),
        # One unit, two kinds: 25.4 mm to the inch, 304.8 mm to the foot.
        ("injection_speed", "120", "mm/s", ("4.72", "in/s")),
        ("peripheral_speed", "0.50", "m/s", ("98", "ft/min")),
        ("peripheral_speed", "508", "mm/s", ("100", "ft/min")),
        # One that is in a US unit already, and one that has none, stay as printed.
        ("mass", "1.5", "lb", ("1.5", "lb")),
        ("time", "12.50", "s", ("12.50", "s")),
        ("rotational_speed", "350", "rev/min", ("350", "rev/min")),
    ],
)
def test_a_number_is_shown_in_us_units(
    kind: str, entered: str, unit: str, told: tuple[str, str]
) -> None:
    printed = quantity(entered, unit)
    shown = in_system(printed, kind, "us")
    assert (shown.magnitude, shown.unit) == told
    assert in_system(printed, kind, "metric") == printed


def test_grids_head_and_show_masses_in_ounces(in_us: Person) -> None:
    shots = in_us.window.page.model
    assert heading(shots, "part_mass").endswith("oz")
    assert heading(shots, "required_pressure").endswith("psi")
    assert cell(shots, "part_mass", 0) == "0.0388"
    # Edited as it was entered, and the tip says so.
    assert cell(shots, "part_mass", 0, Qt.ItemDataRole.EditRole) == "1.10 g"
    assert "as 1.10 g" in cell(shots, "part_mass", 0, Qt.ItemDataRole.ToolTipRole)
    assert in_us.session.evaluation.jobs[0].part_mass.unit == "g"


def test_the_data_sheet_heads_in_us_units(in_us: Person) -> None:
    in_us.window.open_page("bids")
    in_us.window.page.choose(("bids", "b4", "units", "b4u1"))
    sheet = in_us.window.page.sheet.model
    assert heading(sheet, "plasticising_rate").endswith("lb/h")
    assert cell(sheet, "plasticising_rate", 0) == "154"
    assert heading(sheet, "rated_shot_mass").endswith("oz")
    assert cell(sheet, "rated_shot_mass", 0) == "8.22"


def test_a_bare_number_is_in_the_unit_of_the_heading(in_us: Person) -> None:
    shots, session = in_us.window.page.model, in_us.session
    place = [getattr(c, "name", "") for c in shots._columns].index("smallest_shot_mass")
    assert session.evaluation.jobs[0].smallest_shot_mass is None
    assert shots.setData(shots.index(0, place), "1.25")
    entered = session.evaluation.jobs[0].smallest_shot_mass
    assert entered is not None
    assert (entered.magnitude, entered.unit) == ("1.25", "oz")


def test_an_empty_field_of_a_form_offers_the_us_unit(in_us: Person) -> None:
    field = in_us.window.page.form.fields["smallest_shot_mass"]
    assert field.unit.currentText() == "oz"
    assert in_us.window.page.form.fields["part_mass"].unit.currentText() == "g"


def us(session: Session) -> Evaluation:
    return session.evaluation.replace(display_units="us")


def test_barrels_and_board_show_no_metric_unit(sample: Session) -> None:
    appraisal = appraise(us(sample))
    sheet = barrels_sheet(appraisal)
    texts = [heading.unit for heading in sheet.headings]
    texts += [cell.text for row in sheet.rows for cell in row]
    picture = board(appraisal, Scale(), "us")
    texts += [f" {row.size} {row.ruler_words} {row.full_text}" for row in picture.rows]
    texts += [job.shot for job in picture.jobs]
    assert [text for text in texts if any(text.endswith(unit) for unit in METRIC)] == []
    assert any("oz" in text for text in texts)


def test_printed_numbers_tell_how_they_were_printed(sample: Session) -> None:
    sheet = barrels_sheet(appraise(us(sample)))
    column = [heading.title for heading in sheet.headings].index("Rated mass")
    first = sheet.rows[0][column]
    mass = sample.evaluation.bids[0].units[0].barrels[0].rated_shot_mass
    assert isinstance(mass, Quantity)
    assert first.text.endswith(" oz")
    assert first.tip_text() == f"Printed as {mass.magnitude} {mass.unit}"
