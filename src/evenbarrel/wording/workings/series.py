"""How the result of a series of weighed shots came about, with its uncertainty."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import FactorRef, SeriesRef
from evenbarrel.decision.acceptance import Series, series_of
from evenbarrel.model.record.acceptance import Acceptance, AcceptanceTest
from evenbarrel.trade.acceptance import student_factor
from evenbarrel.wording.standing_by.acceptance import (
    AGAINST,
    KINDS,
    RULE,
    VERDICTS,
    edge_text,
    measured_text,
)
from evenbarrel.wording.words.names import full_name, job_name, names_of_resins
from evenbarrel.wording.words.numbers import percent, printed, rounded, with_unit
from evenbarrel.wording.workings.line import Line, Working, entered_line, literature, where_stated

FORMULAS: Mapping[str, str] = {
    "air_shot": "output factor = mean shot / (π / 4 × diameter² × stroke travelled); mass of a "
    "full stroke = output factor × π / 4 × diameter² × stroke; rated in another resin, × its "
    "output factor / that of the resin weighed",
    "plasticising": "rate = mean shot / time; rated in another resin, / the share that the rate in "
    "the resin weighed is of it",
    "repeatability": "half of (heaviest − lightest) / mean shot",
}
_MEASURED: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("Stroke travelled", "stroke", ("air_shot",)),
    ("Time", "time", ("plasticising",)),
    ("Step of the scale", "scale_resolution", tuple(FORMULAS)),
    ("Step of the stroke", "stroke_resolution", ("air_shot",)),
    ("Tolerance of the diameter", "diameter_tolerance", ("air_shot",)),
)
"""What is measured beside the masses, and in which kinds of series it counts."""
_PARTS: Mapping[str, tuple[str, str]] = {
    "scatter": ("Uncertainty by scatter", "t × s / √n, of the mean; Student's t is {t}"),
    "scale_resolution": ("Uncertainty by the scale", "its step / √12, of the mean"),
    "stroke_resolution": ("Uncertainty by the stroke", "its step / √12, of the stroke travelled"),
    "conversion": (
        "Uncertainty by conversion",
        "half-width / √3 of both output factors, added as squares",
    ),
}
_OF_SPREAD = "s / √(2 (n − 1)) of the scatter, and the scale's step / √12, added as squares"


def series_working(appraisal: Appraisal, reference: SeriesRef) -> Working:
    """Return how a series came to its result; raises KeyError where it is gone."""
    place = (reference.acceptance, reference.test)
    series = next(
        (one for one in series_of(appraisal) if (one.acceptance, one.test) == place), None
    )
    if series is None:
        raise KeyError(place)
    session = appraisal.evaluation.acceptance[series.acceptance]
    units = appraisal.evaluation.display_units
    value = None if series.result is None else series.result.value
    return Working(
        title=f"{KINDS[series.kind].capitalize()}: {full_name(appraisal, series.barrel)}",
        result=measured_text(series, value, units),
        formula=FORMULAS[series.kind],
        lines=(
            *_weighed(appraisal, series),
            *_entered(appraisal, series, session, session.tests[series.test]),
            *_uncertainty(series),
            *_held(appraisal, series),
        ),
        notes=(RULE,),
        literature=tuple(map(literature, ("definition", "jcgm_100", "jcgm_106"))),
    )


def _weighed(appraisal: Appraisal, series: Series) -> Iterator[Line]:
    units = appraisal.evaluation.display_units
    mean, scatter = (with_unit(x, "mass", units, 4) for x in (series.mean, series.scatter))
    yield Line("Mean shot", mean, f"of {series.count} shots, n")
    yield Line("Scatter, s", scatter, "standard deviation of one shot")
    if series.factor is not None:
        factor = with_unit(series.factor.value, "density", units, 4)
        yield Line("Output factor of the shots", factor)


def _entered(
    appraisal: Appraisal, series: Series, session: Acceptance, test: AcceptanceTest
) -> Iterator[Line]:
    """Yield what was measured beside the masses, and what the barrel states."""
    _, _, barrel = appraisal.evaluation.place(series.barrel)
    home = appraisal.evaluation.barrel_path(series.barrel)
    if series.kind == "air_shot":
        for name in ("screw_diameter", "stroke"):
            if getattr(barrel, name) is not None:
                yield entered_line(barrel, home, name)
    for label, name, kinds in _MEASURED:
        thing = test if name in type(test).model_fields else session
        if series.kind in kinds and getattr(thing, name) is not None:
            yield Line(label, printed(getattr(thing, name)), where_stated(thing, name))
    if "converted" in series.notes:
        rated = barrel.reference_resin if series.kind == "air_shot" else barrel.plasticising_resin
        yield from _factors(appraisal, (series.resin, rated or barrel.reference_resin))


def _factors(appraisal: Appraisal, resins: tuple[str | None, ...]) -> Iterator[Line]:
    units, names = appraisal.evaluation.display_units, names_of_resins(appraisal.evaluation)
    for resin in resins:
        if resin is not None:
            result = appraisal.resins[resin]
            factor = with_unit(result.factor, "density", units)
            width = f"± {percent(result.half_width)}"
            yield Line(f"Output factor of {names[resin]}", factor, width, FactorRef(resin))


def _uncertainty(series: Series) -> Iterator[Line]:
    result = series.result
    if result is None:
        return
    for name, part in result.parts.items():
        label, how = _PARTS[name]
        t = rounded(student_factor(series.count - 1), 4)
        given = _OF_SPREAD if series.kind == "repeatability" else how.format(t=t)
        yield Line(label, percent(part), given)
    yield Line("Standard uncertainty, u", percent(result.relative), "root of their squares' sum")
    yield Line("Expanded uncertainty, U", percent(2.0 * result.relative), "2 u")


def _held(appraisal: Appraisal, series: Series) -> Iterator[Line]:
    units = appraisal.evaluation.display_units
    for held in series.held:
        job = "" if held.job is None else job_name(appraisal, held.job)
        against = AGAINST[held.against].format(job=job)
        edge = edge_text(series, held, units)
        yield Line(f"{against[:1].upper()}{against[1:]}", edge, VERDICTS[held.verdict])
