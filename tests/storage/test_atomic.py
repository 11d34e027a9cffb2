from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

import pytest

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.atomic import atomic_write, keep_apart
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import read_evaluation, write_evaluation


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.mark.parametrize("call", ["fsync", "replace", "fdopen", "chmod"])
def test_a_failed_write_leaves_the_old_file_and_nothing_else(
    call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "all.evenbarrel.json"
    write_evaluation(Evaluation(title="old"), path)
    before = path.read_bytes()

    def fail(*arguments: object, **_: object) -> None:
        if call == "fdopen":
            os.close(int(str(arguments[0])))
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, call, fail)
        with pytest.raises(FileRefused) as refused:
            write_evaluation(Evaluation(title="new"), path)
    assert str(refused.value) == (
        "all.evenbarrel.json: it could not be written: there is no space left on the disk"
    )
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_an_interrupted_write_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"old")

    def interrupt(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        atomic_write(path, b"new")
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_the_data_is_on_the_disk_before_it_takes_the_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"old")
    seen: list[bytes] = []
    sync = os.fsync

    def watch(descriptor: int) -> None:
        seen.append(path.read_bytes())
        sync(descriptor)

    monkeypatch.setattr(os, "fsync", watch)
    atomic_write(path, b"new")
    # First the file, still under another name, then the folder that now holds it.
    assert seen == [b"old", b"new"]


def test_a_folder_that_cannot_be_synced_is_no_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sync = os.fsync

    def refuse_folders(descriptor: int) -> None:
        if stat.S_ISDIR(os.fstat(descriptor).st_mode):
            raise OSError(errno.EINVAL, "Invalid argument")
        sync(descriptor)

    monkeypatch.setattr(os, "fsync", refuse_folders)
    atomic_write(tmp_path / "file", b"new")
    assert (tmp_path / "file").read_bytes() == b"new"


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    target = tmp_path / "kept" / "target.json"
    target.parent.mkdir()
    target.write_bytes(b"old")
    link = tmp_path / "link.json"
    link.symlink_to(target)
    atomic_write(link, b"new")
    assert link.is_symlink()
    assert target.read_bytes() == b"new"


def test_a_link_to_nothing_yet_makes_its_target(tmp_path: Path) -> None:
    link = tmp_path / "link.json"
    link.symlink_to(tmp_path / "target.json")
    atomic_write(link, b"new")
    assert link.is_symlink()
    assert (tmp_path / "target.json").read_bytes() == b"new"


@pytest.mark.parametrize("kept", [0o600, 0o640, 0o664])
def test_the_permissions_of_an_old_file_are_kept(kept: int, tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"old")
    path.chmod(kept)
    atomic_write(path, b"new", mode=0o666)
    assert mode(path) == kept


@pytest.mark.parametrize("umask", [0o022, 0o077])
def test_a_new_file_gets_what_the_umask_leaves_or_the_mode_asked_for(
    umask: int, tmp_path: Path
) -> None:
    before = os.umask(umask)
    try:
        atomic_write(tmp_path / "new", b"")
        atomic_write(tmp_path / "private", b"", mode=0o600)
    finally:
        os.umask(before)
    assert mode(tmp_path / "new") == 0o666 & ~umask
    assert mode(tmp_path / "private") == 0o600


def test_a_file_set_read_only_is_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"old")
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(FileRefused, match="file: it could not be written: it is read-only"):
        atomic_write(path, b"new")
    assert path.read_bytes() == b"old"


def test_only_a_file_is_written(tmp_path: Path) -> None:
    with pytest.raises(FileRefused, match="it is a folder, not a file"):
        atomic_write(tmp_path, b"")
    with pytest.raises(FileRefused, match="there is no such file or folder"):
        atomic_write(tmp_path / "none" / "file", b"")
    with pytest.raises(FileRefused, match="no file name can have"):
        atomic_write(tmp_path / "a\0b", b"")
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(FileRefused, match="it is a pipe, not a file"):
        atomic_write(pipe, b"")
    with pytest.raises(FileRefused, match="it is a pipe, not a file"):
        read_evaluation(pipe)


def test_an_output_stays_apart_from_the_evaluation_it_is_made_from(tmp_path: Path) -> None:
    path, link = tmp_path / "all.evenbarrel.json", tmp_path / "results.json"
    write_evaluation(Evaluation(), path)
    link.symlink_to(path)
    for output in (path, link):
        with pytest.raises(FileRefused, match="it holds the evaluation itself"):
            keep_apart(output, path)
    keep_apart(tmp_path / "none.json", path)
    keep_apart(path, None)
