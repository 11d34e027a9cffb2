from __future__ import annotations

from pathlib import Path

import pytest

from evenbarrel.storage.recent import LONGEST, RecentFiles
from evenbarrel.storage.user_folders import config_folder, state_folder


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


def test_the_folders_follow_each_systems_custom(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "home", lambda: Path("/home/me"))
    assert config_folder({}, "linux") == Path("/home/me/.config/evenbarrel")
    assert state_folder({}, "linux") == Path("/home/me/.local/state/evenbarrel")
    xdg = {"XDG_CONFIG_HOME": "/c", "XDG_STATE_HOME": "/s"}
    assert config_folder(xdg, "linux") == Path("/c/evenbarrel")
    assert state_folder(xdg, "linux") == Path("/s/evenbarrel")
    # The XDG base directory specification, version 0.8: a relative path is to be ignored.
    assert config_folder({"XDG_CONFIG_HOME": "c"}, "linux") == Path("/home/me/.config/evenbarrel")
    windows = {"APPDATA": "/roaming", "LOCALAPPDATA": "/local"}
    assert config_folder(windows, "win32") == Path("/roaming/evenbarrel")
    assert state_folder(windows, "win32") == Path("/local/evenbarrel")
    support = Path("/home/me/Library/Application Support/evenbarrel")
    assert config_folder({}, "darwin") == state_folder({}, "darwin") == support


def test_without_a_home_the_folder_for_temporary_files_serves(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def homeless() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr(Path, "home", homeless)
    monkeypatch.setattr("tempfile.gettempdir", lambda: "/spare")
    assert config_folder({}, "linux") == Path("/spare/.config/evenbarrel")
