"""The lists of the basis: exchange rates, cost lines, scope, barred pairs, measures."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, get_args

from evenbarrel.desk.forms.decision_forms import DATE, Values, choice_shape, text_shape
from evenbarrel.desk.pages.decision.choosing.rows_panel import Choices, Fields, RowKind
from evenbarrel.entry.shapes import Shape
from evenbarrel.model.cost import CostLine, ExchangeRate
from evenbarrel.model.datum import Datum, data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import JobOnBarrel, Measure
from evenbarrel.wording.sentences.deciding import steps
from evenbarrel.wording.sentences.deciding.choice import measure_text
from evenbarrel.wording.sheets.decision import basis
from evenbarrel.wording.words.names import bid_called, full_name, job_name, unit_called

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_YEARS = (0, 60)
_EVERY = "*"
_MEASURES: tuple[str, ...] = get_args(Measure.model_fields["key"].annotation)


def _with_cost(evaluation: Evaluation, **parts: Any) -> Evaluation:
    return evaluation.replace(cost=evaluation.cost.replace(**parts))


# Exchange rates --------------------------------------------------------------------------------


def _ask_rate(appraisal: Appraisal, rate: ExchangeRate | None) -> tuple[Fields, Choices]:
    worth = f"What one unit of it is worth in {appraisal.evaluation.currency}"
    return {
        "currency": (
            Shape("currency", "currency", Datum("Currency", "Such as USD")),
            rate and rate.currency,
        ),
        "rate": (Shape("rate", "number", Datum("Rate", worth)), rate and rate.rate),
        "date": (DATE, rate and rate.date),
    }, {}


RATES = RowKind[ExchangeRate](
    "exchange rate",
    steps.NO_RATES,
    steps.RATES_INTRODUCTION,
    lambda evaluation: evaluation.cost.exchange_rates,
    lambda evaluation, rows: _with_cost(evaluation, exchange_rates=rows),
    basis.rates_sheet,
    _ask_rate,
    lambda _, values: ExchangeRate(**values),
    {"currency": steps.CURRENCY_WANTED, "rate": steps.RATE_WANTED},
)


# Cost lines ------------------------------------------------------------------------------------


def _owners(appraisal: Appraisal) -> dict[str, str]:
    """Return whose cost a line may be: every machine's, an offer's, a unit's or a barrel's."""
    owners = {_EVERY: steps.EVERY_BOUGHT}
    for bid in appraisal.evaluation.bids:
        called = owners[f"bid {bid.id}"] = bid_called(appraisal.evaluation, bid)
        for unit in bid.units:
            owners[f"unit {unit.id}"] = f"{called}, {unit_called(bid, unit)}"
            for barrel in unit.barrels:
                owners[f"barrel {barrel.id}"] = full_name(appraisal, barrel.id)
    return owners


def _owner(line: CostLine | None) -> str:
    for name in ("barrel", "unit", "bid"):
        one = None if line is None else getattr(line, name)
        if one is not None:
            return f"{name} {one}"
    return _EVERY


def _ask_line(appraisal: Appraisal, line: CostLine | None) -> tuple[Fields, Choices]:
    owners = _owners(appraisal)
    every = "yes" if line is not None and line.per_year else "no"
    per_hours = data_of(CostLine)["per_hours"]
    return {
        "of": (choice_shape("of", "Of", tuple(owners)), _owner(line)),
        "kind": (
            text_shape("kind", "What for", "Such as service or wear"),
            line.kind if line else "",
        ),
        "amount": (Shape("amount", "money", Datum("Amount")), line and line.amount),
        "per_year": (choice_shape("per_year", "Every year", ("no", "yes")), every),
        "year": (
            Shape(
                "year",
                "integer",
                Datum("Year", "0 is now; if empty: now, or every year"),
                (),
                *_YEARS,
            ),
            line and line.year,
        ),
        "per_hours": (
            Shape("per_hours", "quantity", per_hours, standing="assumed"),
            line and line.per_hours,
        ),
        "growth": (
            Shape("growth", "change", Datum("Growth", "Of the amount, a year")),
            line and line.growth,
        ),
    }, {"of": owners, "per_year": {"no": "no", "yes": "yes"}}


def _make_line(evaluation: Evaluation, values: Values) -> CostLine:
    owner, _, name = str(values["of"] or _EVERY).partition(" ")
    data = {key: value for key, value in values.items() if key not in ("of", "per_year")}
    if name:
        data[owner] = name
    return CostLine(per_year=values["per_year"] == "yes", **data)


LINES = RowKind[CostLine](
    "cost line",
    steps.NO_LINES,
    steps.LINES_INTRODUCTION,
    lambda evaluation: evaluation.cost.lines,
    lambda evaluation, rows: _with_cost(evaluation, lines=rows),
    basis.lines_sheet,
    _ask_line,
    _make_line,
    {"kind": steps.KIND_WANTED, "amount": steps.AMOUNT_WANTED},
)


# Scope, barred pairs, measures --------------------------------------------------------------------


SCOPE = RowKind[str](
    "item of scope",
    steps.NO_SCOPE,
    steps.SCOPE_INTRODUCTION,
    lambda evaluation: evaluation.scope_items,
    lambda evaluation, rows: evaluation.replace(scope_items=rows),
    basis.scope_sheet,
    lambda _, item: (
        {"item": (text_shape("item", "Item", "Such as spare parts"), item or "")},
        {},
    ),
    lambda _, values: str(values["item"]),
    {"item": steps.ITEM_WANTED},
)


def _ask_pair(appraisal: Appraisal, pair: JobOnBarrel | None) -> tuple[Fields, Choices]:
    jobs = {job.id: job_name(appraisal, job.id) for job in appraisal.jobs}
    barrels = {barrel.id: full_name(appraisal, barrel.id) for barrel in appraisal.barrels}
    return {
        "job": (choice_shape("job", "Job", tuple(jobs)), pair and pair.job),
        "barrel": (choice_shape("barrel", "Never on", tuple(barrels)), pair and pair.barrel),
    }, {"job": jobs, "barrel": barrels}


FORBIDDEN = RowKind[JobOnBarrel](
    "barred pair",
    steps.NO_FORBIDDEN,
    steps.FORBIDDEN_INTRODUCTION,
    lambda evaluation: evaluation.cover_options.forbidden,
    lambda evaluation, rows: evaluation.replace(
        cover_options=evaluation.cover_options.replace(forbidden=rows)
    ),
    basis.forbidden_sheet,
    _ask_pair,
    lambda _, values: JobOnBarrel(**values),
    {"job": steps.PAIR_WANTED, "barrel": steps.PAIR_WANTED},
)


def _ask_measure(_: Appraisal, measure: Measure | None) -> tuple[Fields, Choices]:
    weight = Shape("weight", "number", Datum("Weight", steps.WEIGHT))
    return {
        "key": (choice_shape("key", "Measure", _MEASURES), measure and measure.key),
        "weight": (weight, measure and measure.weight),
    }, {"key": {key: measure_text(key) for key in _MEASURES}}


def _put_measures(evaluation: Evaluation, rows: tuple[Measure, ...]) -> Evaluation:
    return evaluation.replace(measures=tuple({one.key: one for one in rows}.values()))


MEASURES = RowKind[Measure](
    "measure",
    steps.NO_MEASURES,
    steps.MEASURES_INTRODUCTION,
    lambda evaluation: evaluation.measures,
    _put_measures,
    basis.measures_sheet,
    _ask_measure,
    lambda _, values: Measure(**values),
    {"key": steps.MEASURE_WANTED},
)
