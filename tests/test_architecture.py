"""What must hold of the code itself: what loads when, and where things may stand."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[1] / "src" / "evenbarrel"
MODULES = sorted(SOURCE.rglob("*.py"))
LONGEST_MODULE, LONGEST_FUNCTION = 400, 40


def named(path: Path) -> str:
    return str(path.relative_to(SOURCE))


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_modules_and_functions_stay_short(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= LONGEST_MODULE
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            body = [part for part in node.body if not _is_docstring(part)]
            if body:
                lines = (body[-1].end_lineno or 0) - body[0].lineno + 1
                assert lines <= LONGEST_FUNCTION, f"{node.name} has {lines} lines"


def _is_docstring(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_public_things_say_what_they_are(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), "the module has no docstring"
    for node in tree.body:
        public = isinstance(node, ast.FunctionDef | ast.ClassDef) and node.name[0] != "_"
        assert not public or ast.get_docstring(node), f"{node.name} has no docstring"


def test_pint_stands_in_one_room() -> None:
    rooms = [
        named(path)
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if (isinstance(node, ast.Import) and any(a.name == "pint" for a in node.names))
        or (isinstance(node, ast.ImportFrom) and node.module == "pint")
    ]
    assert set(rooms) == {"units.py"}


def test_a_copy_is_always_validated() -> None:
    for path in MODULES:
        text = path.read_text(encoding="utf-8")
        assert "model_copy(" not in text, path
        assert "model_construct(" not in text, path


def test_twenty_thousand_void_qt_calls_end_well() -> None:
    """A Qt binding that loses references to None aborts within some thousand of them."""
    code = (
        "from PySide6.QtCore import QObject\n"
        "thing = QObject()\n"
        "for _ in range(20000): thing.setObjectName('x')\n"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


DOOR = "desk/style/plain.py"
MAKERS = {
    "QLabel",
    "QMessageBox",
    "QTreeWidgetItem",
    "QListWidgetItem",
    "QComboBox",
    "QInputDialog",
}
"""Makers of what shows words; a base of its own kind may stand where it is named below."""
OWN_KINDS = {"desk/fields/base.py": {"QComboBox"}}
SETTERS = {
    *("setToolTip", "setStatusTip", "setWhatsThis", "setWindowTitle", "showMessage", "showText"),
    *("setInformativeText", "setDetailedText", "setTextFormat", "setHtml", "drawText", "clipboard"),
}
OWN_MARKUP = {"desk/drawers/working.py": {"setHtml"}}
"""Where words stand in markup of our own, each through `markup`."""


@pytest.mark.parametrize("path", [p for p in MODULES if named(p).startswith("desk/")], ids=named)
def test_words_reach_widgets_through_one_door(path: Path) -> None:
    if named(path) == DOOR:
        return
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            called, on = _called(node.func)
            where = f"{called} in line {node.lineno}: {DOOR} has the way to do it"
            assert called not in MAKERS, where
            assert on not in {"QMessageBox", "QInputDialog", "QToolTip"}, where
            assert called not in SETTERS - OWN_MARKUP.get(named(path), set()), where
        elif isinstance(node, ast.ClassDef):
            bases = {_called(base)[0] for base in node.bases} & MAKERS
            assert bases <= OWN_KINDS.get(named(path), set()), node.name
        elif isinstance(node, ast.FunctionDef) and node.name in ("data", "headerData"):
            marks = {_called(mark)[0] for mark in node.decorator_list}
            assert "for_people" in marks, f"{node.name} in line {node.lineno}"


def _called(node: ast.expr) -> tuple[str, str]:
    """Return the name of what is called, and of what it is called on where that is a name."""
    if isinstance(node, ast.Attribute):
        return node.attr, node.value.id if isinstance(node.value, ast.Name) else ""
    return (node.id if isinstance(node, ast.Name) else ""), ""
