"""The commands without a window: what they print, write and refuse, and their exit codes."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from pypdf import PdfReader

from evenbarrel.__main__ import main
from evenbarrel.commands.outcome import DONE, REFUSED, STOPPED, WRONG_USE
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.resources import read_sample
from evenbarrel.storage.files import evaluation_bytes

SAMPLE = "irrigation-parts.evenbarrel.json"
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[1] / "src")}


def here(capfd: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Run the program in this process; return its exit code and what it printed."""
    code = main(list(words))
    return (code, *capfd.readouterr())


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    path = tmp_path / "programme.evenbarrel.json"
    path.write_bytes(read_sample(SAMPLE))
    return path


@pytest.fixture
def alone(tmp_path: Path, one_offer: Evaluation) -> Path:
    path = tmp_path / "alone.evenbarrel.json"
    path.write_bytes(evaluation_bytes(one_offer))
    return path


def test_appraise_prints_a_summary_with_every_supplier(
    sample: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    code, text, told = here(capfd, "appraise", str(sample))
    assert (code, told) == (DONE, "")
    for bid in json.loads(sample.read_bytes())["bids"]:
        assert bid["supplier"] in text
    assert "14 barrels" in text
    assert "not a guarantee" in text


def test_appraise_writes_results_that_fit_their_schema(
    sample: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "results.json"
    assert main(["appraise", str(sample), "--json", str(out)]) == DONE
    results = json.loads(out.read_bytes())
    schema = json.loads(here(capfd, "schema", "appraisal")[1])
    jsonschema.Draft202012Validator(schema).validate(results)
    assert len(results["fits"]) == len(results["barrels"]) * len(results["jobs"])


def test_results_go_to_standard_output_alone(capfd: pytest.CaptureFixture[str]) -> None:
    code, printed, told = here(capfd, "appraise", "--sample", "--json", "-")
    assert (code, told) == (DONE, "")
    assert json.loads(printed)["results_version"] == 2


@pytest.mark.parametrize("suffix", ["pdf", "xlsx"])
def test_report_is_written_whole(alone: Path, tmp_path: Path, suffix: str) -> None:
    out = tmp_path / f"evaluation.{suffix}"
    before = alone.read_bytes()
    assert main(["report", str(alone), "-o", str(out)]) == DONE
    assert out.read_bytes()[:4] == {"pdf": b"%PDF", "xlsx": b"PK\x03\x04"}[suffix]
    assert alone.read_bytes() == before
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([out.name, alone.name])


def test_the_appendix_is_added_where_it_is_asked_for(alone: Path, tmp_path: Path) -> None:
    plain, full = tmp_path / "plain.pdf", tmp_path / "full.pdf"
    assert main(["report", str(alone), "-o", str(plain)]) == DONE
    assert main(["report", str(alone), "--appendix", "-o", str(full)]) == DONE
    assert len(PdfReader(full).pages) > len(PdfReader(plain).pages)
    titles = [entry.title for entry in PdfReader(full).outline if not isinstance(entry, list)]
    assert sum("Appendix" in title for title in titles) == 1


@pytest.mark.parametrize("of", ["evaluation", "bid", "appraisal"])
def test_schemas_are_schemas(capfd: pytest.CaptureFixture[str], of: str) -> None:
    schema = json.loads(here(capfd, "schema", of)[1])
    jsonschema.validators.validator_for(schema).check_schema(schema)


def test_the_sample_fits_the_published_schema(
    sample: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    schema = json.loads(here(capfd, "schema", "evaluation")[1])
    jsonschema.Draft202012Validator(schema).validate(json.loads(sample.read_bytes()))


@pytest.mark.parametrize(
    ("content", "named"),
    [
        (b"", "empty"),
        (b"\x00\x01\x02\xff", "programme.evenbarrel.json"),
        (b'{"format_version": 1', "programme.evenbarrel.json"),
        (b'{"format_version": 99}', "newer"),
        (b'{"format_version": 1, "colour": "red"}', "colour"),
        (b'{"format_version": 1, "jobs": [{"id": "j1"}, {"id": "j1"}]}', "j1"),
    ],
)
def test_a_refused_file_is_one_plain_line(
    sample: Path,
    tmp_path: Path,
    capfd: pytest.CaptureFixture[str],
    content: bytes,
    named: str,
) -> None:
    sample.write_bytes(content)
    out = tmp_path / "evaluation.pdf"
    for words in (["appraise", str(sample)], ["report", str(sample), "-o", str(out)]):
        code, printed, line = here(capfd, *words)
        assert (code, printed) == (REFUSED, "")
        assert line.count("\n") == 1
        assert named in line
        assert "Traceback" not in line
    assert not out.exists()
    assert sample.read_bytes() == content


def test_a_missing_file_is_refused(capfd: pytest.CaptureFixture[str]) -> None:
    code, printed, line = here(capfd, "appraise", "nowhere.evenbarrel.json")
    assert (code, printed, line.count("\n")) == (REFUSED, "", 1)
    assert "nowhere.evenbarrel.json" in line


def test_an_output_that_cannot_be_written_is_refused(
    sample: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    sample.write_bytes(b'{"format_version": 1}')
    out = str(tmp_path / "no" / "folder.pdf")
    code, _, line = here(capfd, "report", str(sample), "-o", out)
    assert (code, line.count("\n")) == (REFUSED, 1)


@pytest.mark.parametrize(
    "words",
    [
        ["appraise"],
        ["appraise", "a", "--sample"],
        ["report", "--sample"],
        ["report", "--sample", "-o", "evaluation.docx"],
        ["schema", "everything"],
        ["--no-such-option"],
    ],
)
def test_wrong_use_is_told_from_a_refused_file(words: list[str]) -> None:
    assert main(words) == WRONG_USE


def test_without_a_screen_the_desk_says_so_and_ends() -> None:
    without = {
        name: value
        for name, value in ENVIRONMENT.items()
        if name not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    }
    ended = subprocess.run(
        [sys.executable, "-m", "evenbarrel", "--sample"],
        capture_output=True,
        check=False,
        env=without,
    )
    assert ended.returncode == WRONG_USE
    assert ended.stderr.decode().count("\n") == 1


@pytest.mark.parametrize("name", ["programme.evenbarrel.json", "link.pdf"])
def test_an_output_never_takes_the_place_of_its_evaluation(
    sample: Path, name: str, capfd: pytest.CaptureFixture[str]
) -> None:
    (sample.parent / "link.pdf").symlink_to(sample)
    before = sample.read_bytes()
    out = str(sample.parent / name)
    words = ["report", "-o", out] if name == "link.pdf" else ["appraise", "--json", out]
    code, _, line = here(capfd, *words, str(sample))
    assert code == REFUSED
    assert line == (f"evenbarrel: {name}: it holds the evaluation itself: name another file\n")
    assert sample.read_bytes() == before


NO_SPACE = (
    "evenbarrel: standard output: it could not be written: there is no space left on the disk\n"
)


@pytest.mark.parametrize("words", [["appraise", "--sample"], ["--self-check"]])
def test_an_output_without_space_is_told_in_one_line(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with Path("/dev/full").open("w") as full:
        monkeypatch.setattr(sys, "stdout", full)
        assert main(words) == REFUSED
    assert capsys.readouterr().err == NO_SPACE


def test_an_output_without_space_is_not_tried_again_at_the_end() -> None:
    with Path("/dev/full").open("wb") as full:
        ended = subprocess.run(
            [sys.executable, "-m", "evenbarrel", "schema", "bid"],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            env=ENVIRONMENT,
        )
    assert (ended.returncode, ended.stderr.decode()) == (REFUSED, NO_SPACE)


def test_a_closed_output_is_told_in_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert main(["appraise", "--sample"]) == REFUSED
    assert capsys.readouterr().err == "evenbarrel: standard output: it is closed\n"


def test_a_reader_that_goes_away_is_no_fault() -> None:
    reader, writer = os.pipe()
    os.close(reader)
    with os.fdopen(writer, "wb", buffering=0) as pipe:
        ended = subprocess.run(
            [sys.executable, "-m", "evenbarrel", "schema", "bid"],
            stdout=pipe,
            stderr=subprocess.PIPE,
            check=False,
            env=ENVIRONMENT,
        )
    assert (ended.returncode, ended.stderr) == (DONE, b"")


def test_a_command_that_is_stopped_ends_without_a_word(
    sample: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    # While it works, and while what it needs is loaded.
    for moment in ("commands.evaluating.evaluation_of", "commands.parser.command_parser"):
        monkeypatch.setattr(f"evenbarrel.{moment}", stopped)
        assert main(["appraise", str(sample)]) == STOPPED
        assert capsys.readouterr().err == ""


SIGNS = ("\x1b", "\x07", "\x7f", "\x9b", "\u202e", "\u2066", "\u200b")


def test_no_sign_of_a_file_commands_the_terminal(
    sample: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    content = json.loads(sample.read_bytes())
    content["bids"][0]["supplier"] = " ".join(f"Mill{sign}[31mrace" for sign in SIGNS)
    sample.write_text(json.dumps(content), encoding="utf-8")
    code, printed, line = here(capfd, "appraise", str(sample))
    assert (code, line) == (DONE, "")
    for sign in SIGNS:
        assert sign not in printed
        assert f"Mill⟨U+{ord(sign):04X}⟩[31mrace" in printed


@pytest.mark.parametrize("sign", SIGNS)
def test_no_sign_of_a_refused_file_commands_the_terminal(
    sample: Path, capfd: pytest.CaptureFixture[str], sign: str
) -> None:
    sample.write_text(json.dumps({"format_version": 1, f"colour{sign}": "red"}), encoding="utf-8")
    code, printed, line = here(capfd, "appraise", str(sample))
    assert (code, printed) == (REFUSED, "")
    assert sign not in line
