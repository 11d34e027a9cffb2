"""`sheet` and `take`: a data sheet out, filled, and in again from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest
from openpyxl import load_workbook

from evenbarrel.__main__ import main
from evenbarrel.commands.outcome import DONE, REFUSED, WRONG_USE
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import evaluation_bytes, read_evaluation

SAMPLE = "irrigation-parts.evenbarrel.json"

OFFER = """Injection unit\t\tUnit 610\t
Screw\t\tA\tB
Screw diameter\tmm\t40\t45
Stroke\tmm\t200\t200
Injection pressure\tbar\t2.400\t1896
"""


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    path = tmp_path / "programme.evenbarrel.json"
    path.write_bytes(read_sample(SAMPLE))
    return path


@pytest.fixture
def offer(tmp_path: Path) -> Path:
    path = tmp_path / "offer.txt"
    path.write_text(OFFER, encoding="utf-8")
    return path


def test_a_table_is_listed_and_nothing_written(
    sample: Path, offer: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    before = sorted(path.name for path in sample.parent.iterdir()), sample.read_bytes()
    assert main(["take", str(sample), str(offer)]) == DONE
    told = capfd.readouterr().out
    assert "offer.txt, for a new offer" in told
    assert "sure   row 3, column 3  Unit 610 A: Screw diameter      40 → 40 mm" in told
    assert "check  row 5, column 3  Unit 610 A: Injection pressure  2.400 → 2400 bar" in told
    assert "8 lines sure, filling a gap, with 1 unit and 2 screws new; left: 1 not sure." in told
    assert "Nothing was written." in told
    assert (sorted(path.name for path in sample.parent.iterdir()), sample.read_bytes()) == before


def test_yes_takes_what_is_sure_into_another_file(
    sample: Path, offer: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "taken.evenbarrel.json"
    assert main(["take", str(sample), str(offer), "--yes", "-o", str(out)]) == DONE
    before, after = read_evaluation(sample), read_evaluation(out)
    assert after.bids[:-1] == before.bids
    first, second = after.bids[-1].units[0].barrels
    assert (first.label, second.label) == ("A", "B")
    assert first.injection_pressure is None
    assert second.injection_pressure is not None
    assert second.injection_pressure.source == "offer.txt, row 5, column 4"


def test_a_quote_is_read_whole(
    sample: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    quote = tmp_path / "quotation.pdf"
    quote.write_bytes(read_sample("quillomar-quotation.pdf"))
    empty, out = tmp_path / "empty.evenbarrel.json", tmp_path / "taken.evenbarrel.json"
    resins = read_evaluation(sample).resins
    empty.write_bytes(evaluation_bytes(Evaluation(resins=resins)))
    assert main(["take", str(empty), str(quote), "--yes", "-o", str(out)]) == DONE
    assert "with 1 unit and 3 screws new" in capfd.readouterr().out
    (bid,) = read_evaluation(out).bids
    assert (bid.supplier, bid.reference, str(bid.date)) == ("Quillomar", "Q-5520", "2026-10-08")
    assert [barrel.label for barrel in bid.units[0].barrels] == ["1.50", "1.75", "2.00"]
    assert bid.units[0].price is not None
    assert bid.units[0].price.amount == "168000"


def test_a_sheet_goes_out_and_comes_back(
    sample: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    sheet, out = tmp_path / "sheet.xlsx", tmp_path / "taken.evenbarrel.json"
    assert main(["sheet", str(sample), "--bid", "b2", "-o", str(sheet)]) == DONE
    book = load_workbook(sheet)
    page = book["Data"]
    row = next(c.row for c in page["A"] if c.value == "barrel.melt_inventory")
    page.cell(row, 4).value = 310
    row = next(c.row for c in page["A"] if c.value == "barrel.compression_ratio")
    page.cell(row, 4).value = page.cell(row, 5).value = 2.3
    book.save(sheet)
    assert main(["take", str(sample), str(sheet), "--yes", "-o", str(out)]) == DONE
    assert "3 lines sure, filling a gap; left: " in capfd.readouterr().out
    before, after = read_evaluation(sample), read_evaluation(out)
    (answer,) = (one for one in after.answers if one not in before.answers)
    assert (answer.datum, answer.state) == ("compression_ratio", "answered")
    assert answer.text == "In the data sheet sheet.xlsx."
    assert answer.date is not None
    inventory = after.bids[1].units[0].barrels[0].melt_inventory
    assert inventory is not None
    assert (inventory.magnitude, inventory.unit) == ("310", "cm3")


def test_the_short_sheet_asks_only_what_is_open(sample: Path, tmp_path: Path) -> None:
    whole, short = tmp_path / "whole.xlsx", tmp_path / "short.xlsx"
    assert main(["sheet", str(sample), "--bid", "b4", "-o", str(whole)]) == DONE
    assert main(["sheet", str(sample), "--bid", "b4", "--open", "-o", str(short)]) == DONE
    rows = [load_workbook(path)["Data"].max_row for path in (whole, short)]
    assert rows[1] < rows[0]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["sheet", "FILE", "--bid", "b99", "-o", "s.xlsx"], REFUSED, "there is no such offer"),
        (["take", "FILE", "nowhere.xlsx"], REFUSED, "no such file"),
        (["take", "FILE", "FILE"], REFUSED, "evaluation"),
        (["take", "FILE", "OFFER", "--bid", "b99"], REFUSED, "no offer"),
        (["take", "FILE", "OFFER", "--yes", "-o", "FILE"], REFUSED, "name another file"),
        (["take", "FILE", "OFFER", "--yes", "-o", "OFFER"], REFUSED, "name another file"),
        (["take", "FILE", "OFFER", "--yes"], WRONG_USE, "go together"),
        (["take", "FILE", "OFFER", "-o", "x"], WRONG_USE, "go together"),
        (["sheet", "FILE", "-o", "s.xlsx"], WRONG_USE, "--blank"),
        (["sheet", "FILE", "--blank", "-o", "s.pdf"], WRONG_USE, ".xlsx"),
    ],
)
def test_refusals_and_wrong_use(
    sample: Path,
    offer: Path,
    capfd: pytest.CaptureFixture[str],
    words: list[str],
    code: int,
    said: str,
) -> None:
    named = {"FILE": str(sample), "OFFER": str(offer)}
    before = sample.read_bytes(), offer.read_bytes()
    assert main([named.get(word, word) for word in words]) == code
    told = capfd.readouterr()
    assert said in told.err
    assert "Traceback" not in told.err
    assert (sample.read_bytes(), offer.read_bytes()) == before
