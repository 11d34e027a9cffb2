"""Two programs at one file, kills in the middle, full and read-only disks: nothing is lost."""

from __future__ import annotations

import errno
import json
import os
import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from multiprocessing import get_context
from pathlib import Path

import pytest

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.autosave import Autosave
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.file_names import with_ending
from evenbarrel.storage.files import (
    fingerprint,
    open_evaluation,
    read_evaluation,
    write_evaluation,
)
from evenbarrel.storage.lock import Lock, beside

KILLS = int(os.environ.get("EVENBARREL_KILLS", "20"))
"""EVENBARREL_KILLS=400 before the command kills more often than the suite does."""

SOURCE = str(Path(__file__).parents[2] / "src")


def evaluation(number: int) -> Evaluation:
    return Evaluation(title=f"generation {number}", buyer="x" * 20_0)


def test_a_lock_says_who_holds_it_where_and_since_when(tmp_path: Path) -> None:
    path = beside(tmp_path / "press.evenbarrel.json")
    first, second = Lock(path), Lock(path)
    assert first.acquire() is None
    holder = second.acquire()
    assert holder is not None
    assert holder.machine
    assert holder.since.startswith("20")
    first.release()
    assert second.acquire() is None
    second.release()
    assert not path.exists()


def test_who_was_taken_over_leaves_the_lock_to_who_took_it(tmp_path: Path) -> None:
    first, second = Lock(tmp_path / "l"), Lock(tmp_path / "l")
    first.acquire()
    assert second.acquire(take_over=True) is None
    first.release()
    assert (tmp_path / "l").exists()
    second.release()


def test_what_another_machine_holds_is_taken_in_words_alone(tmp_path: Path) -> None:
    path = tmp_path / "l"
    words = {"person": "ann", "machine": "elsewhere.example", "since": "2026-03-02T08:00:00"}
    path.write_text(json.dumps(words), encoding="utf-8")
    holder = Lock(path).acquire()
    assert holder is not None
    assert (holder.person, holder.machine) == ("ann", "elsewhere.example")
    assert Lock(path).acquire(take_over=True) is None


def test_a_lock_ends_with_the_program_that_held_it(tmp_path: Path) -> None:
    code = (
        "import os, sys; from pathlib import Path; from evenbarrel.storage.lock import Lock\n"
        "lock = Lock(Path(sys.argv[1])); assert lock.acquire() is None; os._exit(9)\n"
    )
    subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "l")],
        env={**os.environ, "PYTHONPATH": SOURCE},
        check=False,
    )
    assert (tmp_path / "l").exists()
    assert Lock(tmp_path / "l").acquire() is None


def test_another_writer_is_found_by_content_whatever_its_time(tmp_path: Path) -> None:
    path = tmp_path / "a.evenbarrel.json"
    write_evaluation(evaluation(1), path)
    _, opened = open_evaluation(path)
    kept = path.stat()
    write_evaluation(evaluation(2), path)
    os.utime(path, ns=(kept.st_atime_ns, kept.st_mtime_ns))
    assert fingerprint(path) != opened
    assert write_evaluation(evaluation(1), path) == opened


def test_the_version_before_is_kept_beside(tmp_path: Path) -> None:
    path = tmp_path / "a.evenbarrel.json"
    for number in (1, 2, 3):
        write_evaluation(evaluation(number), path)
    assert read_evaluation(path.with_name(path.name + ".bak")) == evaluation(2)
    assert {p.name for p in tmp_path.iterdir()} == {path.name, f"{path.name}.bak"}


def _write_for_ever(folder: str) -> None:
    path, window = Path(folder) / "a.evenbarrel.json", Autosave(Path(folder) / "state")
    number = 0
    while True:
        number += 1
        window.keep(evaluation(number), path)
        write_evaluation(evaluation(number), path)


def test_a_kill_at_any_moment_leaves_a_whole_file_and_whole_unsaved_work(tmp_path: Path) -> None:
    path, chance = tmp_path / "a.evenbarrel.json", random.Random(6)
    write_evaluation(evaluation(0), path)
    context, newest = get_context("fork"), 0
    for _ in range(KILLS):
        child = context.Process(target=_write_for_ever, args=(str(tmp_path),))
        child.start()
        assert child.pid is not None
        child.join(timeout=0.01 + 0.09 * chance.random())
        os.kill(child.pid, signal.SIGKILL)
        child.join()
        saved = int(read_evaluation(path).title.split()[1])
        kept = [
            int(offer.evaluation.title.split()[1])
            for offer in Autosave(tmp_path / "state").offers(path)
        ]
        assert all(number >= 0 for number in (saved, *kept))
        newest = max(newest, saved, *kept)
    assert newest > 0


def test_where_the_disk_knows_no_locks_nobody_holds_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unknown(*_: object) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr("fcntl.flock", unknown)
    lock = Lock(tmp_path / "l")
    with pytest.raises(OSError, match=os.strerror(errno.ENOLCK)):
        lock.acquire()
    assert not lock.is_held
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def read_only_disk(tmp_path: Path) -> Iterator[Path]:
    """A folder with one evaluation on a disk mounted read-only, where this machine lets us mount.

    Elsewhere a folder without the right to write stands for it.
    """
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(disk)]
    mounted = subprocess.run(mount, check=False, capture_output=True).returncode == 0
    write_evaluation(evaluation(1), disk / "a.evenbarrel.json")
    if mounted:
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
    else:
        disk.chmod(0o555)
    yield disk
    if mounted:
        subprocess.run(["umount", str(disk)], check=True)
    else:
        disk.chmod(0o755)


def test_on_a_read_only_disk_work_is_kept_elsewhere_and_nobody_holds_a_lock(
    read_only_disk: Path, tmp_path: Path
) -> None:
    path, window = read_only_disk / "a.evenbarrel.json", Autosave(tmp_path / "state")
    with pytest.raises(FileRefused, match="it is read-only"):
        write_evaluation(evaluation(2), path)
    assert read_evaluation(path) == evaluation(1)
    with pytest.raises(OSError, match=r"Read-only|Permission"):
        Lock(beside(path)).acquire()
    window.keep(evaluation(2), path)
    assert len(list((tmp_path / "state").glob("*.autosave"))) == 1
    window.clear()


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real file system of 256 KB where this machine lets us mount one, else a stand-in."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(disk)],
        check=False,
        capture_output=True,
    )
    if mounted.returncode != 0:
        # Without the right to mount, a name that is too long for a file stands for a disk that
        # takes none: the write fails at its first step.
        yield disk / ("x" * 300)
        return
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def _fill(path: Path) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT)
    # The disk takes a part of it, and then nothing more.
    os.write(descriptor, b"x" * 2**20)
    with pytest.raises(OSError, match=os.strerror(errno.ENOSPC)):
        os.write(descriptor, b"x" * 4096)
    os.close(descriptor)


def test_a_full_disk_keeps_the_old_file_and_says_so(small_disk: Path) -> None:
    path = small_disk / "a.evenbarrel.json"
    if small_disk.exists():
        write_evaluation(evaluation(1), path)
        _fill(small_disk / "filler")
    with pytest.raises(FileRefused, match="could not be written"):
        write_evaluation(evaluation(2), path)
    if small_disk.exists():
        assert read_evaluation(path) == evaluation(1)
        assert not list(small_disk.glob(".evenbarrel-*.tmp"))


def test_what_killed_writes_left_is_swept_after_a_day(tmp_path: Path) -> None:
    old, fresh = tmp_path / ".evenbarrel-00.tmp", tmp_path / ".evenbarrel-11.tmp"
    for path in (old, fresh):
        path.write_bytes(b"half")
    day_before = old.stat().st_mtime - 2 * 24 * 3600
    os.utime(old, (day_before, day_before))
    Autosave(tmp_path).offers()
    assert not old.exists()
    assert fresh.exists()


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("press", "press.evenbarrel.json"),
        ("press.v2", "press.v2.evenbarrel.json"),
        ("press.json", "press.json"),
        ("press.evenbarrel.json", "press.evenbarrel.json"),
        ("PRESS.EVENBARREL.JSON", "PRESS.EVENBARREL.JSON"),
    ],
)
def test_what_is_asked_about_is_what_is_written(typed: str, written: str) -> None:
    assert with_ending(Path("/a") / typed, ".evenbarrel.json") == Path("/a") / written


@pytest.mark.parametrize("hidden", ["\u202e", "\u200b", "\x1b", "\u2066", "\ud800"])
def test_a_name_hides_no_character(hidden: str) -> None:
    with pytest.raises(FileRefused, match="cannot be seen"):
        with_ending(Path(f"press{hidden}gpj"), ".evenbarrel.json")


@pytest.mark.parametrize("kind", ["pipe", "folder"])
def test_what_is_no_file_is_called_what_it_is(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "thing"
    path.mkdir() if kind == "folder" else os.mkfifo(path)
    with pytest.raises(FileRefused, match=f"it is a {kind}"):
        read_evaluation(path)
