"""The command line: the desk, and the commands that never import Qt."""

from __future__ import annotations

import argparse
import contextlib
import json
import sys
import unicodedata
from collections.abc import Sequence
from pathlib import Path

from pydantic import BaseModel

from evenbarrel import __version__
from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.resources import read_sample
from evenbarrel.storage.atomic import atomic_write, keep_apart
from evenbarrel.storage.file_errors import FileRefused, system_words
from evenbarrel.storage.files import parse_evaluation, read_evaluation

SAMPLE = "irrigation-parts.evenbarrel.json"

DONE, REFUSED, WRONG_USE = 0, 1, 2
STOPPED = 130
"""What shells call a program ended by Ctrl+C."""
COMMANDS = ("appraise", "report", "schema")


def _evaluation(arguments: argparse.Namespace) -> Evaluation:
    if arguments.sample:
        return parse_evaluation(read_sample(SAMPLE), SAMPLE)
    return read_evaluation(Path(arguments.file))


def _put(data: bytes, out: Path | None, source: str | None = None) -> None:
    """Write to a file whole or not at all, never to the one that was read; None is the output."""
    if out is None:
        _print(data)
    else:
        keep_apart(out, None if source is None else Path(source))
        atomic_write(out, data)


def _print(data: bytes) -> None:
    # A process may be started with its output closed.
    if sys.stdout is None:
        raise FileRefused("standard output", "", "it is closed")
    try:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        _let_go_of_output()
        problem = f"it could not be written: {system_words(error)}"
        raise FileRefused("standard output", "", problem) from error


def _let_go_of_output() -> None:
    # What could not be written would be tried, and complained about, once more at the very end.
    if sys.stdout is not None:
        with contextlib.suppress(OSError):
            sys.stdout.close()


def _visible(text: str) -> str:
    """Return the text with what a terminal would obey, or hide, written out; lines are kept."""
    return "".join(
        f"\\u{ord(sign):04x}"
        if sign != "\n" and unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Zl", "Zp")
        else sign
        for sign in text
    )


def _appraise(arguments: argparse.Namespace) -> int:
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.decision.decide import decide
    from evenbarrel.report.results_file import results_of, to_json
    from evenbarrel.wording.sentences.questions import question_texts
    from evenbarrel.wording.sentences.summary import summary_text

    appraisal = appraise(_evaluation(arguments))
    decision = decide(appraisal)
    if arguments.json is None:
        _put(_visible(summary_text(appraisal, decision)).encode("utf-8"), None)
    else:
        out = None if arguments.json == "-" else Path(arguments.json)
        results = results_of(appraisal, question_texts(appraisal), decision)
        _put(to_json(results), out, arguments.file)
    return DONE


def _report(arguments: argparse.Namespace) -> int:
    from evenbarrel.appraisal.appraise import appraise

    out = Path(arguments.output)
    appraisal = appraise(_evaluation(arguments))
    if out.suffix.lower() == ".xlsx":
        from evenbarrel.report.workbook import render_workbook

        _put(render_workbook(appraisal), out, arguments.file)
    else:
        from evenbarrel.report.pdf import render_pdf

        _put(render_pdf(appraisal), out, arguments.file)
    return DONE


def _schema(arguments: argparse.Namespace) -> int:
    from evenbarrel.report.results_shapes import Results

    models: dict[str, type[BaseModel]] = {
        "evaluation": Evaluation,
        "bid": BidFile,
        "appraisal": Results,
    }
    schema = models[arguments.of].model_json_schema()
    _put((json.dumps(schema, indent=1, ensure_ascii=False) + "\n").encode("utf-8"), None)
    return DONE


def _self_check(arguments: argparse.Namespace) -> int:
    """Appraise and print the sample, so that an installed copy proves it has all its parts."""
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.report.pdf import render_pdf

    appraisal = appraise(parse_evaluation(read_sample(SAMPLE), SAMPLE))
    pages = render_pdf(appraisal)
    text = (
        f"evenbarrel {__version__}: {len(appraisal.barrels)} barrels, {len(appraisal.jobs)} jobs, "
        f"{len(appraisal.questions)} questions, evaluation of {len(pages) // 1024} KiB: all parts "
        "found\n"
    )
    _put(text.encode("utf-8"), None)
    return DONE


def _desk(arguments: argparse.Namespace) -> int:
    from evenbarrel.app import run

    return run(None if arguments.file is None else Path(arguments.file), arguments.sample)


def _source(parser: argparse.ArgumentParser) -> None:
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument("file", nargs="?", metavar="FILE", help="an evaluation, *.evenbarrel.json")
    which.add_argument("--sample", action="store_true", help="the sample programme")


def _output_name(text: str) -> str:
    if Path(text).suffix.lower() not in (".pdf", ".xlsx"):
        raise argparse.ArgumentTypeError("the evaluation is written as .pdf or .xlsx")
    return text


def _command_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="evenbarrel")
    commands = parser.add_subparsers(required=True)
    appraise = commands.add_parser("appraise", help="print what the evaluation comes to")
    _source(appraise)
    appraise.add_argument("--json", metavar="OUT", help="write the results file; - for output")
    appraise.set_defaults(run=_appraise)
    report = commands.add_parser("report", help="write the side-by-side evaluation")
    _source(report)
    report.add_argument("-o", "--output", required=True, type=_output_name, metavar="OUT.pdf|.xlsx")
    report.set_defaults(run=_report)
    schema = commands.add_parser("schema", help="print a JSON Schema")
    schema.add_argument("of", choices=("evaluation", "bid", "appraisal"))
    schema.set_defaults(run=_schema)
    return parser


def _desk_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="evenbarrel",
        description="Compares bids for injection units: every barrel on one volume basis, its "
        "claims checked, its safe window against the planned shots.",
        epilog="Without a window: evenbarrel appraise FILE | report FILE -o OUT.pdf | schema "
        "evaluation. Each takes --help.",
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
    parser = _command_parser() if headless else _desk_parser()
    try:
        parsed = parser.parse_args(words)
    except SystemExit as stop:
        return int(stop.code or DONE)
    try:
        if headless:
            return int(parsed.run(parsed))
        return _self_check(parsed) if parsed.self_check else _desk(parsed)
    except FileRefused as refused:
        sys.stderr.write(_visible(f"evenbarrel: {refused}") + "\n")
        return REFUSED
    except BrokenPipeError:
        # The reader of our output went away; nothing is left to say.
        _let_go_of_output()
        return DONE
    except KeyboardInterrupt:
        return STOPPED


if __name__ == "__main__":
    sys.exit(main())
