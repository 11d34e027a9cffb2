"""Unsaved work: kept by each window for itself, offered once its window lives no more."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Any

import pytest

from evenbarrel.model.datum_path import TypedText
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.atomic import atomic_write
from evenbarrel.storage.autosave import Autosave, KeptOpen, _open_beside
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import write_evaluation

OLD, NEW, NEWER = (Evaluation(title=title) for title in ("old", "new", "newer"))


@pytest.fixture
def document(tmp_path: Path) -> Path:
    path = tmp_path / "documents" / "all.evenbarrel.json"
    path.parent.mkdir()
    write_evaluation(OLD, path)
    return path


@pytest.fixture
def state(tmp_path: Path) -> Path:
    return tmp_path / "state"


def killed(window: Autosave) -> None:
    """End a window as a power cut does: the system drops its locks, its files stay."""
    assert window._lock is not None
    assert window._lock._descriptor is not None
    os.close(window._lock._descriptor)
    window._lock._descriptor = None
    window._lock, window._kept = None, None


def cut_off(state: Path, evaluation: Evaluation, document: Path | None = None) -> Path:
    """Keep an evaluation and end the window; return where it is kept."""
    window = Autosave(state)
    window.keep(evaluation, document)
    assert window._kept is not None
    place = window._kept
    killed(window)
    return place


def offered(state: Path, document: Path | None = None) -> list[Evaluation]:
    return [offer.evaluation for offer in Autosave(state).offers(document)]


def age(path: Path, seconds: int) -> None:
    changed = path.stat().st_mtime_ns - seconds * 10**9
    os.utime(path, ns=(changed, changed))


def test_work_that_was_cut_off_is_offered_until_it_is_thrown_away(
    document: Path, state: Path
) -> None:
    place = cut_off(state, NEW, document)
    assert stat.S_IMODE(place.stat().st_mode) == 0o600
    later = Autosave(state)
    for _ in range(2):
        (offer,) = later.offers(document)
        assert offer.evaluation == NEW
    later.throw_away(offer)
    assert later.offers(document) == ()
    assert list(state.iterdir()) == []


def test_an_offer_outlives_the_autosaves_and_saves_of_other_windows(
    document: Path, state: Path
) -> None:
    cut_off(state, NEW, document)
    other = Autosave(state)
    other.keep(NEWER, document)
    assert offered(state, document) == [NEW]
    write_evaluation(NEWER, document)
    other.clear()
    assert offered(state, document) == [NEW]


def test_what_a_living_window_keeps_is_offered_to_nobody(document: Path, state: Path) -> None:
    living = Autosave(state)
    for of in (document, None):
        living.keep(NEW, of)
        assert offered(state, of) == []
        assert living.offers(of) == ()


def test_two_windows_on_one_file_never_share_an_autosave(document: Path, state: Path) -> None:
    first, second = Autosave(state), Autosave(state)
    first.keep(NEW, document)
    second.keep(NEWER, document)
    second.clear()
    killed(first)
    assert offered(state, document) == [NEW]


@pytest.mark.parametrize("seconds", [-3600, 60, 10**6])
def test_contents_decide_and_no_time_of_a_file(document: Path, state: Path, seconds: int) -> None:
    age(cut_off(state, NEW, document), seconds)
    assert offered(state, document) == [NEW]


def test_what_equals_the_saved_file_is_no_loss(document: Path, state: Path) -> None:
    cut_off(state, OLD, document)
    assert offered(state, document) == []
    assert list(state.iterdir()) == []


def test_work_is_offered_where_the_file_is_gone_or_damaged(document: Path, state: Path) -> None:
    cut_off(state, NEW, document)
    document.write_bytes(b'{"format_version"')
    assert offered(state, document) == [NEW]
    document.unlink()
    assert offered(state, document) == [NEW]


def test_a_damaged_autosave_is_not_offered_and_not_thrown_away(document: Path, state: Path) -> None:
    place = cut_off(state, NEW, document)
    place.write_bytes(b"{")
    assert offered(state, document) == []
    assert place.read_bytes() == b"{"


def test_a_link_and_its_file_are_one_document(document: Path, state: Path) -> None:
    link = document.parent.parent / "link.json"
    link.symlink_to(document)
    cut_off(state, NEW, link)
    assert offered(state, document) == [NEW]


def test_work_is_kept_beside_the_document_where_the_persons_folder_takes_none(
    document: Path, tmp_path: Path
) -> None:
    state = tmp_path / "file"
    state.write_bytes(b"")
    place = cut_off(state, NEW, document)
    assert place.parent == document.parent
    assert offered(state, document) == [NEW]


def test_untitled_work_of_several_windows_is_offered_newest_first(state: Path) -> None:
    age(cut_off(state, NEW), 60)
    cut_off(state, NEWER)
    assert offered(state) == [NEWER, NEW]
    later = Autosave(state)
    later.throw_away(later.offers()[0])
    assert offered(state) == [NEW]


def test_a_window_that_moves_to_another_document_leaves_nothing_of_the_first(
    document: Path, state: Path
) -> None:
    window = Autosave(state)
    window.keep(NEW)
    window.keep(NEWER, document)
    killed(window)
    assert offered(state) == []
    assert offered(state, document) == [NEWER]


def test_work_that_can_be_kept_nowhere_is_said_to_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(FileRefused, match="could not be written"):
        Autosave(tmp_path / "file").keep(NEW, tmp_path / "none" / "all.json")


def test_without_a_folder_the_persons_own_is_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("evenbarrel.storage.autosave.state_folder", lambda: tmp_path / "own")
    window = Autosave()
    window.keep(NEW)
    assert {path.suffix for path in (tmp_path / "own").iterdir()} == {".autosave", ".lock"}


TYPED = (
    TypedText(("jobs", "j", "cavities"), "eight", table=True),
    TypedText(("title",), "Größe \u202e"),
    TypedText(("jobs", "j", "part_mass"), "12x", standing="measured"),
)
OPEN = KeptOpen(b"{}", b"a data sheet")


def test_what_is_too_large_to_be_kept_aside_is_told_and_the_work_is_kept(
    document: Path, state: Path
) -> None:
    window, large = Autosave(state), bytes(16 * 1024**2 + 1)
    window.keep(OLD, document, (), OPEN)
    with pytest.raises(FileRefused, match="16 MB"):
        window.keep(NEW, document, TYPED, KeptOpen(large))
    assert not list(state.glob("*.open"))
    # A file as large is not copied: it is read again where it is.
    window.keep(NEWER, document, TYPED, KeptOpen(b"{}", large))
    killed(window)
    (offer,) = Autosave(state).offers(document)
    assert (offer.evaluation, offer.left_open) == (NEWER, KeptOpen(b"{}"))


def test_what_was_typed_and_not_taken_is_offered_with_the_work(document: Path, state: Path) -> None:
    """And what was looked through; also where the evaluation itself is as it was saved."""
    window = Autosave(state)
    for open_now in (KeptOpen(b"1", b"sheet"), KeptOpen(b"2", b"another"), OPEN):
        window.keep(OLD, document, TYPED, open_now)
    killed(window)
    later = Autosave(state)
    (offer,) = later.offers(document)
    assert (offer.evaluation, offer.typed, offer.left_open) == (OLD, TYPED, OPEN)
    beside = [*state.glob("*.typed"), *state.glob("*.open"), *state.glob("*.sent")]
    assert [stat.S_IMODE(one.stat().st_mode) for one in beside] == 3 * [0o600]
    later.throw_away(offer)
    assert list(state.iterdir()) == []


def test_what_was_read_never_stands_beside_another_file(
    document: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cut off at any write, what is offered is as it was before or as it is by then."""
    window, other = Autosave(state), KeptOpen(b"2", b"another")
    written: list[KeptOpen | None] = []

    def write(place: Path, *more: Any) -> None:
        atomic_write(place, *more)
        written.append(_open_beside(place.with_suffix(".autosave")))

    window.keep(NEW, document, (), OPEN)
    monkeypatch.setattr("evenbarrel.storage.autosave.atomic_write", write)
    window.keep(NEW, document, (), other)
    assert written[-1] == other
    assert set(written) <= {OPEN, None, other}


def test_what_is_taken_or_given_up_leaves_no_list(document: Path, state: Path) -> None:
    window = Autosave(state)
    window.keep(NEW, document, TYPED, OPEN)
    window.keep(NEW, document)
    assert {one.suffix for one in state.iterdir()} == {".autosave", ".lock"}
    window.keep(NEW, document, TYPED, OPEN)
    window.clear()
    assert list(state.iterdir()) == []


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"[",
        b"\xff\xfe",
        b"{}",
        b"7",
        b'[7, [], [[], "a", true], ["title", "a", true], [["title"], 7, false]]',
        b'[[["title"], "a"], [["title"], "a", 1], [[7], "a", true], [["title"], "\\ud800", false]]',
        b'[[["title"], "a", true, "hearsay"], [["title"], "a", true, null, 7]]',
        b"[" * 100_000,
    ],
)
def test_a_damaged_list_leaves_the_work_as_it_is(
    document: Path, state: Path, content: bytes
) -> None:
    place = cut_off(state, NEW, document)
    place.with_suffix(".typed").write_bytes(content)
    (offer,) = Autosave(state).offers(document)
    assert (offer.evaluation, offer.typed) == (NEW, ())
