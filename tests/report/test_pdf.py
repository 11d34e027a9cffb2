"""The evaluation on paper: complete, the same every time, and not to be broken by any text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from ctypes import POINTER, c_ushort, cast, create_string_buffer
from datetime import date
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader
from pypdfium2 import PdfDocument, raw
from reportlab.platypus import PageBreak
from tests.printed import front_pages, page_texts

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.references import ClaimRef, CriterionRef
from evenbarrel.decision.decide import decide
from evenbarrel.decision.flips.choice import choices_of
from evenbarrel.decision.flips.numbers import numbers_of
from evenbarrel.decision.flips.search import Flip, Flips, GateFlip
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import JobOnBarrel, Proposal, SignOff
from evenbarrel.model.states.digest import SCHEME, digest
from evenbarrel.report.paper import appendix
from evenbarrel.report.paper.appendix import MOST_CRITERIA
from evenbarrel.report.paper.evidence.sections import Sections, headed
from evenbarrel.report.paper.evidence.suppliers import CLAIM_COLUMN
from evenbarrel.report.paper.pages import ROOM, Outlined, Pages
from evenbarrel.report.paper.tables import LOW, banded_table, grid_tables
from evenbarrel.report.paper.text import Writer
from evenbarrel.report.pdf import render_pdf
from evenbarrel.report.results_file import results_of
from evenbarrel.report.sign_offs import results_digest_of
from evenbarrel.wording.paper.appendix import working_notes, workings_of
from evenbarrel.wording.paper.first_pages import (
    BOARD,
    GATE_MEANS,
    SIGNATURES,
    STANDING,
)
from evenbarrel.wording.paper.leaders import (
    NOT_LOOKED_FOR,
    PROPOSED,
    leaders,
    marked_notes,
    offers_lines,
)
from evenbarrel.wording.paper.sections import SECTIONS
from evenbarrel.wording.sentences.asking.missing import is_missing, missing_table
from evenbarrel.wording.sentences.asking.questions import (
    doubt_text,
    question_text,
    question_texts,
)
from evenbarrel.wording.sentences.cells import fit_sentences
from evenbarrel.wording.sentences.claim_sentences import claim_sentence
from evenbarrel.wording.sentences.deciding.choice import money_text
from evenbarrel.wording.sheets.decision.cells import amount_text
from evenbarrel.wording.sheets.decision.proposal import proposal_head
from evenbarrel.wording.sheets.printed import printed_claims_sheet, with_short_names
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.sheets.summary import gate_groups, printed_gate_sheet
from evenbarrel.wording.standing_by.flips import flip_line, flips_parts
from evenbarrel.wording.standing_by.signatures import signed_lines
from evenbarrel.wording.words.names import barrel_name
from evenbarrel.wording.workings.working import working

Told = Callable[[bytes], str]
Grown = Callable[[int, int], Evaluation]


def _squeezed(words: str) -> str:
    """Return words without white space: a paragraph may break within a long word."""
    return "".join(words.split())


def _outline(entries: list[Any], depth: int = 0) -> list[tuple[int, str]]:
    found = []
    for entry in entries:
        if isinstance(entry, list):
            found += _outline(entry, depth + 1)
        else:
            found.append((depth, entry.title))
    return found


def test_it_names_every_supplier_barrel_job_and_resin(
    appraisal: Appraisal, pdf: bytes, told: Told
) -> None:
    text = told(pdf)
    for bid in appraisal.evaluation.bids:
        assert bid.supplier in text
    for job in appraisal.evaluation.jobs:
        assert job.name in text
    for barrel in appraisal.barrels:
        assert barrel.label in text
    for name in {job.resin for job in appraisal.evaluation.jobs}:
        resin = appraisal.evaluation.resin(name)
        assert resin is not None
        assert resin.name in text


def test_no_sentence_ends_in_two_full_stops(pdf: bytes, told: Told) -> None:
    # People end their reasons and answers with one of their own, or with none.
    assert ".." not in told(pdf)


def test_it_holds_every_failed_claim_and_every_question(
    appraisal: Appraisal, pdf: bytes, told: Told
) -> None:
    text = _squeezed(told(pdf))
    owners = (*appraisal.barrels, *appraisal.bids)
    failed = [c for o in owners for c in o.claims if c.state in ("query", "contradicts")]
    assert failed
    asked = {question.bid for question in appraisal.questions if is_missing(question)}
    own = {claim for bid in appraisal.bids if bid.id in asked for claim in bid.claims}
    for claim in failed:
        if claim.key == "completeness" and claim in own:
            # What an offer lacks stands a datum a row instead.
            continue
        assert _squeezed(claim_sentence(claim, "metric")) in text
    assert appraisal.questions
    for question in appraisal.questions:
        if is_missing(question):
            continue
        of_claim = question.claim is not None
        sentence = (doubt_text if of_claim else question_text)(question, appraisal)
        assert _squeezed(sentence) in text


def test_what_is_missing_stands_as_a_row_a_datum_and_not_as_a_sentence(
    appraisal: Appraisal, pdf: bytes, told: Told
) -> None:
    text = _squeezed(told(pdf))
    for bid in appraisal.evaluation.bids:
        asked = [question for question in appraisal.questions if question.bid == bid.id]
        for row in missing_table(appraisal, bid.id, asked).rows:
            gaps = sum(cell is None for cell in row.cells)
            assert gaps
            assert _squeezed(f"{row.label} {row.unit}") in text
    assert "Closingtravelofthecheckringmmnotstatednotstated" in text
    assert "Pleasestatethe" not in text


def test_every_page_says_which_of_how_many_and_under_which_digest(
    appraisal: Appraisal, pdf: bytes
) -> None:
    pages = page_texts(pdf)
    short = digest(appraisal.evaluation)[:12]
    for number, text in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in text
        assert f"Evenbarrel {__version__}, evaluation {short}" in text
    assert digest(appraisal.evaluation) in pages[0]


def test_each_barrel_has_its_claims_on_one_line(appraisal: Appraisal) -> None:
    sheet = with_short_names(printed_claims_sheet(appraisal))
    ((_, _, table),) = grid_tables(Writer(), sheet, 2, ROOM, *CLAIM_COLUMN)
    assert max(table.heights(ROOM)[1:]) < LOW


def test_the_sample_takes_two_pages_for_who_decides_and_few_of_evidence(pdf: bytes) -> None:
    pages = page_texts(pdf)
    assert len(pages) <= 20
    assert "1 Gate on fit, barrel by barrel" in pages[2]


def test_the_first_page_has_the_gates_of_the_results_file(appraisal: Appraisal, pdf: bytes) -> None:
    results = results_of(appraisal, question_texts(appraisal))
    counts = Counter(barrel.gate for barrel in results.barrels)
    first = page_texts(pdf)[0]
    for gate, words in GATE_MEANS.items():
        if gate is not None:
            assert f"{counts[gate]} {words}" in first
    assert "Never on one machine: job 2" in first
    assert "Open questions in all: 43 to suppliers, 5 to us." in first
    for bid in appraisal.evaluation.bids:
        assert bid.supplier in first
    told = [group for group in gate_groups(appraisal) if group.why in first]
    assert told == list(gate_groups(appraisal))[: len(told)]
    rest = gate_groups(appraisal)[len(told) :]
    barrels = sum(len(group.gates) for group in rest)
    assert len(told) >= 3
    assert f"{barrels} more barrels in {len(rest)} more groups: see section 1" in first


def test_the_first_page_has_the_proposal_its_cost_and_what_is_not_known_of_it_before(
    appraisal: Appraisal, pdf: bytes
) -> None:
    first, second = page_texts(pdf)[:2]
    decision = decide(appraisal)
    assert decision.proposal is not None
    for words in (proposal_head(decision), decision.proposal.proposal.reason, NOT_LOOKED_FOR):
        assert " ".join(words.split()) in first
    assert first.index(NOT_LOOKED_FOR) < first.index(PROPOSED)
    for leader in leaders(decision):
        for amount in (decision.price_of(leader.costs), leader.present, leader.yearly):
            assert " ".join(amount_text(amount).split()) in first
    # What is signed for may run out, and comes when it comes.
    (proposed,) = (bid for bid in appraisal.evaluation.bids if bid.reference == "BR-26-0417")
    assert f"BR-26-0417 of {proposed.date}: valid until {proposed.valid_until}; delivery" in first
    assert proposed.delivery in first
    results = results_digest_of(appraisal)
    for line in signed_lines(appraisal, results, 3):
        assert line in second
    assert "stale" in second
    assert "holds" in second


def test_before_a_proposal_the_best_set_and_who_leads_the_order_stand_on_the_first_page(
    sample_evaluation: Evaluation, unsigned: Callable[[Evaluation], Evaluation]
) -> None:
    decision = decide(appraise(unsigned(sample_evaluation)))
    best, *alone = leaders(decision)
    # One machine bought beside the plant's own costs less than two that are alike.
    assert [(cost.barrel, cost.copies) for cost in best.costs] == [("b3u1b", 1), ("b6u1a", 1)]
    assert best.present.counted < min(one.present.counted for one in alone)
    leading = [line for line in decision.order if line.rank == 1]
    assert [one.costs[0].barrel for one in alone] == [line.barrel for line in leading]
    # What both are stated to cost is further apart than what they are ranked by.
    _, why = marked_notes(decision)
    assert "share rank 1 of the order" in why
    for line in leading:
        assert money_text(decision, line.levelled) in why


def made_flips(appraisal: Appraisal) -> Flips:
    """As many flips as the sample has about, of its own numbers, the nearest first."""
    choices = choices_of(decide(appraisal))
    assert choices is not None
    barrels = [barrel for choice in choices for barrel in choice.barrels]
    shut = GateFlip(barrels[0], "no_objection", "shut", ())
    numbers = [one for one in numbers_of(appraisal.evaluation, barrels) if one.now]
    found = tuple(
        Flip(number, number.now * (1.0 + share / 200), number.now * (1.0 + share / 100), (shut,), o)
        for share, number in enumerate(numbers[:117], start=1)
        for o in [("second", "first") if share % 2 else None]
    )
    return Flips(choices, "second", found, len(numbers), len(numbers) - len(found))


def test_a_barrel_says_every_criterion_that_is_assessed_for_no_mould(pdf: bytes) -> None:
    text = " ".join(" ".join(page_texts(pdf)).split())
    _, _, said = text.partition("on request. Not assessed for any job: capacity")
    assert "screw geometry" in said.partition(".")[0]


def test_what_people_wrote_ends_with_one_full_stop(pdf: bytes) -> None:
    """Answers, remedies and terms bring a full stop along, or none."""
    text = "\n".join(page_texts(pdf))
    assert "reminder due on 2026-11-09." in text
    assert "To be settled in the order." in text
    assert ".." not in text


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"valid_until": date(2026, 10, 31)}, "valid until 2026-10-31, which has passed; delivery"),
        ({"valid_until": None}, "no validity stated; delivery"),
        ({"delivery": ""}, "valid until 2026-12-31; no delivery time stated."),
        ({"delivery": "in weeks " * 60}, "…"),
    ],
)
def test_the_offer_to_be_ordered_says_what_it_leaves_open(
    sample_evaluation: Evaluation, change: dict[str, Any], told: str
) -> None:
    first, *others = sample_evaluation.bids
    changed = sample_evaluation.replace(bids=(first.replace(**change), *others))
    (line,) = offers_lines(decide(appraise(changed)))
    assert line.startswith("Offer of Brastivel BR-26-0417 of 2026-10-05: ")
    assert told in line
    assert len(line) < 250


def test_flips_that_were_looked_for_stand_on_the_first_page_and_with_the_choice(
    appraisal: Appraisal,
) -> None:
    flips = made_flips(appraisal)
    pages = page_texts(render_pdf(appraisal, flips=flips))
    assert len(pages) <= 20
    assert NOT_LOOKED_FOR not in " ".join(pages)
    # Within what is not known, or nobody says of it, before what lies beyond; slips last.
    ordered = sorted(flips.flips, key=lambda flip: (flip.contradicts, flip.within is False))
    for place, flip in enumerate(ordered[:4]):
        line = flip_line(flip, flips, appraisal)
        assert (line in pages[0]) == (place < 3), line
    assert f"{len(flips.flips) - 3} more: section 2" in pages[0]
    for leader in leaders(decide(appraisal))[:2]:
        assert " ".join(amount_text(leader.present).split()) in pages[0]
    parts = [part for part in flips_parts(flips, appraisal) if part.flips]
    assert len(parts) > 1
    evidence = " ".join(pages[2:8])
    for part in parts:
        for line in (part.sentence, *part.flips):
            assert " ".join(line.split()) in evidence
    assert "1 Gate on fit, barrel by barrel" in pages[2]


def test_flips_are_told_where_no_price_is_stated_too(grown: Grown) -> None:
    appraisal = appraise(grown(2, 2))
    found = made_flips(appraisal)
    first, *evidence = page_texts(render_pdf(appraisal, flips=found))
    nearest = min(found.flips, key=lambda flip: (flip.within is False, abs(flip.change)))
    line = flip_line(nearest, found, appraisal)
    assert line[:60] in first
    assert line in " ".join(evidence)
    assert NOT_LOOKED_FOR in page_texts(render_pdf(appraisal))[0]


def test_no_title_stays_behind_at_the_end_of_a_page(appraisal: Appraisal) -> None:
    """However much stands before it: a section of lines pushes what follows down the page."""
    writer = Writer()
    told = Sections(appraisal, writer)
    for lines in range(25, 60, 3):
        filled = [writer.paragraph("line", "note") for _ in range(lines)]
        section = [*told.section("gate"), *told.sheet(printed_gate_sheet(appraisal), "Part")]
        out = BytesIO()
        Pages(out, writer, title="", author="", foot="").write(headed([*filled, *section]))
        pages = page_texts(out.getvalue())
        headed_by = next(page for page in pages if SECTIONS["gate"] in page)
        assert "Brastivel" in headed_by
        assert "Part" in headed_by


def test_the_second_page_has_every_barrel_mould_and_who_signs(
    appraisal: Appraisal, pdf: bytes
) -> None:
    second = page_texts(pdf)[1]
    for barrel in appraisal.barrels:
        assert barrel_name(appraisal, barrel.id) in second
    for job in appraisal.evaluation.jobs:
        assert job.name in second
    for signature in SIGNATURES:
        assert signature.role in second
        assert signature.statement in second


def test_every_verdict_that_decides_has_its_evidence(
    appraisal: Appraisal, pdf: bytes, told: Told
) -> None:
    text = _squeezed(told(pdf))
    for barrel in appraisal.barrels:
        shut = appraisal.gates.states[barrel.id] == "shut"
        for job in appraisal.jobs:
            fit = appraisal.fit(barrel.id, job.id)
            if fit.state == "inside" or (shut and fit.gate != "shut"):
                continue
            for sentence in fit_sentences(fit, "metric", alone=False, besides=False)[1:]:
                assert _squeezed(sentence) in text


def test_the_workings_stand_in_the_appendix_alone(few: Evaluation, pdf: bytes, told: Told) -> None:
    assert "Appendix" not in told(pdf)
    appraisal = appraise(few)
    text = _squeezed(told(render_pdf(appraisal, workings=True)))
    chapters = workings_of(appraisal, MOST_CRITERIA).chapters
    assert len(chapters) == 3 + len(appraisal.barrels)
    for chapter in chapters:
        for reference in chapter.references:
            shown = working(appraisal, reference)
            assert _squeezed(shown.title) in text
            assert _squeezed(shown.result) in text
            assert _squeezed(shown.formula) in text
            assert all(_squeezed(note) in text for note in working_notes(shown))
    # What every working of a kind says is said once.
    assert text.count(_squeezed("Meaning: required pressure as a share of the quoted")) == 1


def test_every_verdict_of_gates_and_claims_has_its_working(appraisal: Appraisal) -> None:
    found = workings_of(appraisal, MOST_CRITERIA)
    assert (found.left_out, found.claims_left_out) == (0, 0)
    held = {reference for chapter in found.chapters for reference in chapter.references}
    reasons = [
        CriterionRef(barrel.id, reason.job, reason.criterion)
        for barrel in appraisal.barrels
        for reason in appraisal.gate(barrel.id).reasons
        if reason.job and reason.criterion
    ]
    # Beside the gates every number that a cell is not inside by, however its barrel stands.
    crossed = [
        CriterionRef(barrel.id, job.id, one.key)
        for barrel in appraisal.barrels
        for job in appraisal.jobs
        for one in appraisal.fit(barrel.id, job.id).criteria
        if one.state in ("outside", "near_edge")
    ]
    claims = [
        ClaimRef(owner.id, claim.key)
        for owner in (*appraisal.barrels, *appraisal.bids)
        for claim in owner.claims
    ]
    assert min(len(reasons), len(crossed), len(claims)) > 50
    assert held.issuperset([*reasons, *crossed, *claims])


@pytest.mark.parametrize("many", [(1, 1), (60, 20)])
def test_the_first_pages_are_two_whatever_is_compared(grown: Grown, many: tuple[int, int]) -> None:
    pages = front_pages(appraise(grown(*many)))
    assert len(pages) == 2
    assert ("for all of them see section 5" in pages[1]) == (many[0] == 60)


def test_barrels_without_a_mould_or_a_resin_are_printed(evaluation: Evaluation, told: Told) -> None:
    alone = evaluation.replace(
        jobs=(), deviations=(), answers=(), proposal=None, acceptance=(), assignment=()
    )
    text = told(render_pdf(appraise(alone)))
    assert "No jobs are planned yet." in text
    assert "Mass of one full stroke" in text


def test_names_of_any_length_leave_the_first_pages_two(evaluation: Evaluation) -> None:
    name, unbroken = "Very long name " * 130, "x" * 1990
    bids = tuple(
        bid.replace(
            supplier=unbroken,
            units=tuple(unit.replace(designation=name[:1990]) for unit in bid.units),
        )
        for bid in evaluation.bids
    )
    jobs = tuple(job.replace(name=unbroken) for job in evaluation.jobs)
    long = evaluation.replace(title=name[:1990], buyer=unbroken, bids=bids, jobs=jobs)
    assert len(front_pages(appraise(long))) == 2


def test_an_extreme_proposal_leaves_the_first_pages_two_and_counts_what_has_no_room(
    evaluation: Evaluation,
) -> None:
    jobs = tuple(
        evaluation.jobs[n % 8].replace(id=f"j{n + 1}", name=f"{'Distributor housing ' * 7}{n + 1}")
        for n in range(30)
    )
    barrels = tuple(barrel.id for _, _, barrel in evaluation.barrels())[:12]
    given = tuple(JobOnBarrel(job=j.id, barrel=barrels[n % 12]) for n, j in enumerate(jobs))
    long = "Only if the air shots of every barrel are weighed again in the plant. " * 28
    proposal = Proposal(barrels=barrels, jobs=given, reason=long[:2000], person=long[:200])
    signed = SignOff(role="purchase", person=long[:200], conditions=long[:2000], digest="other")
    extreme = evaluation.replace(
        jobs=jobs,
        proposal=proposal,
        sign_offs=(signed,) * 6,
        deviations=(),
        answers=(),
        assignment=(),
        acceptance=(),
    )
    first, second = front_pages(appraise(extreme))
    assert "Unit 604 C, for 3 of 30 jobs and 9 more. Its gate: shut" in first
    assert "reason: section 2" in first or "Reason: Only if" in first
    assert "more groups: see section 1" in first
    assert "not a guarantee" in first
    assert "Jobs 28 to 30 have no column here: see section 5." in second
    assert "to 30 see section 3" in second
    assert "3 more, of which 3 are stale" in second
    assert "Name, date / Signature" in second


def test_it_says_that_it_is_a_screening_and_what_must_never_meet(pdf: bytes, told: Told) -> None:
    text = told(pdf)
    assert "a screening by calculation" in text
    assert "not a guarantee" in text
    assert "Never on one machine: Valve body, two cavities and Sprinkler gear set" in text
    assert "ISO 20430" in text


def test_accepted_deviations_are_printed_with_person_date_and_condition(
    evaluation: Evaluation, pdf: bytes, told: Told
) -> None:
    text = _squeezed(told(pdf))
    assert evaluation.deviations
    for deviation in evaluation.deviations:
        for words in (deviation.reason, deviation.condition, deviation.person):
            assert _squeezed(words) in text
        assert str(deviation.date) in text


@pytest.fixture(scope="module")
def signed(few: Evaluation) -> Evaluation:
    """A few offers under one signature, which is of what they are."""
    sign_off = SignOff(
        role="purchase",
        person="A. Buyer",
        date=date(2026, 11, 3),
        statement="Compared.",
        scheme=SCHEME,
        digest=digest(few),
    )
    return few.replace(sign_offs=(sign_off,))


@pytest.fixture(scope="module")
def strange(signed: Evaluation) -> bytes:
    """What was signed after changes: a title that hides much, a long reason, other units."""
    reason = "\n".join(f"line {number}" for number in range(300))
    changed = signed.replace(
        title="Plan\x00 \x1b[31mŁódź\u202e 中日 ½ Ø50",
        deviations=(signed.deviations[0].replace(reason=reason),),
        display_units="us",
    )
    return render_pdf(appraise(changed))


def test_a_recorded_signature_is_stale_once_the_evaluation_changed(
    signed: Evaluation, strange: bytes, told: Told
) -> None:
    assert "stale" not in told(render_pdf(appraise(signed)))
    text = told(strange)
    assert "A. Buyer" in text
    assert "stale" in text


def test_the_outline_has_both_first_pages_every_section_and_every_supplier(
    appraisal: Appraisal, pdf: bytes
) -> None:
    outline = _outline(PdfReader(BytesIO(pdf)).outline)
    tops = [title for depth, title in outline if depth == 0]
    assert tops[:3] == [PROPOSED, STANDING, BOARD]
    assert [title.split(" ", 1)[0] for title in tops[3:]] == [str(n) for n in range(1, 11)]
    below = {title for depth, title in outline if depth == 1}
    assert {bid.supplier for bid in appraisal.evaluation.bids} <= below


def test_outline_entries_lead_to_the_page_that_has_the_title(pdf: bytes) -> None:
    reader, texts = PdfReader(BytesIO(pdf)), page_texts(pdf)
    for entry in reader.outline:
        if not isinstance(entry, list):
            assert entry.title in texts[reader.get_destination_page_number(entry)]


def test_a_page_says_at_its_head_what_it_continues(appraisal: Appraisal) -> None:
    """However much stands before it: bands, suppliers and sections are told until they end."""
    writer = Writer()
    headings = (Heading("What"), Heading("Number"))
    rows = tuple((Cell(f"row {n}"), Cell(str(n))) for n in range(80))
    named = [(f"Name {n}", Sheet("any", f"Band {n}", headings, rows)) for n in range(2)]
    told = [*Sections(appraisal, writer).section("gate"), Outlined("s", "Supplier", 1)]
    out = BytesIO()
    closed = [PageBreak(), Outlined("end", "2 End", 0), writer.paragraph("the end")]
    told += [banded_table(writer, named, ROOM), *closed]
    Pages(out, writer, title="", author="", foot="").write(told)
    first, *pages, last = page_texts(out.getvalue())
    assert "(continued)" not in first + last
    name = "Name 0"
    assert len(pages) > 2
    for page in pages:
        told = f"1 {SECTIONS['gate']} · Supplier"
        begins = "What Number Band 1" in page
        continues = told if begins else f"{told} · {name}"
        assert f"{continues} (continued)" in page
        name = "Name 1" if "Band 1" in page else name


def test_every_font_in_use_is_embedded(pdf: bytes) -> None:
    seen: dict[str, Mapping[str, Any]] = {}
    for page in PdfReader(BytesIO(pdf)).pages:
        for font in page["/Resources"]["/Font"].values():
            found = font.get_object()
            seen[found["/BaseFont"]] = found
    used = {name: font for name, font in seen.items() if "DejaVu" in name}
    assert {name.partition("+")[2] for name in used} >= {"DejaVuSans", "DejaVuSans-Bold"}
    for font in used.values():
        descriptor = font["/FontDescriptor"].get_object()
        assert "/FontFile2" in descriptor


def test_no_text_is_set_in_a_font_that_is_not_embedded(pdf: bytes) -> None:
    with PdfDocument(pdf) as document:
        for page in document:
            lines = page.get_textpage()
            for one in page.get_objects([raw.FPDF_PAGEOBJ_TEXT], max_depth=5):
                text, name = create_string_buffer(400), create_string_buffer(100)
                raw.FPDFTextObj_GetText(one.raw, lines.raw, cast(text, POINTER(c_ushort)), 200)
                raw.FPDFFont_GetBaseFontName(raw.FPDFTextObj_GetFont(one.raw), name, 100)
                if text.raw.decode("utf-16-le").strip("\0 "):
                    assert b"DejaVu" in name.value


def test_equal_evaluations_give_equal_bytes(appraisal: Appraisal, pdf: bytes) -> None:
    assert render_pdf(appraise(appraisal.evaluation)) == pdf


def test_title_and_author_stand_in_the_file(evaluation: Evaluation, pdf: bytes) -> None:
    about = PdfReader(BytesIO(pdf)).metadata
    assert about is not None
    assert about.title == evaluation.title
    assert about.author == evaluation.buyer


def test_an_empty_evaluation_says_what_is_missing(told: Told) -> None:
    text = told(render_pdf(appraise(Evaluation())))
    assert "No jobs are planned yet." in text
    assert "No barrels are entered yet." in text
    assert "No offers are entered yet." in text
    assert "page 1 of" in text


def test_ten_barrels_and_twenty_jobs_split_the_grid_with_names_repeated(
    grown: Grown, told: Told
) -> None:
    text = told(render_pdf(appraise(grown(10, 20))))
    assert "of 20" in text
    assert "Jobs 1 to" in text
    for number in range(1, 21):
        assert f"Mould {number}" in text


def test_more_workings_than_there_is_room_for_are_counted(
    few: Evaluation, told: Told, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(appendix, "MOST_CRITERIA", 5)
    appraisal = appraise(few)
    left_out = workings_of(appraisal, 5).left_out
    assert left_out > 50
    text = told(render_pdf(appraisal, workings=True))
    assert f"{left_out} criteria left out" in text


HOSTILE = (
    "<b>bold",
    "</para><para>",
    '<img src="/etc/hostname"/>',
    '<a href="javascript:alert(1)">click</a>',
    "<font size=999>huge</font>",
    "&lt;script&gt; &amp; &#65;",
    "<seq/><onDraw name='x'/>",
)


def test_markup_is_printed_as_it_was_written(evaluation: Evaluation, told: Told) -> None:
    jobs = tuple(
        job.replace(name=words) for job, words in zip(evaluation.jobs, HOSTILE, strict=False)
    )
    bid = evaluation.bids[0]
    bids = tuple(
        bid.replace(id=f"b{n}", supplier=words, notes=words, reference=words, units=())
        for n, words in enumerate(HOSTILE)
    )
    everything = " ".join(HOSTILE)
    hostile = evaluation.replace(
        title=everything,
        buyer=everything,
        jobs=jobs,
        bids=bids,
        deviations=(),
        answers=(),
        proposal=None,
        acceptance=(),
    )
    data = render_pdf(appraise(hostile))
    text = _squeezed(told(data))
    for words in HOSTILE:
        assert text.count(_squeezed(words)) >= 4
    reader = PdfReader(BytesIO(data))
    assert not any(page.images for page in reader.pages)
    assert not any("/Annots" in page for page in reader.pages)


def test_what_hides_is_printed_as_a_mark_and_lacking_glyphs_are_shown_and_told(
    strange: bytes, told: Told
) -> None:
    text = told(strange)
    assert "Plan⟨U+0000⟩ ⟨U+001B⟩[31mŁódź⟨U+202E⟩ \ufffd\ufffd ½ Ø50" in text
    assert "U+4E2D, U+65E5" in text


def test_a_document_without_lacking_glyphs_has_no_note_of_them(pdf: bytes, told: Told) -> None:
    assert "not printed as they are" not in told(pdf)


def test_very_long_names_and_notes_do_not_break_it(few: Evaluation, told: Told) -> None:
    note = " ".join(f"word{number}" for number in range(2000))
    name, unbroken = "Very long name " * 40, "x" * 1200
    deviation = few.deviations[0].replace(reason=note, condition=unbroken)
    bid = few.bids[0].replace(supplier=name, notes=note)
    unit = bid.units[0].replace(designation=unbroken)
    bid = bid.replace(units=(unit, *bid.units[1:]))
    job = few.jobs[0].replace(name=name)
    long = few.replace(
        title=name,
        jobs=(job, *few.jobs[1:]),
        bids=(bid, *few.bids[1:]),
        deviations=(deviation,),
    )
    text = told(render_pdf(appraise(long)))
    assert text.count("word1999") == 2
    assert "word0 " in text


def test_a_heading_of_any_length_heads_its_table(
    evaluation: Evaluation, few: Evaluation, told: Told
) -> None:
    bid = evaluation.bid("b2")
    (unit,) = bid.units
    named = tuple(one.replace(label=one.label + "x" * 1990) for one in unit.barrels)
    bids = (bid.replace(units=(unit.replace(barrels=named),)), *few.bids)
    text = told(render_pdf(appraise(few.replace(bids=bids))))
    assert "Closing travel of the check ring" in text


def test_a_text_of_many_lines_keeps_its_lines(strange: bytes, told: Told) -> None:
    text = told(strange)
    assert "line 0 line 1" in text
    assert "line 299" in text


def test_us_units_are_printed_where_they_are_chosen(strange: bytes, told: Told) -> None:
    text = told(strange)
    assert "in³" in text.partition("with shots from 3.56 to ")[2][:12]
