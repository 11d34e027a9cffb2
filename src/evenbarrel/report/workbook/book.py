"""The evaluation as a workbook: one worksheet for each sheet, calculated cells as formulas."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.decide import decide
from evenbarrel.decision.flips.search import Flips
from evenbarrel.model.offers.bid import Bid, InjectionUnit
from evenbarrel.model.offers.terms import OWN_AMOUNT
from evenbarrel.report.sign_offs import results_to_hold
from evenbarrel.report.workbook.addresses import Addresses
from evenbarrel.report.workbook.worksheet import Looks, add_sheet, cells_of
from evenbarrel.storage.workbooks import plain, workbook_bytes
from evenbarrel.wording.paper.choice import chosen_sheets
from evenbarrel.wording.paper.leaders import flips_not_known
from evenbarrel.wording.paper.overview import overview_sheet
from evenbarrel.wording.paper.sections import UNTITLED, foot_text
from evenbarrel.wording.sheets.assumptions import limits_sheet, resins_sheet, uncertainty_sheet
from evenbarrel.wording.sheets.calculating import (
    calculating_claims_sheet,
    calculating_fit_sheet,
    calculating_offers_sheet,
)
from evenbarrel.wording.sheets.gates.deviations import deviations_sheet
from evenbarrel.wording.sheets.gates.limits import confirmed_limits_sheet, waiting_limits_sheet
from evenbarrel.wording.sheets.gates.pins import pins_sheet
from evenbarrel.wording.sheets.live.barrels import live_barrels_sheet
from evenbarrel.wording.sheets.live.calculation import calculation_sheet
from evenbarrel.wording.sheets.live.entered import (
    barrel_inputs_sheet,
    job_inputs_sheet,
    resin_inputs_sheet,
)
from evenbarrel.wording.sheets.live.jobs import live_jobs_sheet
from evenbarrel.wording.sheets.live.legend import legend_sheet
from evenbarrel.wording.sheets.live.life_cost import life_cost_sheet
from evenbarrel.wording.sheets.live.masses import live_masses_sheet
from evenbarrel.wording.sheets.live.money import Priced, cost_inputs_sheet, offer_inputs_sheet
from evenbarrel.wording.sheets.live.prices import prices_sheet
from evenbarrel.wording.sheets.live.running import lines_sheet, running_sheet, years_sheet
from evenbarrel.wording.sheets.questions import all_questions_sheet
from evenbarrel.wording.sheets.sheet import Sheet, without_columns
from evenbarrel.wording.sheets.summary import printed_gate_sheet
from evenbarrel.wording.standing_by.acceptance import acceptance_sheet
from evenbarrel.wording.standing_by.flips import calculating_flips_sheet
from evenbarrel.wording.standing_by.masking import prices_masked
from evenbarrel.wording.standing_by.signatures import sign_offs_sheet
from evenbarrel.wording.words import labels

TITLES: Mapping[str, str] = {
    "overview": "Evaluation",
    "legend": "How to read this workbook",
    "gate": "Gate",
    "barrels": "Barrels",
    "jobs": "Jobs",
    "fit": "Fit",
    "claims": "Claims",
    "questions": "Questions",
    "offers": "Offers",
    "prices": "Prices",
    "life_cost": "Cost over life",
    "proposal": "Proposal",
    "open_points": "Not known about the proposal",
    "order": "Order",
    "shares": "Shares of weightings",
    "cover": "Sets of machines",
    "flips": "What would flip the choice",
    "sign_offs": "Signatures",
    "acceptance": "Acceptance tests",
    "masses": "Full strokes in resins run",
    "calculation": "Calculation",
    "running": "Running cost",
    "lines": "Cost lines",
    "barrel_inputs": "Inputs of barrels",
    "job_inputs": "Inputs of jobs",
    "resin_inputs": "Inputs of resins",
    "offer_inputs": "Inputs of offers",
    "cost_inputs": "Inputs of cost",
    "years": "Years",
    "deviations": "Deviations",
    "pins": "Jobs pinned to barrels",
    "waiting_limits": "Limits to confirm",
    "confirmed_limits": "Limits confirmed",
    "resins": "Resins and output factors",
    "limits": "Limits",
    "uncertainty": "Half-widths of inputs",
}
"""A worksheet's title by its sheet's key: a workbook takes 31 characters, and no []:*?/\\'."""


_OF_PRICES = frozenset({"prices", "life_cost", "running", "lines"})
_AMOUNTS = frozenset(
    {
        "Currency",
        labels.datum_of(InjectionUnit, "price"),
        *(labels.datum_of(Bid, name) for name in ("price", *OWN_AMOUNT)),
    }
)
"""Sheets and columns that hold nothing where prices are masked."""


def workbook_sheets(appraisal: Appraisal, flips: Flips | None = None) -> tuple[Sheet, ...]:
    """Return the sheets in the order of their worksheets, with prices masked none of money."""
    signed = results_to_hold(appraisal.unmasked)
    priced = Priced(decide(appraisal))
    inputs = _inputs(appraisal, priced)
    sheets = (
        overview_sheet(priced.decision),
        legend_sheet(inputs),
        printed_gate_sheet(appraisal),
        live_barrels_sheet(appraisal),
        live_jobs_sheet(appraisal, priced.decision.costs.programme),
        calculating_fit_sheet(appraisal),
        calculating_claims_sheet(appraisal),
        all_questions_sheet(appraisal),
        calculating_offers_sheet(appraisal),
        prices_sheet(priced),
        life_cost_sheet(priced),
        *chosen_sheets(priced.decision),
        calculating_flips_sheet(flips, appraisal, flips_not_known(priced.decision, flips)),
        sign_offs_sheet(appraisal, signed),
        acceptance_sheet(appraisal),
        live_masses_sheet(appraisal),
        calculation_sheet(appraisal),
        running_sheet(priced),
        lines_sheet(priced),
        *inputs,
        years_sheet(),
        deviations_sheet(appraisal),
        pins_sheet(appraisal),
        waiting_limits_sheet(appraisal),
        confirmed_limits_sheet(appraisal),
        resins_sheet(appraisal),
        limits_sheet(appraisal),
        uncertainty_sheet(appraisal),
    )
    if not prices_masked(appraisal):
        return sheets
    kept = (sheet for sheet in sheets if sheet.key not in _OF_PRICES)
    return tuple(without_columns(sheet, _AMOUNTS) for sheet in kept)


def _inputs(appraisal: Appraisal, priced: Priced) -> tuple[Sheet, ...]:
    return (
        barrel_inputs_sheet(appraisal),
        job_inputs_sheet(appraisal),
        resin_inputs_sheet(appraisal, priced.currencies),
        *(() if prices_masked(appraisal) else (offer_inputs_sheet(priced),)),
        cost_inputs_sheet(priced),
    )


def render_workbook(appraisal: Appraisal, flips: Flips | None = None) -> bytes:
    """Return the evaluation as a workbook; equal evaluations give equal bytes.

    Without `flips` it says that nobody looked for them.
    Every calculated cell is a formula beside the program's value, for whoever shows a workbook
    without calculating; a spreadsheet program calculates all anew when it opens it.
    """
    # Imported here: openpyxl takes longer to load than everything else a report needs.
    from openpyxl import Workbook
    from openpyxl.workbook.defined_name import DefinedName

    book, sheets = Workbook(), workbook_sheets(appraisal, flips)
    book.remove(book.worksheets[0])
    foot = foot_text(appraisal, __version__)
    for sheet in sheets:
        add_sheet(book, sheet, TITLES[sheet.key], foot)
    addresses, looks = Addresses(sheets, TITLES), Looks(book)
    for name, text in addresses.names():
        book.defined_names[name] = DefinedName(name, attr_text=text)
    book.calculation.fullCalcOnLoad = True
    evaluation = appraisal.evaluation
    book.properties.title = plain(evaluation.title) or UNTITLED
    book.properties.creator = plain(evaluation.buyer)
    book.properties.description = foot
    return workbook_bytes(book, [cells_of(sheet, addresses, looks) for sheet in sheets])
