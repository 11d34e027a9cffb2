"""The arguments of the commands without a window."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from datetime import date
from pathlib import Path

from evenbarrel.commands import collecting, evaluating


def _source(parser: argparse.ArgumentParser) -> None:
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument("file", nargs="?", metavar="FILE", help="an evaluation, *.evenbarrel.json")
    which.add_argument("--sample", action="store_true", help="the sample programme")


def _written(what: str, *endings: str) -> Callable[[str], str]:
    """Return what takes the name of a file that is written with one of these endings."""

    def name(text: str) -> str:
        if Path(text).suffix.lower() not in endings:
            raise argparse.ArgumentTypeError(f"{what} is written as {' or '.join(endings)}")
        return text

    return name


_OUTPUT = _written("the evaluation", ".pdf", ".xlsx")
_SHEET = _written("a data sheet", ".xlsx")
_LETTER = _written("a letter", ".pdf", ".txt")
_PROTOCOL = _written("a protocol", ".pdf")
_ARCHIVE = _written("an archive", ".zip")


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError("enter a date such as 2026-03-02") from None


def _add_letter(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    letter = commands.add_parser("letter", help="write the letter of questions to a supplier")
    _source(letter)
    letter.add_argument(
        "--bid", required=True, metavar="ID", help="the id of the offer that the letter is about"
    )
    letter.add_argument("--person", default="", metavar="NAME", help="who signs the letter")
    letter.add_argument(
        "--date",
        type=_day,
        metavar="DAY",
        help="date of the letter, instead of the evaluation's date",
    )
    letter.add_argument("--by", type=_day, metavar="DAY", help="date by which an answer is wanted")
    letter.add_argument("--new", action="store_true", help="only questions not yet asked")
    letter.add_argument("-o", "--output", required=True, type=_LETTER, metavar="OUT.pdf|.txt")
    letter.set_defaults(run=collecting.letter)


def _add_sheet(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    sheet = commands.add_parser("sheet", help="write the data sheet for a supplier to fill in")
    _source(sheet)
    which = sheet.add_mutually_exclusive_group(required=True)
    which.add_argument(
        "--bid", metavar="ID", help="for the offer of this id, filled in with what it states"
    )
    which.add_argument("--blank", action="store_true", help="for a supplier without an offer yet")
    sheet.add_argument(
        "--open", action="store_true", help="only the data that open questions ask for"
    )
    sheet.add_argument("-o", "--output", required=True, type=_SHEET, metavar="OUT.xlsx")
    sheet.set_defaults(run=collecting.sheet)


def _add_take(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    take = commands.add_parser("take", help="read what a supplier sent, and list it line by line")
    take.add_argument("file", metavar="FILE", help="an evaluation, *.evenbarrel.json")
    take.add_argument(
        "sheet",
        metavar="SHEET",
        help="a data sheet or table (.xlsx .csv .txt), a quote (.pdf), or a *.bid.json",
    )
    take.add_argument("--bid", metavar="ID", help="the id of the offer that a table is for")
    take.add_argument("--yes", action="store_true", help="take the lines that are sure")
    take.add_argument(
        "-o", "--output", metavar="OUT", help="where to write the evaluation with them"
    )
    take.set_defaults(run=collecting.take)


def _add_compare(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    compare = commands.add_parser("compare", help="print what changed between two evaluations")
    compare.add_argument("old", metavar="OLD", help="an evaluation, or an archive of one")
    compare.add_argument("new", metavar="NEW", help="another, as it stands now")
    compare.add_argument(
        "--json", metavar="OUT", help="write the comparison as JSON; - for standard output"
    )
    compare.set_defaults(run=evaluating.compare)


def _add_protocol(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    protocol = commands.add_parser("protocol", help="write the acceptance protocol of a barrel")
    _source(protocol)
    protocol.add_argument("--barrel", required=True, metavar="ID", help="the barrel to be accepted")
    protocol.add_argument("-o", "--output", required=True, type=_PROTOCOL, metavar="OUT.pdf")
    protocol.set_defaults(run=evaluating.protocol)


def _add_archive(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    archive = commands.add_parser("archive", help="pack an evaluation with everything made from it")
    _source(archive)
    archive.add_argument("-o", "--output", required=True, type=_ARCHIVE, metavar="OUT.zip")
    archive.set_defaults(run=evaluating.archive)


def command_parser() -> argparse.ArgumentParser:
    """Return what reads the arguments of the commands without a window."""
    parser = argparse.ArgumentParser(prog="evenbarrel")
    commands = parser.add_subparsers(required=True)
    appraise = commands.add_parser("appraise", help="print the results of the evaluation")
    _source(appraise)
    appraise.add_argument(
        "--json", metavar="OUT", help="write the results as JSON; - for standard output"
    )
    appraise.add_argument(
        "--flips", action="store_true", help="add what would flip the choice (takes some seconds)"
    )
    appraise.set_defaults(run=evaluating.appraise)
    report = commands.add_parser("report", help="write the side-by-side evaluation")
    _source(report)
    report.add_argument("-o", "--output", required=True, type=_OUTPUT, metavar="OUT.pdf|.xlsx")
    report.add_argument(
        "--appendix", action="store_true", help="add how each number in the PDF was calculated"
    )
    report.add_argument(
        "--flips",
        action="store_true",
        help="add what would flip the choice (takes some seconds; not with prices masked)",
    )
    report.add_argument(
        "--masked",
        choices=("prices", "suppliers", "both"),
        help="for people who must not see prices, or suppliers' names; the digest stays the same; "
        "typed texts are masked as far as their words tell: read them before it goes out",
    )
    report.set_defaults(run=evaluating.report)
    schema = commands.add_parser("schema", help="print a JSON Schema")
    schema.add_argument("of", choices=("evaluation", "bid", "appraisal"))
    schema.set_defaults(run=evaluating.schema)
    _add_sheet(commands)
    _add_letter(commands)
    _add_take(commands)
    _add_compare(commands)
    _add_archive(commands)
    _add_protocol(commands)
    return parser
