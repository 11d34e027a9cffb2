"""What must hold of the code itself: what loads when, and where things may stand."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

SOURCE = Path(__file__).parents[1] / "src" / "evenbarrel"
MODULES = sorted(SOURCE.rglob("*.py"))
LONGEST_MODULE, LONGEST_FUNCTION = 400, 40


def named(path: Path) -> str:
    return str(path.relative_to(SOURCE))


TEXTS = {named(path): path.read_text(encoding="utf-8") for path in MODULES}


@cache
def trees() -> dict[str, ast.Module]:
    """Every module as it is parsed, by its name."""
    return {name: ast.parse(text) for name, text in TEXTS.items()}


def test_modules_and_functions_stay_short() -> None:
    assert len(MODULES) > 300
    lengths = {name: len(text.splitlines()) for name, text in TEXTS.items()}
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_MODULE} == {}
    assert [line for name, tree in trees().items() for line in _too_long(name, tree)] == []


def _statements(block: ast.AST) -> Iterator[ast.AST]:
    """Yield every statement below one, without the many parts of which each consists."""
    for name in ("body", "orelse", "finalbody", "handlers", "cases"):
        for one in getattr(block, name, ()):
            yield one
            yield from _statements(one)


def _too_long(name: str, tree: ast.Module) -> Iterator[str]:
    for node in _statements(tree):
        if isinstance(node, ast.FunctionDef):
            body = [part for part in node.body if not _is_docstring(part)]
            lines = (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0
            if lines > LONGEST_FUNCTION:
                yield f"{name}: {node.name} has {lines} lines"


def _is_docstring(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def test_public_things_say_what_they_are() -> None:
    silent = [name for name, tree in trees().items() if not ast.get_docstring(tree)]
    silent += [
        f"{name}: {node.name}"
        for name, tree in trees().items()
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and node.name[0] != "_"
        if not ast.get_docstring(node)
    ]
    assert silent == []


def test_pint_stands_in_one_room() -> None:
    rooms = [
        name
        for name, tree in trees().items()
        for node in _statements(tree)
        if (isinstance(node, ast.Import) and any(a.name == "pint" for a in node.names))
        or (isinstance(node, ast.ImportFrom) and node.module == "pint")
    ]
    assert set(rooms) == {"units.py"}


def test_a_copy_is_always_validated() -> None:
    for name, text in TEXTS.items():
        assert "model_copy(" not in text, name
        assert "model_construct(" not in text, name


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


def test_words_reach_widgets_through_one_door() -> None:
    desk = [name for name in TEXTS if name.startswith("desk/") and name != DOOR]
    assert len(desk) > 100
    past = [f"{name}: {what}" for name in desk for what in _past_the_door(name, trees()[name])]
    assert past == []


def _past_the_door(name: str, tree: ast.Module) -> Iterator[str]:
    setters = SETTERS - OWN_MARKUP.get(name, set())
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called, on = _called(node.func)
            boxes = {"QMessageBox", "QInputDialog", "QToolTip"}
            if called in MAKERS or on in boxes or called in setters:
                yield f"{called} in line {node.lineno}: {DOOR} has the way to do it"
        elif isinstance(node, ast.ClassDef):
            bases = {_called(base)[0] for base in node.bases} & MAKERS
            if not bases <= OWN_KINDS.get(name, set()):
                yield node.name
        elif isinstance(node, ast.FunctionDef) and node.name in ("data", "headerData"):
            marks = {_called(mark)[0] for mark in node.decorator_list}
            if "for_people" not in marks:
                yield f"{node.name} in line {node.lineno} is not for people"


def _called(node: ast.expr) -> tuple[str, str]:
    """Return the name of what is called, and of what it is called on where that is a name."""
    if isinstance(node, ast.Attribute):
        return node.attr, node.value.id if isinstance(node.value, ast.Name) else ""
    return (node.id if isinstance(node, ast.Name) else ""), ""
