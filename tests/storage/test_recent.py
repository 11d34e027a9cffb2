from __future__ import annotations

import sys
from pathlib import Path

import pytest

from evenbarrel.storage.personal.recent import LONGEST, RecentFiles
from evenbarrel.storage.personal.user_folders import config_folder, log_folder, state_folder


def test_the_newest_stands_first_once_and_ten_at_most(tmp_path: Path) -> None:
    recent = RecentFiles(tmp_path / "config")
    assert recent.paths() == ()
    paths = [tmp_path / f"{number}.json" for number in range(12)]
    for path in paths:
        recent.remember(path)
    recent.remember(paths[5])
    again = RecentFiles(tmp_path / "config").paths()
    assert len(again) == LONGEST == 10
    assert again[:3] == (paths[5], paths[11], paths[10])
    assert len(set(again)) == 10


def test_a_path_is_remembered_whole_and_forgotten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    recent = RecentFiles(tmp_path)
    recent.remember(Path("a.json"))
    assert recent.paths() == (tmp_path / "a.json",)
    recent.forget(Path("a.json"))
    assert recent.paths() == ()


@pytest.mark.parametrize("content", [b"", b"{", b"{}", b"7", b"\xff", b"[" * 200_000])
def test_an_unreadable_list_is_an_empty_one(content: bytes, tmp_path: Path) -> None:
    (tmp_path / "recent.json").write_bytes(content)
    recent = RecentFiles(tmp_path)
    assert recent.paths() == ()
    recent.remember(tmp_path / "a.json")
    assert recent.paths() == (tmp_path / "a.json",)


def test_what_is_no_path_is_left_out(tmp_path: Path) -> None:
    (tmp_path / "recent.json").write_text('[1, null, "", "/a.json"]', encoding="utf-8")
    assert RecentFiles(tmp_path).paths() == (Path("/a.json"),)


def test_a_list_that_cannot_be_written_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    recent = RecentFiles(tmp_path / "file" / "config")
    recent.remember(tmp_path / "a.json")
    assert recent.paths() == ()


def test_the_folders_are_the_persons_own_by_kind(monkeypatch: pytest.MonkeyPatch) -> None:
    for kind in ("CONFIG", "STATE"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", f"/{kind}")
    folders = (config_folder(), state_folder(), log_folder())
    assert all("evenbarrel" in str(folder) for folder in folders)
    if sys.platform.startswith("linux"):
        assert [str(f) for f in folders] == [
            "/CONFIG/evenbarrel",
            "/STATE/evenbarrel",
            "/STATE/evenbarrel/log",
        ]
