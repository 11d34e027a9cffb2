"""The command line: the desk, and the commands that never load Qt."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from evenbarrel import __version__
from evenbarrel.commands import collecting
from evenbarrel.commands.evaluating import self_check
from evenbarrel.commands.files import let_go_of_output
from evenbarrel.commands.outcome import DONE, REFUSED, STOPPED
from evenbarrel.commands.parser import COMMANDS, command_parser
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.wording.words.visible import visible_line


def _desk(arguments: argparse.Namespace) -> int:
    from evenbarrel.app import run

    return run(None if arguments.file is None else Path(arguments.file), arguments.sample)


def _desk_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="evenbarrel",
        description="Compares bids for injection units: every barrel on one volume basis, its "
        "claims checked, its safe window against the planned shots.",
        epilog="Without a window: evenbarrel appraise FILE | report FILE -o OUT.pdf | schema "
        "evaluation | sheet FILE --blank -o OUT.xlsx | letter FILE --bid ID -o OUT.pdf | take FILE "
        "SHEET | compare OLD NEW | archive FILE -o OUT.zip. Each takes --help.",
    )
    parser.add_argument("--version", action="version", version=f"evenbarrel {__version__}")
    which = parser.add_mutually_exclusive_group()
    which.add_argument("file", nargs="?", metavar="FILE", help="an evaluation to open")
    which.add_argument("--sample", action="store_true", help="open the sample programme")
    which.add_argument("--self-check", action="store_true", help="prove that all parts are there")
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return 0 done, 1 the input was refused, 2 wrong use."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    headless = bool(words) and words[0] in COMMANDS
    parser = command_parser() if headless else _desk_parser()
    try:
        parsed = parser.parse_args(words)
        if headless and parsed.run is collecting.take and parsed.yes != (parsed.output is not None):
            parser.error("--yes and -o go together")
    except SystemExit as stop:
        return int(stop.code or DONE)
    try:
        if headless:
            return int(parsed.run(parsed))
        return self_check(parsed) if parsed.self_check else _desk(parsed)
    except FileRefused as refused:
        sys.stderr.write(visible_line(f"evenbarrel: {refused}") + "\n")
        return REFUSED
    except BrokenPipeError:
        # The reader of our output went away; nothing is left to say.
        let_go_of_output()
        return DONE
    except KeyboardInterrupt:
        return STOPPED


if __name__ == "__main__":
    sys.exit(main())
