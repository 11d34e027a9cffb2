from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.autosave import Recovery
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


def age(path: Path, seconds: int) -> None:
    changed = path.stat().st_mtime_ns - seconds * 10**9
    os.utime(path, ns=(changed, changed))


def beside(document: Path) -> Path:
    return document.with_name(f".{document.name}.autosave")


def test_unsaved_work_is_offered_after_a_cut_and_gone_after_a_save(
    document: Path, state: Path
) -> None:
    Recovery(state).autosave(NEW, document)
    assert stat.S_IMODE(beside(document).stat().st_mode) == 0o600
    later = Recovery(state)
    assert later.offer(document) == NEW
    assert later.offer(document) == NEW
    write_evaluation(NEW, document)
    later.clear(document)
    assert later.offer(document) is None
    assert list(document.parent.iterdir()) == [document]
    later.clear(document)


def test_nothing_is_offered_where_nothing_was_lost(document: Path, state: Path) -> None:
    recovery = Recovery(state)
    assert recovery.offer(document) is None
    recovery.autosave(OLD, document)
    assert recovery.offer(document) is None
    recovery.autosave(NEW, document)
    age(beside(document), 60)
    assert recovery.offer(document) is None
    assert beside(document).exists()


def test_work_is_offered_where_the_file_is_gone_or_damaged(document: Path, state: Path) -> None:
    recovery = Recovery(state)
    recovery.autosave(NEW, document)
    document.write_bytes(b'{"format_version"')
    assert recovery.offer(document) == NEW
    document.unlink()
    assert recovery.offer(document) == NEW


def test_a_damaged_autosave_is_not_offered_and_not_thrown_away(document: Path, state: Path) -> None:
    beside(document).write_bytes(b"{")
    assert Recovery(state).offer(document) is None
    assert beside(document).read_bytes() == b"{"


def test_a_link_and_its_file_share_one_autosave(document: Path, state: Path) -> None:
    link = document.parent.parent / "link.json"
    link.symlink_to(document)
    Recovery(state).autosave(NEW, link)
    assert Recovery(state).offer(document) == NEW


def test_work_on_a_file_in_a_folder_that_cannot_be_written_is_kept_elsewhere(state: Path) -> None:
    document = state.parent / "gone" / "all.evenbarrel.json"
    Recovery(state).autosave(NEW, document)
    later = Recovery(state)
    assert later.offer(document) == NEW
    assert later.offer(document.with_name("other.evenbarrel.json")) is None
    later.clear(document)
    assert list(state.iterdir()) == []


def test_the_newer_of_two_places_is_offered(document: Path, state: Path) -> None:
    recovery = Recovery(state)
    folder = document.parent
    folder.rename(folder.with_name("away"))
    recovery.autosave(NEW, document)
    folder.with_name("away").rename(folder)
    recovery.autosave(NEWER, document)
    age(next(state.iterdir()), 60)
    assert recovery.offer(document) == NEWER
    recovery.clear(document)
    assert recovery.offer(document) is None


def test_untitled_work_of_another_window_is_offered_until_cleared(state: Path) -> None:
    first, second, later = Recovery(state), Recovery(state), Recovery(state)
    first.autosave(NEW)
    age(next(state.iterdir()), 60)
    second.autosave(NEWER)
    assert first.offer() == NEWER
    assert later.offer() == NEWER
    later.clear()
    assert later.offer() == NEW
    later.clear()
    assert later.offer() is None
    assert list(state.iterdir()) == []


def test_a_damaged_untitled_autosave_does_not_hide_another(state: Path) -> None:
    Recovery(state).autosave(NEW)
    damaged = state / "untitled-0000.autosave"
    damaged.write_bytes(b"")
    later = Recovery(state)
    assert later.offer() == NEW
    later.clear()
    assert list(state.iterdir()) == [damaged]


def test_work_that_can_be_kept_nowhere_is_said_to_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(FileRefused, match="could not be written"):
        Recovery(tmp_path / "file").autosave(NEW, tmp_path / "none" / "all.json")


def test_without_a_folder_the_persons_own_is_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("evenbarrel.storage.autosave.state_folder", lambda: tmp_path / "own")
    Recovery().autosave(NEW)
    assert Recovery().offer() == NEW
    assert [path.suffix for path in (tmp_path / "own").iterdir()] == [".autosave"]
