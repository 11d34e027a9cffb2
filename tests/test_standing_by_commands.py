"""The commands for standing by a decision: compare, archive, protocol, what would flip it."""

from __future__ import annotations

import json
from pathlib import Path
from zipfile import ZipFile

import jsonschema
import pytest
from openpyxl import load_workbook

from evenbarrel.__main__ import main
from evenbarrel.commands.outcome import DONE, REFUSED, WRONG_USE
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import evaluation_bytes, read_evaluation
from evenbarrel.wording.standing_by.flips import NOT_LOOKED_FOR
from evenbarrel.wording.standing_by.masking import FLIPS_MASKED

SAMPLE = "irrigation-parts.evenbarrel.json"


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    path = tmp_path / "programme.evenbarrel.json"
    path.write_bytes(read_sample(SAMPLE))
    return path


@pytest.fixture
def later(sample: Path) -> Path:
    """The sample with a heavier part and a cheaper machine."""
    data = json.loads(sample.read_bytes())
    data["jobs"][5]["part_mass"]["magnitude"] = "65"
    next(b for b in data["bids"] if b["id"] == "b1")["units"][0]["price"]["amount"] = "165000"
    path = sample.with_name("later.evenbarrel.json")
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


FIRST = (
    "First in the order: Quillomar, Model 18 1.75; Brastivel, Unit 604 B → Brastivel, Unit 604 B."
)


def test_compare_tells_data_prices_and_who_leads(sample, later, capfd) -> None:
    assert main(["compare", str(sample), str(later)]) == DONE
    text = capfd.readouterr().out
    assert "Clear sight bowl, two cavities, part mass: 64 g → 65 g" in text
    assert "Brastivel, Unit 604, machine price: EUR 186500 → EUR 165000" in text
    assert FIRST in text
    assert main(["compare", str(sample), str(sample)]) == DONE
    assert capfd.readouterr().out.startswith("No entered data differ")


def test_compare_tells_what_is_not_stated_and_compares_no_costs_of_other_jobs(
    sample, capfd
) -> None:
    data = json.loads(sample.read_bytes())
    data["limits"]["general_high"] = 0.75
    stricter = sample.with_name("stricter.evenbarrel.json")
    stricter.write_text(json.dumps(data), encoding="utf-8")
    assert main(["compare", str(sample), str(stricter)]) == DONE
    lines = capfd.readouterr().out.splitlines()
    (verdict,) = (line for line in lines if "Pipe saddle" in line and "Unit 586 A" in line)
    assert "near edge, share" in verdict
    assert "→ outside by rule, share" in verdict
    (cost,) = (line for line in lines if "Unit 586 A: EUR" in line)
    assert cost.count(" + ?") == 2
    assert cost.endswith("for other jobs (4 and 3): not to be compared")


def test_compare_writes_the_same_as_json_and_never_over_what_it_read(
    sample, later, capfd, tmp_path
) -> None:
    out = tmp_path / "differs.json"
    assert main(["compare", str(sample), str(later), "--json", str(out)]) == DONE
    found = json.loads(out.read_bytes())
    paths = [tuple(one["path"]) for one in found["fields"]]
    assert ("jobs", "j6", "part_mass") in paths
    prices = [one for one in found["results"] if one["of"] == "price"]
    assert {one["new"] - one["old"] for one in prices} == {-21500.0}
    assert main(["compare", str(sample), str(later), "--json", str(sample)]) == REFUSED
    assert main(["compare", str(sample), str(later), "--json", str(later)]) == REFUSED
    capfd.readouterr()
    assert main(["compare", str(sample)]) == WRONG_USE
    assert main(["compare", str(sample), str(tmp_path / "gone.json")]) == REFUSED


@pytest.fixture(scope="module")
def alone(tmp_path_factory, one_offer) -> Path:
    path = tmp_path_factory.mktemp("alone") / "alone.evenbarrel.json"
    path.write_bytes(evaluation_bytes(one_offer))
    return path


@pytest.fixture(scope="module")
def kept(alone) -> Path:
    path = alone.with_name("kept.zip")
    assert main(["archive", str(alone), "-o", str(path)]) == DONE
    return path


def test_an_archive_is_an_evaluation_to_every_command(alone, kept, tmp_path, capfd) -> None:
    with ZipFile(kept) as archive:
        names = set(archive.namelist())
        (tmp_path / "inside.json").write_bytes(archive.read("evaluation.evenbarrel.json"))
    assert {"results.json", "evaluation.pdf", "evaluation.xlsx", "resins.json"} < names
    assert read_evaluation(tmp_path / "inside.json") == read_evaluation(alone)
    assert main(["compare", str(kept), str(alone)]) == DONE
    assert capfd.readouterr().out.startswith("No entered data differ")
    assert main(["archive", str(alone), "-o", str(tmp_path / "kept.rar")]) == WRONG_USE


def test_a_changed_archive_is_refused_in_one_line_that_names_what_changed(
    kept, tmp_path, capfd
) -> None:
    changed = tmp_path / "changed.zip"
    with ZipFile(kept) as read, ZipFile(changed, "w") as written:
        for name in read.namelist():
            more = b" " if name == "results.json" else b""
            written.writestr(name, read.read(name) + more)
    assert main(["appraise", str(changed)]) == REFUSED
    error = capfd.readouterr().err
    assert error.splitlines() == [
        "evenbarrel: changed.zip: results.json: its digest fails: it is not what was archived"
    ]


def test_flips_are_printed_and_written_where_they_are_asked_for(tmp_path, capfd) -> None:
    def quantity(magnitude: str, unit: str) -> dict:
        return {"magnitude": magnitude, "unit": unit}

    resin = {
        "id": "r",
        "resin_class": "general",
        "output_factor_route": "own",
        "output_factors": {"own": quantity("0.9", "g/cm3")},
    }
    job = {"id": "j", "name": "Lid", "resin": "r", "shot_mass": quantity("150", "g")}
    units = [
        {"id": f"u{n}", "barrels": [{"id": f"b{n}", "swept_volume": quantity(volume, "cm3")}]}
        for n, volume in enumerate(("300", "310"))
    ]
    data = {"format_version": 2, "resins": [resin], "jobs": [job]}
    data["bids"] = [{"id": "o", "supplier": "Offer", "units": units}]
    path, out = tmp_path / "small.evenbarrel.json", tmp_path / "results.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    assert main(["appraise", str(path), "--flips"]) == DONE
    assert "What would flip the choice" in capfd.readouterr().out
    assert main(["appraise", str(path), "--flips", "--json", str(out)]) == DONE
    results = json.loads(out.read_bytes())
    flips = results["decision"]["flips"]
    assert {"datum", "of", "now", "flip", "change_percent", "unit", "what"} <= set(flips[0])
    main(["schema", "appraisal"])
    schema = json.loads(capfd.readouterr().out)
    jsonschema.Draft202012Validator(schema).validate(results)
    assert main(["appraise", str(path), "--json", str(out)]) == DONE
    assert json.loads(out.read_bytes())["decision"]["flips"] is None
    # A workbook has a sheet of them, which says so where nobody looked.
    book = tmp_path / "small.xlsx"
    assert main(["report", str(path), "--flips", "-o", str(book)]) == DONE
    told = [cell.value for cell in load_workbook(book)["What would flip the choice"]["H"]]
    assert told[1 : 1 + len(flips)] == [flip["what"].partition("): ")[2] for flip in flips]
    assert main(["report", str(path), "-o", str(book)]) == DONE
    rows = load_workbook(book)["What would flip the choice"].iter_rows(values_only=True)
    assert any(NOT_LOOKED_FOR in row for row in rows)


def test_flips_that_go_by_masked_prices_are_said_to_be_masked(alone, tmp_path) -> None:
    book = tmp_path / "masked.xlsx"
    asked = ["report", str(alone), "--flips", "--masked", "prices", "-o", str(book)]
    assert main(asked) == DONE
    rows = load_workbook(book)["What would flip the choice"].iter_rows(values_only=True)
    assert any(FLIPS_MASKED in row for row in rows)


def test_a_report_is_masked_where_it_is_asked_for(alone, tmp_path) -> None:
    out = tmp_path / "masked.xlsx"
    assert main(["report", str(alone), "--masked", "suppliers", "-o", str(out)]) == DONE
    with ZipFile(out) as archive:
        parts = b"".join(archive.read(name) for name in archive.namelist())
    assert b"Supplier A" in parts
    assert b"Brastivel" not in parts
    assert main(["report", str(alone), "--masked", "names", "-o", str(out)]) == WRONG_USE


def test_the_protocol_of_a_barrel_is_written_and_an_unknown_one_refused(
    sample, capfd, tmp_path
) -> None:
    out = tmp_path / "protocol.pdf"
    assert main(["protocol", str(sample), "--barrel", "b1u1b", "-o", str(out)]) == DONE
    assert out.read_bytes().startswith(b"%PDF")
    out.unlink()
    assert main(["protocol", str(sample), "--barrel", "nobody", "-o", str(out)]) == REFUSED
    told = capfd.readouterr().err
    assert "there is no such barrel; there are: b1u1a, b1u1b" in told
    assert not out.exists()
