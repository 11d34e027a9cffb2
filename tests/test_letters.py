"""Letters: nothing of others leaks, whatever the programme; and the command that writes them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from pypdfium2 import PdfDocument

from evenbarrel.__main__ import main
from evenbarrel.appraisal.appraise import appraise
from evenbarrel.commands.outcome import DONE, REFUSED, WRONG_USE
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.letter import render_letter
from evenbarrel.resources import read_sample
from evenbarrel.wording.sentences.asking.letters import (
    Particulars,
    letter_questions,
    letter_text,
    make_letter,
)
from evenbarrel.wording.sentences.asking.missing import is_missing

SAMPLE = "irrigation-parts.evenbarrel.json"


def told(data: bytes) -> str:
    """Return the text of a PDF with every white space taken out: words may be broken anywhere."""
    with PdfDocument(data) as document:
        text = "".join(page.get_textpage().get_text_bounded() for page in document)
    return "".join(text.split())


def money_in(thing: Any) -> Iterator[dict[str, Any]]:
    """Yield every amount of money below a bid."""
    if isinstance(thing, dict):
        if {"amount", "currency"} <= set(thing):
            yield thing
        for part in thing.values():
            yield from money_in(part)
    elif isinstance(thing, list):
        for part in thing:
            yield from money_in(part)


def marked(evaluation: Evaluation) -> Evaluation:
    """Return the programme with a word of its own in every name, remark and price."""
    data = evaluation.model_dump(mode="json", by_alias=True)
    data["title"] = "Xtitle"
    for job in data["jobs"]:
        job["name"] = f"Xmould{job['id']}"
    for number, bid in enumerate(data["bids"]):
        bid |= {"supplier": f"Xoffer{number}s", "reference": f"Xoffer{number}r"}
        bid["notes"] = "Xnote"
        for money in money_in(bid):
            money["amount"] = "7351937.11"
        for unit in bid["units"]:
            unit["designation"] = f"Xoffer{number}u"
            for barrel in unit["barrels"]:
                barrel["label"] = f"Xoffer{number}b"
    return Evaluation.model_validate_json(json.dumps(data))


def check_letters(drawn: Evaluation, only_new: bool) -> None:
    """Hold the letters of any programme, as they are drawn: nothing of others, price or mould."""
    appraisal = appraise(marked(drawn))
    for number, bid in enumerate(appraisal.evaluation.bids):
        letter = make_letter(
            appraisal, bid.id, Particulars("Xperson", date(2026, 11, 2), None, only_new)
        )
        for text in (letter_text(letter), told(render_letter(letter))):
            assert f"Xoffer{number}s" in text
            for secret in ("Xtitle", "Xmould", "Xnote", "7351937"):
                assert secret not in text
            assert not [n for n in range(5) if n != number and f"Xoffer{n}" in text]


def test_every_open_question_of_the_sample_is_in_its_letter_once() -> None:
    appraisal = appraise(Evaluation.model_validate_json(read_sample(SAMPLE)))
    for bid in (offer.id for offer in appraisal.evaluation.suppliers_bids):
        letter = make_letter(appraisal, bid, Particulars())
        asked = letter_questions(appraisal, bid)
        in_table = [row.question for row in letter.table.rows]
        assert len(in_table) == len(set(in_table))
        sentences = [line for line in letter.words.split("\n\n") if line[:1].isdigit()]
        in_words = [question for question in asked if not is_missing(question)]
        assert {question.id for question in asked if question.claim} <= {q.id for q in in_words}
        assert len(sentences) == len(in_words)
        assert {question.id for question in asked} <= {q.id for q in in_words} | set(in_table)
        assert "Please state" not in letter_text(letter)


def test_a_letter_holds_no_term_that_is_ours_alone() -> None:
    appraisal = appraise(Evaluation.model_validate_json(read_sample(SAMPLE)))
    ours = (
        *(
            "position scatter",
            "melt inventory",
            "plasticising speed",
            "barrel package",
            "criterion",
        ),
        *(
            "ring travel share",
            "gate",
            "reading",
            "misprint",
            "near edge",
            "claim",
            "window",
            "job",
        ),
    )
    for bid in (offer.id for offer in appraisal.evaluation.suppliers_bids):
        text = letter_text(make_letter(appraisal, bid, Particulars())).lower()
        assert not [term for term in ours if term in text]


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    path = tmp_path / "programme.evenbarrel.json"
    path.write_bytes(read_sample(SAMPLE))
    return path


@pytest.mark.parametrize("ending", [".txt", ".pdf"])
def test_a_letter_is_written_without_a_window(sample: Path, ending: str) -> None:
    out = sample.with_name(f"letter{ending}")
    before = sample.read_bytes()
    words = ["--person", "I. Vostrel", "--date", "2026-11-02", "--by", "2026-11-16"]
    assert main(["letter", str(sample), "--bid", "b5", "-o", str(out), *words]) == DONE
    data = out.read_bytes()
    text = "".join(data.decode("utf-8").split()) if ending == ".txt" else told(data)
    for part in ("Yarvindel", "2November2026", "Pleaseanswerby16November2026", "I.Vostrel"):
        assert part in text
    assert "Yarvindel" in text
    assert "1001cm³quoted,735.1cm³fromdiameterandstroke" in text
    assert "Kindofcheckring" in text
    assert sample.read_bytes() == before


def test_the_letter_is_dated_as_the_evaluation_unless_told(sample: Path) -> None:
    out = sample.with_name("letter.txt")
    assert main(["letter", str(sample), "--bid", "b5", "-o", str(out)]) == DONE
    text = out.read_text("utf-8")
    assert "2 November 2026" in text
    # One form of dates in one letter, the dates of its questions among them.
    assert "Your offer was valid until 15 October 2026" in text
    assert re.search(r"\d{4}-\d\d-\d\d", text) is None


@pytest.mark.parametrize(
    ("bid", "said"),
    [
        ("b9", "--bid: b9: there is no such offer"),
        ("b6", "--bid: b6: there is nobody to write to"),
    ],
)
def test_a_bid_that_nobody_can_be_asked_about_is_refused(
    sample: Path, capfd: pytest.CaptureFixture[str], bid: str, said: str
) -> None:
    out = sample.with_name("letter.pdf")
    assert main(["letter", str(sample), "--bid", bid, "-o", str(out)]) == REFUSED
    assert said in capfd.readouterr().err
    assert not out.exists()


def test_a_letter_of_another_kind_or_day_is_wrong_use(sample: Path) -> None:
    command = ["letter", str(sample), "--bid", "b5", "-o"]
    assert main([*command, "letter.docx"]) == WRONG_USE
    assert main([*command, "letter.pdf", "--date", "2.11.2026"]) == WRONG_USE


def test_no_answer_is_wanted_before_the_letter_is_written(
    sample: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    out = sample.with_name("letter.txt")
    command = ["letter", str(sample), "--bid", "b5", "-o", str(out), "--date", "2026-11-10"]
    assert main([*command, "--by", "2026-11-09"]) == REFUSED
    assert "--by: 2026-11-09: the letter is of 2026-11-10, which is later" in capfd.readouterr().err
    assert not out.exists()
