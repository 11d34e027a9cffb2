"""What hides in a text is shown on paper, in the workbook, in letters and in the terminal."""

from __future__ import annotations

import json
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from evenbarrel.__main__ import main
from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.report.pdf import render_pdf
from evenbarrel.report.results_file import results_of, to_json
from evenbarrel.report.workbook.book import render_workbook
from evenbarrel.storage.files import write_evaluation
from evenbarrel.wording.sentences.asking.letters import Particulars, letter_text, make_letter
from evenbarrel.wording.sentences.asking.questions import question_texts
from evenbarrel.wording.words.visible import EXPLAINED

from .hostile import HOSTILE, MARKUP, hidden_in, hostile_evaluation

MARK = "⟨U+202E⟩"


@pytest.fixture(scope="module")
def appraisal() -> Appraisal:
    return appraise(hostile_evaluation())


def test_paper_shows_it(appraisal: Appraisal) -> None:
    reader = PdfReader(BytesIO(render_pdf(appraisal)))
    texts = [page.extract_text() for page in reader.pages]
    texts += [str(value) for value in (reader.metadata or {}).values()]
    assert not any(hidden_in(text) for text in texts)
    squeezed = "".join("".join(texts).split())
    assert squeezed.count(MARK) > 20
    assert "".join(MARKUP.split()) in squeezed
    assert "".join(EXPLAINED.split()) in squeezed
    assert not any(page.images for page in reader.pages)


def test_the_workbook_shows_it(appraisal: Appraisal) -> None:
    book = load_workbook(BytesIO(render_workbook(appraisal)))
    texts = [
        cell.value
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str)
    ]
    texts += [book.properties.title, book.properties.creator, book.properties.description]
    assert not [text for text in texts if hidden_in(text)]
    assert sum(MARK in text and MARKUP in text for text in texts) > 20


def test_letters_show_it(appraisal: Appraisal) -> None:
    for bid in appraisal.evaluation.bids:
        letter = letter_text(make_letter(appraisal, bid.id, Particulars("I. Vostrel")))
        assert not hidden_in(letter)
        assert f"\n\nTo {MARKUP}{MARK}" in letter
        # A line end in a name begins no line of the letter.
        assert not any(line.startswith("second") for line in letter.splitlines())


def test_the_terminal_shows_it_and_the_results_keep_it(
    appraisal: Appraisal, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "programme.evenbarrel.json"
    write_evaluation(appraisal.evaluation, path)
    assert main(["appraise", str(path)]) == 0
    printed = capfd.readouterr().out
    assert not hidden_in(printed)
    assert printed.count(MARK) > 20
    assert not any(line.startswith("second") for line in printed.splitlines())
    results = json.loads(to_json(results_of(appraisal, question_texts(appraisal))))
    assert results["evaluation"]["title"] == appraisal.evaluation.title
    assert HOSTILE in appraisal.evaluation.title


@pytest.mark.parametrize("command", [["report", "-o"], ["appraise", "--json"]])
def test_no_file_is_written_whose_name_hides_something(
    command: list[str], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "evaluation\u202efdp.pdf"
    assert main([command[0], "--sample", command[1], str(out)]) == 1
    said = capfd.readouterr().err
    assert "⟨U+202E⟩" in said
    assert "cannot be seen" in said
    assert not list(tmp_path.iterdir())
