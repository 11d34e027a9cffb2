"""Makes the quotes of the sample from its bid files: three PDFs, a returned data sheet, a text.

    PYTHONPATH=src .venv/bin/python tests/make_sample_quotes.py

writes them to sample_quotes/ and puts them into `documents` of the bids, with the places of a
handful of numbers. Each file holds the numbers of its bid as they stand, its mistakes too. The same
versions of the libraries give the same bytes.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from reportlab.lib.pagesizes import A4, landscape, letter
from reportlab.pdfgen.canvas import Canvas

from evenbarrel import resources
from evenbarrel.appraisal.appraise import appraise
from evenbarrel.intake.data_sheet.writer import render_sheet
from evenbarrel.intake.files import source_of_file
from evenbarrel.intake.keys import MODELS, Owner
from evenbarrel.intake.pages.boxed import extract_box
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.words import Box
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.paper.fonts import BOLD, REGULAR, register
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.storage.workbooks import workbook_bytes

FOLDER = Path(__file__).parents[1] / "sample_quotes"
EVALUATION = "irrigation-parts.evenbarrel.json"
BIDS = {
    "b1": ("brastivel.bid.json", "brastivel-offer.pdf"),
    "b2": ("ondrupek.bid.json", "ondrupek-angebot.pdf"),
    "b3": ("quillomar.bid.json", "quillomar-quotation.pdf"),
    "b4": ("velthornax.bid.json", "velthornax-data-sheet.txt"),
    "b5": ("yarvindel.bid.json", "yarvindel-data-sheet.xlsx"),
}
PLACED = ("screw_diameter", "stroke", "swept_volume", "injection_pressure")
"""Numbers whose places the sample tells."""
INVENTED = {
    "en": "Invented for the Evenbarrel sample: no such firm, machine or offer exists.",
    "de": "Für das Evenbarrel-Beispiel erfunden: Firma, Maschine und Angebot gibt es nicht.",
}
MARGIN = 50.0

_UNITS = {"cm3": "cm³", "in3": "cu.in.", "rev/min": "rpm", "1": "", "cm3/s": "cm³/s"}
_IN = {
    "en": _UNITS,
    "de": _UNITS | {"rev/min": "U/min"},
    "us": _UNITS | {"in3/s": "cu.in./s", "lb/h": "lb/hr", "ft/min": "fpm"},
}
_CHOICES = {"de": {"nitrided": "nitriert", "electric": "elektrisch", "melt": "Schmelze"}}


@dataclass
class Paper:
    """A PDF that is laid out from above; `tables` are the boxes of its tables, by page."""

    size: tuple[float, float]
    fonts: tuple[str, str]
    foot: str
    tables: list[tuple[int, Box]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._out = BytesIO()
        self._page = Canvas(self._out, pagesize=self.size, invariant=1, pageCompression=1)
        self.number = 1
        self._begin()

    def _begin(self) -> None:
        self.y = self.size[1] - MARGIN
        self._page.setFont(self.fonts[0], 7)
        self._page.drawString(MARGIN, 28, self.foot)
        self._page.drawRightString(self.size[0] - MARGIN, 28, str(self.number))

    def turn(self, to: int) -> None:
        """Go on to a page."""
        while self.number < to:
            self._page.showPage()
            self.number += 1
            self._begin()

    def title(self, text: str) -> None:
        """Print a heading."""
        self._page.setFont(self.fonts[1], 15)
        self._page.drawString(MARGIN, self.y - 14, text)
        self.y -= 40

    def says(self, *lines: str) -> None:
        """Print lines of text."""
        self._page.setFont(self.fonts[0], 9)
        for line in lines:
            self._page.drawString(MARGIN, self.y - 9, line)
            self.y -= 14
        self.y -= 10

    def table(
        self,
        rows: Sequence[Sequence[str]],
        places: Sequence[float],
        size: float = 9,
        ruled: bool = True,
        spanned: Sequence[int] = (),
    ) -> None:
        """Print a table: a column begins at each of `places`; all but the first are right-aligned.

        Rows in `spanned` print their one value across all columns of screws.
        """
        top, pitch = self.y + 2, size * 1.9
        for number, row in enumerate(rows):
            self._page.setFont(self.fonts[1 if number == 0 else 0], size)
            for at, (place, text) in enumerate(zip(places, row, strict=False)):
                ends = [*places[1:], self.size[0] - MARGIN]
                if number in spanned and at >= 2:
                    middle = (places[2] + ends[-1]) / 2
                    self._page.drawCentredString(middle, self.y - size, row[2] if at == 2 else "")
                elif at == 0:
                    self._page.drawString(place, self.y - size, text)
                else:
                    self._page.drawRightString(ends[at] - 6, self.y - size, text)
            self.y -= pitch
            if ruled:
                self._page.setLineWidth(0.3)
                line = self.y + pitch * 0.25
                self._page.line(MARGIN, line, self.size[0] - MARGIN, line)
        box = Box(MARGIN - 4, self.y, self.size[0] - MARGIN + 4, top)
        self.tables.append((self.number, box))
        self.y -= 18

    def pairs(self, rows: Sequence[tuple[str, str]], size: float = 9) -> None:
        """Print what is said in words: a label, and behind it what it is."""
        top = self.y + 2
        for label, text in rows:
            self._page.setFont(self.fonts[1], size)
            self._page.drawString(MARGIN, self.y - size, label)
            self._page.setFont(self.fonts[0], size)
            self._page.drawString(MARGIN + 130, self.y - size, text)
            self.y -= size * 1.9
        self.tables.append((self.number, Box(MARGIN - 4, self.y, self.size[0], top)))
        self.y -= 18

    def bytes(self) -> bytes:
        """Return the PDF."""
        self._page.showPage()
        self._page.save()
        return self._out.getvalue()


@cache
def _wordings() -> dict[str, Any]:
    """Return the wordings of the trade by datum and language."""
    known: dict[str, Any] = tomllib.loads(resources.read_text("synonyms.toml"))["labels"]
    return known


@dataclass(frozen=True)
class Wording:
    """How one supplier writes labels, numbers, units and choices."""

    language: str
    units: str
    comma: bool = False

    def label(self, owner: Owner, name: str) -> str:
        """Return the first wording of the trade for a datum."""
        words = _wordings().get(f"{owner}.{name}", {}).get(self.language)
        if words:
            text = str(words[0])
            return text[0].upper() + text[1:]
        datum: Any = MODELS[owner].model_fields[name].metadata[0]
        return str(datum.label)

    def number(self, value: Any) -> str:
        """Return a number or an amount as it is printed, without its unit."""
        if value is None:
            return "–"
        if isinstance(value, str):
            words = {"ps": "PS"} | _CHOICES.get(self.language, {})
            return words.get(value, value.replace("_", " "))
        text = value.get("magnitude", value.get("amount"))
        whole, point, places = text.partition(".")
        marks = {"de": ".", "us": ","}.get(self.units, " ")
        if len(whole) > 4 or (len(whole) == 4 and self.units != "en"):
            whole = f"{int(whole):,}".replace(",", marks)
        return whole + ("," if self.comma and point else point) + places

    def unit(self, value: Any) -> str:
        """Return the unit of a number, or the currency of an amount."""
        if not isinstance(value, dict):
            return ""
        unit = value.get("unit", value.get("currency"))
        return str(_IN[self.units].get(unit, unit))

    def rows(
        self, owner: Owner, things: Sequence[dict[str, Any]], names: Sequence[str]
    ) -> list[list[str]]:
        """Return a row for each datum: label, unit, and the number of each thing."""
        rows = []
        for name in names:
            values = [thing.get(name) for thing in things]
            unit = next((self.unit(value) for value in values if value is not None), "")
            rows.append([self.label(owner, name), unit, *map(self.number, values)])
        return rows


SCREWS = (
    *("screw_diameter", "stroke", "length_ratio", "compression_ratio", "ring_kind"),
    *("swept_volume", "rated_shot_mass", "reference_resin", "injection_pressure", "pressure_kind"),
    *("injection_rate", "injection_speed", "plasticising_rate", "plasticising_resin"),
    *("plasticising_speed", "screw_speed_max", "melt_inventory", "barrel_package"),
    "screw_package",
)
TERMS = ("delivery", "payment", "warranty")


def _first_lines(bid: dict[str, Any], say: Wording) -> list[tuple[str, str]]:
    names = ("supplier", "reference", "date", "valid_until")
    return [(say.label("bid", name), bid[name]) for name in names]


def _terms(bid: dict[str, Any], say: Wording) -> list[tuple[str, str]]:
    return [(say.label("bid", name), bid[name]) for name in TERMS]


def brastivel(bid: dict[str, Any]) -> Paper:
    """Nine pages, portrait: a ruled table with its units in a column, screws across."""
    register()
    say, (unit,) = Wording("en", "en"), bid["units"]
    screws = unit["barrels"]
    paper = Paper(A4, (REGULAR, BOLD), INVENTED["en"])
    paper.title("Offer: one injection moulding machine")
    paper.pairs(_first_lines(bid, say))
    paper.turn(3)
    paper.title("Injection unit")
    names = (
        *("size_number", "drive_kind", "drive_power", "injection_power"),
        *("plasticising_drive_power", "heating_power", "position_scatter", "max_back_pressure"),
        *("clamp_force", "price", "second_barrel_price"),
    )
    head = [say.label("unit", "designation"), "", unit["designation"]]
    columns = (MARGIN, 220.0, 280.0)
    paper.says("Table 1")
    paper.table([head, *say.rows("unit", [unit], names)], columns)
    paper.says("Table 2")
    head = ["Screw", "Unit", *(one["label"] for one in screws)]
    columns = (MARGIN, 220.0, 270.0, 352.0, 448.0)
    paper.table([head, *say.rows("barrel", screws, SCREWS)], columns, size=8)
    paper.turn(4)
    for title in ("Clamp and frame", "Control", "Hydraulics of the ejector"):
        paper.title(title)
        paper.says("As agreed in our talk; nothing here concerns the injection unit.")
        paper.turn(paper.number + 1)
    paper.title("Energy")
    paper.table(say.rows("unit", [unit], ("energy_per_mass", "energy_method")), columns[:3])
    paper.turn(8)
    paper.title("Screws: difference in price")
    rows = say.rows("barrel", screws, ("price_difference",))
    paper.table([["Screw", "Unit", *(one["label"] for one in screws)], *rows], columns)
    paper.turn(9)
    paper.title("Prices and terms")
    paper.table(say.rows("bid", [bid], ("freight", "installation", "training")), columns[:3])
    paper.says("Spare parts: extra, EUR 3900. Documentation: included.")
    paper.pairs(_terms(bid, say), size=7.5)
    return paper


def ondrupek(bid: dict[str, Any]) -> Paper:
    """Six pages across, in German: units in the labels, one pressure printed for both screws."""
    register()
    say, (unit,) = Wording("de", "de", comma=True), bid["units"]
    screws = unit["barrels"]
    paper = Paper(landscape(A4), (REGULAR, BOLD), INVENTED["de"])
    paper.title("Angebot")
    paper.pairs(_first_lines(bid, say))
    paper.turn(2)
    paper.title("Technische Daten")
    columns = (MARGIN, 300.0, 420.0)
    names = ("drive_kind", "drive_power", "plasticising_drive_power", "heating_power")
    rows = say.rows("unit", [unit], (*names, "clamp_force", "price"))
    head = [say.label("unit", "designation"), unit["designation"]]
    paper.table([head, *map(_unit_in_label, rows)], columns[:2], ruled=False)
    wanted = [name for name in SCREWS if any(name in one for one in screws)]
    wanted.insert(wanted.index("barrel_package"), "screw_speed")
    rows = say.rows("barrel", screws, wanted)
    pressure = wanted.index("injection_pressure") + 1
    table = [["Schnecke", "", *(one["label"] for one in screws)], *rows]
    table[pressure] = [*table[pressure][:3], ""]
    columns = (MARGIN, 300.0, 400.0, 560.0)
    paper.table(table, columns, size=8.5, ruled=False, spanned=(pressure,))
    paper.turn(5)
    paper.title("Mehrpreise")
    rows = say.rows("barrel", screws, ("price_difference",))
    paper.table([["Schnecke", "", *(one["label"] for one in screws)], *rows], columns)
    paper.turn(6)
    paper.title("Preise und Bedingungen")
    paper.table(say.rows("bid", [bid], ("freight", "installation")), columns[:3], ruled=False)
    paper.says("Ersatzteile und Dokumentation: enthalten.")
    paper.pairs(_terms(bid, say))
    return paper


def _unit_in_label(row: list[str]) -> list[str]:
    label, unit, *values = row
    return [f"{label} [{unit}]" if unit else label, *values]


def quillomar(bid: dict[str, Any]) -> Paper:
    """Seven pages, US units: the screws below each other, units in a row under the heads."""
    say, (unit,) = Wording("en", "us"), bid["units"]
    screws = unit["barrels"]
    paper = Paper(landscape(letter), ("Helvetica", "Helvetica-Bold"), INVENTED["en"])
    paper.title("Quotation")
    paper.pairs(_first_lines(bid, say))
    paper.turn(3)
    paper.title("Injection unit")
    names = (
        *("drive_kind", "drive_power", "injection_power", "plasticising_drive_power"),
        *("heating_power", "position_scatter", "clamp_force", "price", "second_barrel_price"),
    )
    head = [say.label("unit", "designation"), "", unit["designation"]]
    narrow = (MARGIN, 240.0, 320.0)
    paper.table([head, *say.rows("unit", [unit], names)], narrow, ruled=False)
    paper.turn(4)
    paper.title("Screws")
    for names in (SCREWS[:3] + SCREWS[5:10], SCREWS[10:14]):
        _screws_down(paper, say, screws, names)
    later = ("plasticising_speed", "screw_speed_max", "peripheral_speed")
    _screws_down(paper, say, screws, (*later, "barrel_package", "screw_package"))
    _screws_down(paper, say, screws[1:2], ("feed_depth", "metering_depth"))
    paper.turn(5)
    paper.title("Energy")
    paper.table(say.rows("unit", [unit], ("energy_per_mass",)), narrow, ruled=False)
    paper.turn(6)
    paper.title("Screws: difference in price")
    rows = say.rows("barrel", screws, ("price_difference",))
    head = ["Screw", "", *(one["label"] for one in screws)]
    paper.table([head, *rows], (*narrow, 400.0, 480.0), ruled=False)
    paper.turn(7)
    paper.title("Prices and terms")
    paper.table(say.rows("bid", [bid], ("freight", "installation", "training")), narrow)
    paper.says("Spare parts: extra, USD 5,200.")
    paper.pairs(_terms(bid, say))
    return paper


def _screws_down(
    paper: Paper, say: Wording, screws: Sequence[dict[str, Any]], names: Sequence[str]
) -> None:
    rows = say.rows("barrel", screws, names)
    turned = [
        ["Screw", *(row[0] for row in rows)],
        ["", *(row[1] for row in rows)],
        *([one["label"], *(row[2 + at] for row in rows)] for at, one in enumerate(screws)),
    ]
    width = (paper.size[0] - 2 * MARGIN - 40) / max(3, len(rows))
    places = [MARGIN, *(MARGIN + 40 + width * at for at in range(len(rows)))]
    paper.table(turned, places, size=8, ruled=False)


def velthornax(bid: dict[str, Any]) -> bytes:
    """A table as text, converted from another: dots lead from the labels to the numbers."""
    say, (unit,) = Wording("en", "en"), bid["units"]
    lines = [INVENTED["en"], ""]
    for name in ("supplier", "reference", "date", "valid_until", *TERMS):
        lines.append(_dotted(say.label("bid", name), "", [bid[name]]))
    lines.append(_dotted("Freight", "EUR", [say.number(bid["freight"])]))
    lines += ["", "Data sheet 12, converted edition", ""]
    lines.append(_dotted("Injection unit", "", [unit["designation"]]))
    names = ("size_number", "drive_kind", "drive_power", "heating_power", "clamp_force", "price")
    lines += [_dotted(a, b, c) for a, b, *c in say.rows("unit", [unit], names)]
    screws = unit["barrels"]
    lines += ["", _dotted("Screw", "", [one["label"] for one in screws])]
    wanted = [name for name in SCREWS if any(name in one for one in screws)]
    lines += [_dotted(a, b, c) for a, b, *c in say.rows("barrel", screws, wanted)]
    return ("\n".join(lines) + "\n").encode()


def _dotted(label: str, unit: str, values: Sequence[str]) -> str:
    lead = f"{label} {'.' * (34 - len(label))}"
    behind = f"  {unit:<6}" if unit else f"  {'':<6}"
    return lead + behind + "".join(f"  {value:>18}" for value in values)


def yarvindel(evaluation: Evaluation) -> bytes:
    """The data sheet as it came back: each number's page told, some with a decimal comma."""
    book = load_workbook(BytesIO(render_sheet(appraise(evaluation), "b5")))
    page: Any = book["Data"]
    names = {cell.value: cell.column for cell in page[1]}
    for row in range(2, page.max_row + 1):
        key = str(page.cell(row, 1).value or "")
        if key.startswith("barrel.") and page.cell(row, names["screw"]).value is not None:
            page.cell(row, names["place"]).value = "offer p. 4, injection unit"
        if key in ("barrel.ring_travel", "barrel.intensification_ratio"):
            for column in (cell.column for cell in page[1] if cell.value == "screw"):
                value = page.cell(row, column).value
                if value is not None:
                    page.cell(row, column).value = str(value).replace(".", ",")
    return workbook_bytes(book)


PAPERS: dict[str, Callable[[dict[str, Any]], Paper]] = {
    "b1": brastivel,
    "b2": ondrupek,
    "b3": quillomar,
}


def bid_of(which: str) -> dict[str, Any]:
    """Return a bid of the sample as its file has it."""
    found: dict[str, Any] = json.loads(resources.read_sample(BIDS[which][0]))
    return found


def quotes() -> dict[str, bytes]:
    """Return every quote by its name."""
    made = {BIDS[which][1]: make(bid_of(which)).bytes() for which, make in PAPERS.items()}
    made[BIDS["b4"][1]] = velthornax(bid_of("b4"))
    evaluation = parse_evaluation(resources.read_sample(EVALUATION), EVALUATION)
    made[BIDS["b5"][1]] = yarvindel(evaluation)
    return made


def _places(evaluation: Evaluation, which: str, data: bytes) -> Iterator[tuple[str, str, Any]]:
    """Yield barrel, field and place of what the tables of a PDF say."""
    name = BIDS[which][1]
    source = source_of_file(name, data, None)
    tables = PAPERS[which](bid_of(which))
    pages = QuotePages(data, name)
    for number, box in tables.tables:
        extract = extract_box(evaluation, pages.page(number), box, which, source)
        for line in extract.lines:
            if line.field in PLACED and line.thing is not None and line.value is not None:
                yield line.thing.path[-1], line.field, line.value.place
    pages.close()


def _with_document(bid: dict[str, Any], which: str, data: bytes, evaluation: Evaluation) -> None:
    name = BIDS[which][1]
    document = source_of_file(name, data, None).document
    assert document is not None
    bid["documents"] = [document.model_dump(mode="json", exclude_none=True)]
    if which not in PAPERS:
        return
    pages = QuotePages(data, name)
    bid["documents"][0]["pages"] = pages.count
    pages.close()
    barrels = {one["id"]: one for unit in bid["units"] for one in unit["barrels"]}
    for barrel, datum, place in _places(evaluation, which, data):
        if barrel in barrels and datum in barrels[barrel]:
            barrels[barrel][datum]["place"] = place.model_dump(mode="json", exclude_none=True)


def main() -> None:
    """Write the quotes, and their documents and places into the bids."""
    made = quotes()
    evaluation = parse_evaluation(resources.read_sample(EVALUATION), EVALUATION)
    whole = json.loads(resources.read_sample(EVALUATION))
    for name, data in made.items():
        (FOLDER / name).write_bytes(data)
    for which, (file, name) in BIDS.items():
        alone = bid_of(which)
        of_whole = next(one for one in whole["bids"] if one["id"] == which)
        for bid in (alone, of_whole):
            _with_document(bid, which, made[name], evaluation)
        _write(file, alone)
    _write(EVALUATION, whole)


def _write(name: str, content: dict[str, Any]) -> None:
    text = json.dumps(content, indent=1, ensure_ascii=False) + "\n"
    (FOLDER / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
