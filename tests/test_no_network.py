"""A whole journey, without a window and at one, opens no socket and runs no text as code.

Without a window it loads no Qt either, and begins with the check of the program's parts.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from evenbarrel.commands.outcome import DONE
from evenbarrel.resources import read_sample

SAMPLE = "irrigation-parts.evenbarrel.json"

WATCH = """
import json, os, sys

seen = []

FORBIDDEN = ("socket.", "subprocess.", "os.system", "os.exec", "pickle.find_class")
TYPED = "__import__('os').getpid()"


def watch(event, arguments):
    # The name of this machine is no connection; it stands in the lock beside a file.
    if event.startswith(FORBIDDEN) and event != "socket.gethostname":
        seen.append(event)
    elif event == "exec":
        # Libraries make classes from text of their own, as dataclasses does.
        caller = sys._getframe(1).f_globals.get("__name__", "")
        if caller.startswith("evenbarrel"):
            seen.append(f"exec by {caller}")
    elif event == "compile" and TYPED in str(arguments[0]):
        seen.append("typed text compiled")


sys.addaudithook(watch)
"""
PLANTED = """
journey = list(seen)
import pickle, socket

socket.socket().close()
pickle.loads(b"cbuiltins\\nlen\\n.")
exec("eval('1 + 1')", {"__name__": "evenbarrel.planted"})
eval(TYPED)
print(json.dumps({"told": told, "journey": journey, "watched": seen}))
"""
COMMANDS = (
    "--self-check",
    "schema bid",
    "appraise --sample --json results.json",
    "report --sample -o evaluation.pdf",
    "report --sample -o evaluation.xlsx",
    "sheet mine.evenbarrel.json --blank -o sheet.xlsx",
    "take mine.evenbarrel.json offer.txt",
)
ON_PAPER = f"""
from evenbarrel.__main__ import main

os.chdir(sys.argv[1])
told = [main(words.split()) for words in {COMMANDS}]
told += [name for name in sys.modules if name.startswith(("PySide6", "pyqtgraph"))]
"""
AT_THE_DESK = """
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog

from evenbarrel.app import begin, build
from evenbarrel.desk.window.files.exports import EXPORTS

folder = Path(sys.argv[1])
names = iter(("mine.evenbarrel.json", "mine.pdf", "mine.xlsx"))
QFileDialog.getSaveFileName = staticmethod(lambda *_, **__: (str(folder / next(names)), ""))
application = QApplication([])
session, theme, window = build(application)
window.show()
begin(session, theme, window)
session.open_sample()
for page in range(5):
    window.go_to(page)
    application.processEvents()
window.go_to(0)
line = window.page.form.fields["cycle_time"].line
line.setFocus()
QTest.keyClick(line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
QTest.keyClicks(line, TYPED)
QTest.keyClick(line, Qt.Key.Key_Return)
QTest.keyClick(line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
QTest.keyClicks(line, "33.5")
QTest.keyClick(line, Qt.Key.Key_Return)
edited = session.is_modified
window.documents.save()
for export in EXPORTS[:2]:
    window.documents.export(export)
    window.documents.exporter.job._pool.waitForDone()
    application.processEvents()
session.open(folder / "mine.evenbarrel.json")
told = [edited, window.close(), *sorted(path.name for path in folder.glob("mine*"))]
"""


def journey(steps: str, folder: Path) -> tuple[list[object], list[str], str]:
    """Go on a journey in a process of its own; return what it told, was seen to do, and printed."""
    done = subprocess.run(
        [sys.executable, "-c", WATCH + steps + PLANTED, str(folder)],
        capture_output=True,
        check=True,
        env={
            **os.environ,
            "PYTHONPATH": str(Path(__file__).parents[1] / "src"),
            "XDG_CONFIG_HOME": str(folder / "home"),
            "XDG_STATE_HOME": str(folder / "home"),
        },
    )
    *printed, last = done.stdout.decode().splitlines()
    told = json.loads(last)
    # The watch itself sees what it watches for.
    watched = set(told["watched"])
    assert {"socket.__new__", "pickle.find_class", "typed text compiled"} <= watched
    assert "exec by evenbarrel.planted" in watched
    return told["told"], told["journey"], "\n".join(printed)


def test_a_journey_without_a_window_opens_no_socket_and_loads_no_qt(tmp_path: Path) -> None:
    (tmp_path / "mine.evenbarrel.json").write_bytes(read_sample(SAMPLE))
    (tmp_path / "offer.txt").write_text("Screw\nScrew diameter mm\t40", encoding="utf-8")
    told, seen, printed = journey(ON_PAPER, tmp_path)
    # Each is done; were a module of Qt loaded, it would stand behind.
    assert told == [DONE] * len(COMMANDS)
    assert seen == []
    assert "all parts found" in printed


def test_a_journey_at_the_desk_opens_no_socket_and_runs_no_text(tmp_path: Path) -> None:
    made = ["mine.evenbarrel.json", "mine.pdf", "mine.xlsx"]
    assert journey(AT_THE_DESK, tmp_path) == ([True, True, *made], [], "")
