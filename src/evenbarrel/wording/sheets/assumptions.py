"""What the appraisal stood on: resins and their factors, limits, half-widths, sources, cautions."""

from __future__ import annotations

from collections.abc import Iterator

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import FactorRef, Reference
from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import (
    USUAL_HALF_WIDTHS,
    Limits,
    limit_origin,
    limit_value,
)
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.trade.sources import SOURCES
from evenbarrel.wording.sentences.deciding.decision import (
    HALF_WIDTHS,
    in_diameters,
    limit_label,
    route_word,
)
from evenbarrel.wording.sentences.pages import route_note
from evenbarrel.wording.sentences.resins import tait_line
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.limits import limit_note
from evenbarrel.wording.words.names import resin_called
from evenbarrel.wording.words.numbers import (
    display_unit,
    in_units,
    rounded,
    shown,
    unit_text,
)
from evenbarrel.wording.workings.line import literature, stated

CAUTIONS: tuple[str, ...] = (
    "This evaluation is a screening by calculation, not a guarantee. It judges the injection unit "
    "only: clamp force, tie bars, mould height and nozzle fit are not assessed.",
    "Hot melt is under pressure. Purging and air shots are for trained people, with face and "
    "hands protected and nobody in front of the nozzle: ISO 20430, the machine's manual and "
    "local codes apply.",
    "PVC, and any halogenated resin, must never meet acetal (POM) in one barrel, hopper, dryer or "
    "grinder: together they decompose violently, and purging does not make it safe.",
    "Overheated POM gives off formaldehyde, overheated PVC hydrogen chloride. Residence times here "
    "are means; tails are longer. Keep within the resin maker's limits and ventilate.",
    "Intervals are bounds, all inputs taken to one side at once; they are not confidence "
    "intervals.",
)
"""What is to be kept in mind by whoever reads an evaluation.

Source: iso_20430
"""


def resins_sheet(appraisal: Appraisal) -> Sheet:
    """Return the output factor of each resin by every route, and the one in use."""
    units = appraisal.evaluation.display_units
    density = unit_text(display_unit("density", units))
    first = next(iter(appraisal.resins.values()), None)
    routes = [] if first is None else [route.route for route in first.routes]
    headings = (
        Heading("Resin"),
        Heading("Class"),
        Heading("In use"),
        *(Heading(labels.ROUTES[route], density, "right") for route in routes),
        Heading("Solid density", density, "right"),
        Heading("Leak share implied", "%", "right"),
        Heading("Origin of the factor"),
    )
    rows = tuple(_resin_row(appraisal, resin) for resin in appraisal.evaluation.resins)
    return Sheet(
        "resins", "Resins and their output factors", headings, rows, notes=_extrapolated(appraisal)
    )


def _extrapolated(appraisal: Appraisal) -> tuple[str, ...]:
    """Return a line for each resin whose melt density lies beyond the range of its equation."""
    evaluation = appraisal.evaluation
    lines = (
        (resin, tait_line(resin, appraisal.resins[resin.id], evaluation.display_units))
        for resin in evaluation.resins
    )
    return tuple(f"{resin_called(evaluation, resin)}: {line}." for resin, line in lines if line)


def _resin_row(appraisal: Appraisal, resin: Resin) -> tuple[Cell, ...]:
    units, result = appraisal.evaluation.display_units, appraisal.resins[resin.id]
    used = next((route for route in result.routes if route.route == result.route), None)
    leak = None if used is None else used.leak_share
    entered = stated(resin.output_factors, result.route or "")
    derived = route_note(None, result.density_notes)

    def density(value: float | None, tip: str = "", reference: Reference | None = None) -> Cell:
        text, number = shown(value, "density", units), in_units(value, "density", units)
        return Cell(text, number, tip=tip, reference=reference)

    return (
        Cell(resin_called(appraisal.evaluation, resin)),
        Cell(resin.resin_class or "not stated"),
        Cell(labels.ROUTES.get(result.route or "", "not stated")),
        *(density(r.factor, reference=FactorRef(resin.id)) for r in result.routes),
        density(result.solid_density, "For comparison only"),
        _percentage(leak),
        Cell(entered or derived),
    )


def _percentage(share: float | None) -> Cell:
    """Return a share in per cent, without the unit that stands in the heading."""
    hundredths = None if share is None else share * 100.0
    return Cell(rounded(hundredths, 2), hundredths)


def limits_sheet(appraisal: Appraisal) -> Sheet:
    """Return every limit with its origin."""
    limits = appraisal.evaluation.limits
    rows = []
    for name in Limits.model_fields:
        if name == "required":
            continue
        limit = getattr(limits, name)
        note = getattr(limit, "note", "")
        shares = not in_diameters(name)
        value = round(limit_value(limit) * (100.0 if shares else 1.0), 9)
        rows.append(
            (
                Cell(limit_label(name)),
                Cell(f"{value:.4g}", value),
                Cell("%" if shares else "diameters"),
                Cell(labels.ORIGINS[limit_origin(limit)]),
                Cell(limit_note(note)),
            )
        )
    headings = (
        Heading("Limit"),
        Heading("Value", "", "right"),
        Heading("Unit"),
        Heading("Origin"),
        Heading("Note"),
    )
    return Sheet("limits", "Limits", headings, tuple(rows))


def uncertainty_sheet(appraisal: Appraisal) -> Sheet:
    """Return the half-width of each kind of input by its route."""
    uncertainty = appraisal.evaluation.uncertainty
    rows = []
    for quantity, routes in USUAL_HALF_WIDTHS.items():
        own = getattr(uncertainty, quantity) is not None
        for route in routes:
            width = uncertainty.half_width(quantity, route)
            origin = labels.ORIGINS[None if own else "common_practice"]
            rows.append(
                (
                    Cell(HALF_WIDTHS[quantity]),
                    Cell(route_word(quantity, route)),
                    Cell(f"± {rounded(width * 100.0, 2)}", width * 100.0),
                    Cell(origin),
                )
            )
    headings = (
        Heading("Input"),
        Heading("Route"),
        Heading("Half-width", "%", "right"),
        Heading("Origin"),
    )
    return Sheet("uncertainty", "Half-widths of the inputs", headings, tuple(rows))


def source_lines(evaluation: Evaluation) -> tuple[str, ...]:
    """Return what an evaluation rests on, as it is cited: by its rules and by its resins' data."""
    given = set(_given_sources(evaluation.resins))
    return tuple(
        literature(key)
        for key, source in SOURCES.items()
        if source.kind != "definition" and (source.is_rule or not given.isdisjoint(source.data))
    )


def _given_sources(value: object) -> Iterator[str]:
    """Yield what each quantity within a value gives as its source."""
    if isinstance(value, Quantity):
        yield value.source
    elif isinstance(value, tuple):
        for one in value:
            yield from _given_sources(one)
    elif isinstance(value, Frozen):
        for name in type(value).model_fields:
            yield from _given_sources(getattr(value, name))
