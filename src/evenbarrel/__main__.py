"""The command line: the desk, and the commands that never import Qt."""

from __future__ import annotations

import argparse
import contextlib
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from pydantic import BaseModel

from evenbarrel import __version__
from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.resources import read_sample
from evenbarrel.storage.archive import BEGINS, parse_archive
from evenbarrel.storage.atomic import atomic_write, keep_apart
from evenbarrel.storage.file_errors import FileRefused, system_words
from evenbarrel.storage.file_names import refuse_hidden
from evenbarrel.storage.files import (
    evaluation_bytes,
    parse_evaluation,
    read_content,
    read_evaluation,
)
from evenbarrel.wording.words.visible import visible, visible_line

SAMPLE = "irrigation-parts.evenbarrel.json"

DONE, REFUSED, WRONG_USE = 0, 1, 2
STOPPED = 130
"""What shells call a program ended by Ctrl+C."""
COMMANDS = ("appraise", "report", "schema", "sheet", "take", "compare", "archive")


def _evaluation(arguments: argparse.Namespace) -> Evaluation:
    if arguments.sample:
        return parse_evaluation(read_sample(SAMPLE), SAMPLE)
    return _read(Path(arguments.file))


def _read(path: Path) -> Evaluation:
    """Return the evaluation in a file, or in an archive of one."""
    data = read_content(path)
    if not data.startswith(BEGINS):
        return parse_evaluation(data, path.name)
    return parse_archive(data, path.name)


def _named(text: str) -> Path:
    """Return the file to write; refused before any work where its name hides a character."""
    path = Path(text)
    refuse_hidden(path)
    return path


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


def _appraise(arguments: argparse.Namespace) -> int:
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.decision.decide import decide
    from evenbarrel.decision.flips.search import flips_of
    from evenbarrel.report.results_file import results_of, to_json
    from evenbarrel.wording.sentences.asking.questions import question_texts
    from evenbarrel.wording.sentences.summary import summary_text
    from evenbarrel.wording.standing.flips import flips_lines

    out = None if arguments.json in (None, "-") else _named(arguments.json)
    appraisal = appraise(_evaluation(arguments))
    decision = decide(appraisal)
    flips = flips_of(decision) if arguments.flips else None
    if arguments.json is None:
        told = flips_lines(flips, appraisal) if arguments.flips else ()
        _put(summary_text(appraisal, decision, told).encode("utf-8"), None)
    else:
        results = results_of(appraisal, question_texts(appraisal), decision, flips)
        _put(to_json(results), out, arguments.file)
    return DONE


def _report(arguments: argparse.Namespace) -> int:
    from evenbarrel.appraisal.appraise import appraise

    out = _named(arguments.output)
    appraisal = appraise(_evaluation(arguments))
    if out.suffix.lower() == ".xlsx":
        from evenbarrel.report.workbook import render_workbook

        _put(render_workbook(appraisal), out, arguments.file)
    else:
        from evenbarrel.report.pdf import render_pdf

        _put(render_pdf(appraisal, workings=arguments.appendix), out, arguments.file)
    return DONE


def _sheet(arguments: argparse.Namespace) -> int:
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.intake.data_sheet.writer import render_sheet

    evaluation = _evaluation(arguments)
    if arguments.bid is not None and all(bid.id != arguments.bid for bid in evaluation.bids):
        known = ", ".join(bid.id for bid in evaluation.bids) or "none"
        raise FileRefused("--bid", arguments.bid, f"there is no such bid; there are: {known}")
    sheet = render_sheet(appraise(evaluation), arguments.bid, arguments.open)
    _put(sheet, Path(arguments.output), arguments.file)
    return DONE


def _take(arguments: argparse.Namespace) -> int:
    from evenbarrel.intake.files import propose_file, take_sure
    from evenbarrel.intake.listing import proposal_text
    from evenbarrel.wording.sentences.asking.collecting import NOTHING_WRITTEN, written_line

    evaluation, path = read_evaluation(Path(arguments.file)), Path(arguments.sheet)
    proposal = propose_file(evaluation, path.name, read_content(path), arguments.bid or None)
    text = proposal_text(evaluation, proposal, path.name)
    if not arguments.yes:
        _put(visible(f"{text}{NOTHING_WRITTEN}\n").encode("utf-8"), None)
        return DONE
    out = Path(arguments.output)
    taken = take_sure(evaluation, proposal, path.name)
    keep_apart(out, path, "it holds what is being taken: name another file")
    _put(evaluation_bytes(taken), out, arguments.file)
    _put(visible(f"{text}{written_line(out.name)}\n").encode("utf-8"), None)
    return DONE


def _compare(arguments: argparse.Namespace) -> int:
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.decision.decide import decide
    from evenbarrel.decision.standing.comparison import compare
    from evenbarrel.report.comparison import comparison_json
    from evenbarrel.wording.standing.comparison import comparison_lines

    out = None if arguments.json in (None, "-") else _named(arguments.json)
    old, new = (decide(appraise(_read(Path(name)))) for name in (arguments.old, arguments.new))
    comparison = compare(old, new)
    if arguments.json is None:
        text = "\n".join(map(visible_line, comparison_lines(comparison))) + "\n"
        _put(text.encode("utf-8"), None)
        return DONE
    if out is not None:
        keep_apart(out, Path(arguments.old))
    _put(comparison_json(comparison), out, arguments.new)
    return DONE


def _archive(arguments: argparse.Namespace) -> int:
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.report.archive import render_archive

    out = _named(arguments.output)
    _put(render_archive(appraise(_evaluation(arguments))), out, arguments.file)
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


def _sheet_name(text: str) -> str:
    if Path(text).suffix.lower() != ".xlsx":
        raise argparse.ArgumentTypeError("a data sheet is written as .xlsx")
    return text


def _archive_name(text: str) -> str:
    if Path(text).suffix.lower() != ".zip":
        raise argparse.ArgumentTypeError("an archive is written as .zip")
    return text


def _add_sheet(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    sheet = commands.add_parser("sheet", help="write the data sheet a supplier fills")
    _source(sheet)
    which = sheet.add_mutually_exclusive_group(required=True)
    which.add_argument("--bid", metavar="ID", help="for this bid, with what it states")
    which.add_argument("--blank", action="store_true", help="for a supplier without a bid yet")
    sheet.add_argument("--open", action="store_true", help="only what open questions ask for")
    sheet.add_argument("-o", "--output", required=True, type=_sheet_name, metavar="OUT.xlsx")
    sheet.set_defaults(run=_sheet)


def _add_take(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    take = commands.add_parser("take", help="read what a supplier sent, as a proposal")
    take.add_argument("file", metavar="FILE", help="an evaluation, *.evenbarrel.json")
    take.add_argument(
        "sheet", metavar="SHEET", help="a data sheet or table (.xlsx .csv .txt), or a *.bid.json"
    )
    take.add_argument("--bid", metavar="ID", help="the bid that a table is for")
    take.add_argument("--yes", action="store_true", help="take the lines that are sure")
    take.add_argument("-o", "--output", metavar="OUT", help="the evaluation with them in it")
    take.set_defaults(run=_take)


def _add_compare(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    compare = commands.add_parser("compare", help="print what changed between two evaluations")
    compare.add_argument("old", metavar="OLD", help="an evaluation, or an archive of one")
    compare.add_argument("new", metavar="NEW", help="another, as it stands now")
    compare.add_argument("--json", metavar="OUT", help="write it as JSON; - for output")
    compare.set_defaults(run=_compare)


def _add_archive(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    archive = commands.add_parser("archive", help="keep an evaluation with all that is made of it")
    _source(archive)
    archive.add_argument("-o", "--output", required=True, type=_archive_name, metavar="OUT.zip")
    archive.set_defaults(run=_archive)


def _command_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="evenbarrel")
    commands = parser.add_subparsers(required=True)
    appraise = commands.add_parser("appraise", help="print what the evaluation comes to")
    _source(appraise)
    appraise.add_argument("--json", metavar="OUT", help="write the results file; - for output")
    appraise.add_argument(
        "--flips", action="store_true", help="with what would flip the choice: some seconds"
    )
    appraise.set_defaults(run=_appraise)
    report = commands.add_parser("report", help="write the side-by-side evaluation")
    _source(report)
    report.add_argument("-o", "--output", required=True, type=_output_name, metavar="OUT.pdf|.xlsx")
    report.add_argument(
        "--appendix", action="store_true", help="add how each number of the PDF came about"
    )
    report.set_defaults(run=_report)
    schema = commands.add_parser("schema", help="print a JSON Schema")
    schema.add_argument("of", choices=("evaluation", "bid", "appraisal"))
    schema.set_defaults(run=_schema)
    _add_sheet(commands)
    _add_take(commands)
    _add_compare(commands)
    _add_archive(commands)
    return parser


def _desk_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="evenbarrel",
        description="Compares bids for injection units: every barrel on one volume basis, its "
        "claims checked, its safe window against the planned shots.",
        epilog="Without a window: evenbarrel appraise FILE | report FILE -o OUT.pdf | schema "
        "evaluation | sheet FILE --blank -o OUT.xlsx | take FILE SHEET | compare OLD NEW | archive "
        "FILE -o OUT.zip. Each takes --help.",
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
        if headless and parsed.run is _take and parsed.yes != (parsed.output is not None):
            parser.error("--yes and -o go together")
    except SystemExit as stop:
        return int(stop.code or DONE)
    try:
        if headless:
            return int(parsed.run(parsed))
        return _self_check(parsed) if parsed.self_check else _desk(parsed)
    except FileRefused as refused:
        sys.stderr.write(visible_line(f"evenbarrel: {refused}") + "\n")
        return REFUSED
    except BrokenPipeError:
        # The reader of our output went away; nothing is left to say.
        _let_go_of_output()
        return DONE
    except KeyboardInterrupt:
        return STOPPED


if __name__ == "__main__":
    sys.exit(main())
