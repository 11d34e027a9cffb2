"""Whatever is pasted: no exception, every number accounted for, nothing taken silently."""

from __future__ import annotations

from hypothesis import example, given
from hypothesis import strategies as st

from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.files import extract_file, extract_text
from evenbarrel.intake.listing import listing
from evenbarrel.intake.tables.pasted import grid_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.file_errors import FileRefused

LABELS = st.sampled_from(
    ["Screw diameter", "Hub [mm]", "Course", "Spritzdruck (bar)", "L/D", "Screw", "Injection unit",
     "Supplier", "Shot weight (PS) [g]", "Data", "Unit", "Remark", "Injection capacity", "Preis",
     "Heating power", "", "Strock", "Date", "Drive"]
)  # fmt: skip
CELLS = st.one_of(
    LABELS,
    st.sampled_from(["A", "B", "40", "45 mm", "172,5", "1,234", "240/260", "mm", "bar", "kW", "-",
                     "on request", "12.10.2026", "electric", "approx. 3", "1 5/8 in", "EUR"]),
    st.text(max_size=12),
    st.integers(0, 3000).map(str),
)  # fmt: skip
TABLES = st.builds(
    lambda rows, mark: "\n".join(mark.join(row) for row in rows),
    st.lists(st.lists(CELLS, min_size=1, max_size=6), min_size=1, max_size=8),
    st.sampled_from(["\t", ";", "|", "   ", ": ", " ", ","]),
)
PASTED = st.one_of(TABLES, TABLES, st.text(max_size=300))


@given(PASTED, st.sampled_from(["", "b2"]))
def test_any_paste_gives_a_extract_that_can_be_taken(
    sample_evaluation: Evaluation, text: str, bid: str
) -> None:
    extract = extract_text(sample_evaluation, text, bid)
    every = range(len(extract.lines))
    sure = take(sample_evaluation, extract, extract.sure_lines())
    # What stood stands, whoever pastes what: only gaps are filled.
    for line in extract.lines:
        if line.now not in (None, "", ()):
            assert line.outcome != "fills"
    assert sure.resins == sample_evaluation.resins
    assert sure.jobs == sample_evaluation.jobs
    assert take(sample_evaluation, extract, []) == sample_evaluation
    for index in every:
        take(sample_evaluation, extract, [index])
    assert listing(sample_evaluation, extract, "pasted").count("\n") == len(every) + 2


@given(TABLES)
@example("40\nScrew diameter\t0")
def test_every_number_of_a_paste_is_in_a_line(text: str) -> None:
    grid = grid_of(text)
    extract = extract_text(Evaluation(), text)
    listed = {line.place for line in extract.lines}
    # What begins with a digit may also be a numbered label: it stands in its lines. So does a
    # line of a label that takes several.
    repeated = {text for line in extract.lines for text in (line.text, line.label)}
    labels = [f" {line.label} " for line in extract.lines]
    for row in grid:
        for cell in row:
            in_label = any(f" {cell.text} " in label for label in labels)
            if cell.text[:1].isdigit() and cell.text not in repeated and not in_label:
                assert cell.place in listed


@given(st.binary(max_size=400))
def test_any_bytes_are_text_or_refused(data: bytes) -> None:
    refused = 0
    for name in ("a.txt", "a.xlsx", "a.bid.json"):
        try:
            extract_file(Evaluation(), name, data)
        except FileRefused:
            refused += 1
    # No such bytes are a workbook, or a bid.
    assert refused >= 2


def test_a_repeat_is_counted_once(no_bids: Evaluation) -> None:
    extract = extract_text(no_bids, "Screw\tA\tB\nStroke [mm]\t200\t200\nHeating power [kW]\t9\t9")
    assert len([line for line in extract.lines if line.field == "heating_power"]) == 1
