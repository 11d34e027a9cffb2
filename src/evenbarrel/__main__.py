"""The command line: the desk, and the commands that never load Qt."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from evenbarrel import __version__
from evenbarrel.commands import COMMANDS
from evenbarrel.commands.outcome import DONE, REFUSED, STOPPED
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.wording.words.visible import visible_line


def _command(words: Sequence[str]) -> Callable[[], int]:
    """Return what does a command without a window; SystemExit where it is used wrongly."""
    from evenbarrel.commands import collecting
    from evenbarrel.commands.parser import command_parser

    parser = command_parser()
    parsed = parser.parse_args(words)
    if parsed.run is collecting.take and parsed.yes != (parsed.output is not None):
        parser.error("--yes and -o go together")
    return lambda: int(parsed.run(parsed))


def _desk(words: Sequence[str]) -> Callable[[], int]:
    """Return what opens the desk, which takes nothing of the commands."""
    parsed = _desk_parser().parse_args(words)
    if parsed.self_check:
        from evenbarrel.commands.evaluating import self_check

        return lambda: self_check(parsed)
    from evenbarrel.app import run

    return lambda: run(None if parsed.file is None else Path(parsed.file), parsed.sample)


def _desk_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="evenbarrel",
        description="Compares offers of injection units: every barrel on one volume basis, its "
        "claims checked, its safe window against the planned shots.",
        epilog="Without a window: evenbarrel appraise FILE | report FILE -o OUT.pdf | schema "
        "evaluation | sheet FILE --blank -o OUT.xlsx | letter FILE --bid ID -o OUT.pdf | take FILE "
        "SHEET | compare OLD NEW | archive FILE -o OUT.zip | protocol FILE --barrel ID -o OUT.pdf. "
        "Each takes --help.",
    )
    parser.add_argument("--version", action="version", version=f"evenbarrel {__version__}")
    which = parser.add_mutually_exclusive_group()
    which.add_argument("file", nargs="?", metavar="FILE", help="an evaluation to open")
    which.add_argument("--sample", action="store_true", help="open the sample programme")
    which.add_argument(
        "--self-check", action="store_true", help="check that all parts of the program are present"
    )
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return 0 done, 1 the input was refused, 2 wrong use."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    # No product of tables here is so large that another processor helps with it; numpy would begin
    # a thread on each as it is loaded, and what comes out would hang on how many there are.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # pydantic would look through every package that is installed for what meddles with its models.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    begun = _command if words and words[0] in COMMANDS else _desk
    try:
        return begun(words)()
    except SystemExit as stop:
        return int(stop.code or DONE)
    except FileRefused as refused:
        sys.stderr.write(visible_line(f"evenbarrel: {refused}") + "\n")
        return REFUSED
    except BrokenPipeError:
        from evenbarrel.commands.files import let_go_of_output

        # The reader of our output went away; nothing is left to say.
        let_go_of_output()
        return DONE
    except KeyboardInterrupt:
        return STOPPED


if __name__ == "__main__":
    sys.exit(main())
