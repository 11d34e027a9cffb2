"""LibreOffice as a supplier has it: opens our data sheet, fills it, saves it, prints it as PDF.

One start of `soffice --headless` does all of it, by a macro in a profile of its own.
"""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from io import BytesIO

import pytest
from openpyxl import Workbook, load_workbook

from evenbarrel.__main__ import main
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.intake.data_sheet.writer import render_sheet
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.files import extract_file, take_sure
from evenbarrel.intake.pages.boxed import extract_box
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.words import Box
from evenbarrel.intake.sources import source_of_file
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.files import evaluation_bytes

TYPED = {
    "bid.supplier": ("Nordhalm",),
    "unit.designation": ("Unit 610", "Unit 610"),
    "barrel.label": ("A", "B"),
    "barrel.screw_diameter": ("40", "45"),
    "barrel.stroke": ("'172,5", "'172,5"),
    "barrel.swept_volume": ("=PI()/4*4^2*17.25", "274.5"),
    "barrel.injection_pressure": ("'34810 psi", "1896"),
    "barrel.screw_package": ("nitrided", "stainless"),
}
"""What is typed into the sheet: numbers, texts as `'` makes them, a formula, words of a list."""
PRINTED = (
    ("Screw", "Unit", "A", "B"),
    ("Screw diameter", "mm", 40, 45),
    ("Stroke", "mm", 190, 190),
    ("Swept volume", "cm³", 239, 302),
    ("Injection pressure", "bar", 2530, 2000),
)

MACRO = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE script:module PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Client"
 script:language="StarBasic">
Function Opened(path)
 Dim how(0) As New com.sun.star.beans.PropertyValue
 how(0).Name = "Hidden"
 how(0).Value = True
 Opened = StarDesktop.loadComponentFromURL(ConvertToURL(path), "_blank", 0, how())
End Function
Sub Store(book, path, filter)
 Dim how(0) As New com.sun.star.beans.PropertyValue
 how(0).Name = "FilterName"
 how(0).Value = filter
 book.storeToURL(ConvertToURL(path), how())
End Sub
Sub Put(page, key, number, text)
 For row = 0 To 200
  If page.getCellByPosition(0, row).String = key Then
   seen = 0
   For column = 1 To 20
    If page.getCellByPosition(column, 0).String = "screw" Then
     cell = page.getCellByPosition(column, row)
     If seen = number And Left(text, 1) = "'" Then cell.String = Mid(text, 2)
     If seen = number And Left(text, 1) &lt;&gt; "'" Then cell.FormulaLocal = text
     seen = seen + 1
    End If
   Next
  End If
 Next
End Sub
Sub Work
 book = Opened("{folder}/sent.xlsx")
 Store(book, "{folder}/same.xlsx", "Calc MS Excel 2007 XML")
 Store(book, "{folder}/same.ods", "calc8")
 book.close(True)
 book = Opened("{folder}/blank.xlsx")
 page = book.Sheets.getByName("Data")
{puts}
 Store(book, "{folder}/filled.xlsx", "Calc MS Excel 2007 XML")
 book.close(True)
 book = Opened("{folder}/table.xlsx")
 Store(book, "{folder}/table.pdf", "calc_pdf_Export")
 book.close(True)
 StarDesktop.terminate()
End Sub
</script:module>
"""
LIBRARY = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE library:library PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "library.dtd">
<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard"
 library:readonly="false" library:passwordprotected="false">
 <library:element library:name="Client"/>
</library:library>
"""
LIBRARIES = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE library:libraries PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "libraries.dtd">
<library:libraries xmlns:library="http://openoffice.org/2000/library"
 xmlns:xlink="http://www.w3.org/1999/xlink">
 <library:library library:name="Standard" xlink:href="$(USER)/basic/Standard/script.xlb/"
  xlink:type="simple" library:link="false"/>
</library:libraries>
"""
SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"
 xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Setup/Office"><prop oor:name="ooSetupInstCompleted" oor:op="fuse">
<value>true</value></prop></item>
</oor:items>
"""
"""A profile that is set up already is not written over at the first start."""


@pytest.fixture(scope="module")
def client(
    tmp_path_factory: pytest.TempPathFactory, sample_appraisal: Appraisal
) -> Callable[[str], bytes]:
    """Return what LibreOffice made, by the file's name."""
    folder = tmp_path_factory.mktemp("client")
    evaluation = folder / "bids.evenbarrel.json"
    evaluation.write_bytes(evaluation_bytes(sample_appraisal.evaluation))
    assert main(["sheet", str(evaluation), "--bid", "b1", "-o", str(folder / "sent.xlsx")]) == 0
    (folder / "blank.xlsx").write_bytes(render_sheet(sample_appraisal, None))
    book = Workbook()
    for row in PRINTED:
        book.worksheets[0].append(row)
    book.worksheets[0].column_dimensions["A"].width = 24
    book.save(folder / "table.xlsx")
    puts = "\n".join(
        f' Put(page, "{key}", {number}, "{text}")'
        for key, texts in TYPED.items()
        for number, text in enumerate(texts)
    )
    basic = folder / "profile" / "user" / "basic" / "Standard"
    basic.mkdir(parents=True)
    macro = MACRO.replace("{folder}", folder.as_posix()).replace("{puts}", puts)
    (basic / "Client.xba").write_text(macro, encoding="utf-8")
    (basic / "script.xlb").write_text(LIBRARY, encoding="utf-8")
    (basic.parents[1] / "registrymodifications.xcu").write_text(SETTINGS, encoding="utf-8")
    (basic.parent / "script.xlc").write_text(LIBRARIES, encoding="utf-8")
    command = [
        "soffice",
        f"-env:UserInstallation={(folder / 'profile').as_uri()}",
        "--headless",
        "--norestore",
        "macro:///Standard.Client.Work",
    ]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr

    def made(name: str) -> bytes:
        return (folder / name).read_bytes()

    return made


def read(evaluation: Evaluation, name: str, data: bytes) -> Extract:
    return extract_file(evaluation, name, data)


def test_what_was_only_opened_and_saved_comes_back_as_it_stands(
    client: Callable[[str], bytes], sample_evaluation: Evaluation
) -> None:
    extract = read(sample_evaluation, "same.xlsx", client("same.xlsx"))
    assert extract.bid.bid == "b1"
    assert {line.outcome for line in extract.lines} == {"same"}
    assert len(extract.lines) >= 60


def test_the_lists_and_hidden_keys_stay(client: Callable[[str], bytes]) -> None:
    page = load_workbook(BytesIO(client("same.xlsx")))["Data"]
    assert page.column_dimensions["A"].hidden
    assert page.row_dimensions[1].hidden
    assert len(page.data_validations.dataValidation) >= 3


def test_what_is_filled_in_becomes_a_bid(
    client: Callable[[str], bytes], sample_evaluation: Evaluation
) -> None:
    extract = read(sample_evaluation, "filled.xlsx", client("filled.xlsx"))
    taken = take_sure(sample_evaluation, extract, "filled.xlsx")
    bid = taken.bids[-1]
    assert bid.supplier == "Nordhalm"
    (unit,) = bid.units
    first, second = unit.barrels
    numbers = [
        (value.magnitude, value.unit)
        for value in (
            first.screw_diameter,
            second.screw_diameter,
            first.stroke,
            second.swept_volume,
            first.injection_pressure,
            second.injection_pressure,
        )
        if value is not None
    ]
    assert numbers == [
        ("40", "mm"),
        ("45", "mm"),
        ("172.5", "mm"),
        ("274.5", "cm3"),
        ("34810", "psi"),
        ("1896", "bar"),
    ]
    assert (first.screw_package, second.screw_package) == ("nitrided", "stainless")
    volume = next(line for line in extract.lines if line.text.startswith("216.7"))
    assert "formula" in [one.code for one in volume.findings]
    assert first.swept_volume is not None
    assert float(first.swept_volume.magnitude) == pytest.approx(216.77, abs=0.01)


def test_a_table_printed_as_pdf_is_read_from_a_box(
    client: Callable[[str], bytes], sample_evaluation: Evaluation
) -> None:
    pages = QuotePages(client("table.pdf"), "table.pdf")
    page = pages.page(1)
    pages.close()
    (bid,) = (one for one in sample_evaluation.bids if one.id == "b1")
    source = source_of_file("table.pdf", client("table.pdf"), bid)
    whole = Box(0, 60, page.width, page.height - 60)
    extract = extract_box(sample_evaluation, page, whole, "b1", source)
    numbers = [line for line in extract.lines if line.field not in ("label", "")]
    assert len(numbers) == 8
    assert {line.outcome for line in numbers} == {"same"}
    assert {line.value.place.page for line in numbers} == {1}
