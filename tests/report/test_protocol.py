"""The acceptance protocol: what is carried to the machine."""

from __future__ import annotations

import pytest
from tests.printed import page_texts

from evenbarrel.report.protocol import render_protocol


def _text(pdf: bytes) -> str:
    return " ".join(page_texts(pdf))


def test_the_protocol_tells_cautions_first_then_how_to_measure_and_what_was_weighed(
    sample_appraisal,
) -> None:
    text = _text(render_protocol(sample_appraisal, "b6u1a"))
    assert text.index("ISO 20430") < text.index("at least 10 air shots")
    assert "trained people only" in text
    assert "reject" in text
    assert "To be guaranteed" not in text


def test_a_machine_to_buy_has_its_guarantees_in_it_and_equal_data_give_equal_bytes(
    sample_appraisal,
) -> None:
    pdf = render_protocol(sample_appraisal, "b1u1b")
    assert pdf == render_protocol(sample_appraisal, "b1u1b")
    text = _text(pdf)
    assert "To be guaranteed" in text
    assert "at least 24.0 g/s" in text
    # The supplier signs it too: our jobs, and what room they leave, are not its business.
    assert "Dripper" not in text
    assert "Room to the edge" not in text
    for written in ("Melt temperature", "Witnessed for the supplier"):
        assert written in text
    with pytest.raises(KeyError):
        render_protocol(sample_appraisal, "nobody")
