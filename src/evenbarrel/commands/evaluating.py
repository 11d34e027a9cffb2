"""Commands about an evaluation: appraise, report, protocol, compare, archive, schema and more."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from pydantic import BaseModel

from evenbarrel import __version__
from evenbarrel.commands.files import SAMPLE, evaluation_in, evaluation_of, named, put
from evenbarrel.commands.outcome import DONE
from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.resources import read_sample
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.wording.words.visible import visible_line


def appraise(arguments: argparse.Namespace) -> int:
    """Print what an evaluation comes to, or write its results."""
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.decision.decide import decide
    from evenbarrel.decision.flips.search import flips_of
    from evenbarrel.report.results_file import results_of, to_json
    from evenbarrel.wording.sentences.asking.questions import question_texts
    from evenbarrel.wording.sentences.summary import summary_text
    from evenbarrel.wording.standing_by.flips import flips_lines

    out = None if arguments.json in (None, "-") else named(arguments.json, arguments.file)
    appraisal = appraise(evaluation_of(arguments))
    decision = decide(appraisal)
    flips = flips_of(decision) if arguments.flips else None
    if arguments.json is None:
        would_flip = flips_lines(flips, appraisal) if arguments.flips else ()
        put(summary_text(appraisal, decision, would_flip).encode("utf-8"), None)
    else:
        results = results_of(appraisal, question_texts(appraisal), decision, flips)
        put(to_json(results), out)
    return DONE


def report(arguments: argparse.Namespace) -> int:
    """Write the evaluation as PDF or workbook."""
    from evenbarrel.appraisal.appraise import appraise

    out = named(arguments.output, arguments.file)
    appraisal = appraise(evaluation_of(arguments))
    if arguments.masked is not None:
        from evenbarrel.report.masking import masked

        appraisal = masked(appraisal, arguments.masked)
    flips = None
    # Where prices are masked there is no order by cost that could flip: the document says so.
    if arguments.flips and arguments.masked not in ("prices", "both"):
        from evenbarrel.decision.decide import decide
        from evenbarrel.decision.flips.search import flips_of

        flips = flips_of(decide(appraisal))
    if out.suffix.lower() == ".xlsx":
        from evenbarrel.report.workbook.book import render_workbook

        put(render_workbook(appraisal, flips), out)
    else:
        from evenbarrel.report.pdf import render_pdf

        pages = render_pdf(appraisal, workings=arguments.appendix, flips=flips)
        put(pages, out)
    return DONE


def protocol(arguments: argparse.Namespace) -> int:
    """Write the acceptance protocol of a barrel."""
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.report.protocol import render_protocol

    out, barrel = named(arguments.output, arguments.file), arguments.barrel
    appraisal = appraise(evaluation_of(arguments))
    known = [one.id for one in appraisal.barrels]
    if barrel not in known:
        there = ", ".join(known) or "none"
        raise FileRefused("--barrel", barrel, f"there is no such barrel; there are: {there}")
    put(render_protocol(appraisal, barrel), out)
    return DONE


def compare(arguments: argparse.Namespace) -> int:
    """Print or write what changed between two evaluations."""
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.decision.decide import decide
    from evenbarrel.decision.standing_by.comparison import compare
    from evenbarrel.report.comparison import comparison_json
    from evenbarrel.wording.standing_by.comparison import comparison_lines

    names = arguments.old, arguments.new
    out = None if arguments.json in (None, "-") else named(arguments.json, *names)
    old, new = (decide(appraise(evaluation_in(Path(name)))) for name in names)
    comparison = compare(old, new)
    if arguments.json is None:
        text = "\n".join(map(visible_line, comparison_lines(comparison))) + "\n"
        put(text.encode("utf-8"), None)
        return DONE
    put(comparison_json(comparison), out)
    return DONE


def archive(arguments: argparse.Namespace) -> int:
    """Write an evaluation with all that is made of it."""
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.report.archive import render_archive

    out = named(arguments.output, arguments.file)
    put(render_archive(appraise(evaluation_of(arguments))), out)
    return DONE


def schema(arguments: argparse.Namespace) -> int:
    """Print the JSON Schema of a file."""
    model: type[BaseModel] = Evaluation if arguments.of == "evaluation" else BidFile
    if arguments.of == "appraisal":
        # What a results file holds brings along all that it is made of.
        from evenbarrel.report.results_shapes import Results

        model = Results
    schema = model.model_json_schema()
    put((json.dumps(schema, indent=1, ensure_ascii=False) + "\n").encode("utf-8"), None)
    return DONE


def self_check(arguments: argparse.Namespace) -> int:
    """Appraise and print the sample, so that an installed copy proves it has all its parts."""
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.report.pdf import render_pdf
    from evenbarrel.units import factors_by_pint, kept_factors

    if kept_factors() != factors_by_pint():
        raise FileRefused(
            "unit_factors.json", "", "its unit factors differ from those that pint gives"
        )
    appraisal = appraise(parse_evaluation(read_sample(SAMPLE), SAMPLE))
    pages = render_pdf(appraisal)
    text = (
        f"evenbarrel {__version__}: {len(appraisal.barrels)} barrels, {len(appraisal.jobs)} jobs, "
        f"{len(appraisal.questions)} questions, evaluation of {len(pages) // 1024} KiB: all parts "
        "found\n"
    )
    put(text.encode("utf-8"), None)
    return DONE
