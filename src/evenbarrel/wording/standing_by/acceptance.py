"""What was measured and what is guaranteed, in tables and sentences; and how to measure it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import SeriesRef
from evenbarrel.decision.acceptance import (
    LEAST_SHOTS,
    Against,
    Held,
    Note,
    Series,
    Verdict,
    series_of,
)
from evenbarrel.decision.guarantees import GuaranteeLine, guarantee_lines
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, said_once, without_columns
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import barrel_name, full_name, job_name, names_of_resins
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    percent,
    printed,
    signed_percent,
    with_unit,
)

KINDS: Mapping[str, str] = {
    "air_shot": "air shots",
    "plasticising": "plasticising rate",
    "repeatability": "repeatability",
}
VERDICTS: Mapping[Verdict, str] = {
    "accept": "accept",
    "reject": "reject",
    "within_uncertainty": "within uncertainty: undecided",
}
_STATE_OF: Mapping[Verdict, str] = {
    "accept": "inside",
    "reject": "outside",
    "within_uncertainty": "near_edge",
}
AGAINST: Mapping[Against, str] = {
    "claim": "as printed, at least",
    "guarantee": "as guaranteed",
    "job_tolerance": "tolerance of {job}, at most",
}
_NOTES: Mapping[Note, str] = {
    "few_shots": f"fewer than {LEAST_SHOTS} shots: too few to judge the scatter",
    "tolerance_assumed": "the tolerance of the diameter is assumed: 0.1 mm",
    "converted": "converted from the resin used in the test",
    "drifts": "the masses drift: wait until the machine is stable and weigh again",
    "upper_bound": (
        "no cavity pressure: leakage past the ring under injection is not included, so this "
        "is an upper bound for moulding"
    ),
    "time_exact": "the time is taken as exact",
    "resolution_not_stated": "a resolution is not stated and is not included",
}
_MISSING: Mapping[str, str] = {
    "masses": "two weighed masses",
    "screw_diameter": "screw diameter",
    "stroke_travelled": "stroke travelled",
    "stroke": "stroke of the screw",
    "output_factor": "output factor of both resins",
    "melt_density": "melt density and enthalpy of both resins",
    "time": "time in which it was plasticised",
}
_PARTS: Mapping[str, str] = {
    "scatter": "scatter",
    "scale_resolution": "scale",
    "stroke_resolution": "stroke",
    "diameter_tolerance": "diameter",
    "conversion": "conversion",
}
RULE = (
    "Accepted where the value with its expanded uncertainty (U = 2 u, about 95 %) lies "
    "wholly within the limits, rejected where it lies wholly beyond them; otherwise the "
    "result is undecided, and more shots or a finer scale are needed (the idea of JCGM 106, "
    "from memory)."
)
PROTOCOL: Mapping[str, tuple[str, ...]] = {
    "air_shot": (
        "Run the machine at the planned melt temperature and back pressure until ten shots "
        "in a row show no drift.",
        "Set a stroke between 1 and 3 diameters, without decompression; make at least "
        f"{LEAST_SHOTS} air shots, each caught and weighed when cold.",
        "Write down the resin, the stroke travelled, the resolution of stroke and scale, and every "
        "mass in order.",
    ),
    "plasticising": (
        "At the screw speed that the rate is stated for, with the agreed back pressure and "
        "resin, plasticise a full stroke against the clock, from screw start to screw stop.",
        f"Repeat at least {LEAST_SHOTS} times and weigh what is purged each time. Write down "
        "the mean time.",
    ),
    "repeatability": (
        "Keeping all settings unchanged, make at least thirty shots at one setting, weighed "
        "in order.",
    ),
}
CAUTIONS: tuple[str, ...] = (
    "Air shots and purging eject hot melt under pressure: trained people only, with face, "
    "hands and arms protected, nobody in front of the nozzle, guards as the machine's manual "
    "requires.",
    "ISO 20430, the machine's manual, the resin maker's sheet and local codes apply. PVC and "
    "POM give off dangerous gases if they stay hot too long or meet: ventilate, and keep "
    "them on separate machines.",
)
_SIDES = {"at_least": "at least", "at_most": "at most", "both": "equal to"}
_METHODS: Mapping[str, str] = {
    "rated_shot_mass": "air shots by the acceptance protocol, in the resin it is rated in",
    "swept_volume": "stroke and diameter measured; air shots by the acceptance protocol",
    "stroke": "measured at the screw, between the mechanical stops",
    "plasticising_rate": "weighed over a measured time by the acceptance protocol, at the rated "
    "speed",
    "injection_pressure": "read at the machine against a calibrated transducer in the nozzle",
    "injection_rate": "forward speed from the position trace × screw area",
    "melt_inventory": "from the screw drawing",
    "ring_travel": "from the drawing of the ring, checked when it is removed",
}
REMEDY = (
    "Corrected at the supplier's cost within an agreed time; failing that, a lower price or "
    "return of the machine. To be settled in the order."
)
SHEET_NOTE = (
    "Suggested by the program for the order: tolerance 2 % where there is room, else half of "
    "the distance to the hard edge, never tighter than the rounding of the printed number. "
    "For purchasing to settle."
)


PROTOCOL_NOTE = "Suggested where the order agrees nothing else; what the order says counts."
WITNESSES = ("Weighed by", "Witnessed for the supplier", "Witnessed for the buyer")
_ROOM = "Room to the edge"
_TO_FILL = 3
"""Rows of the table that masses are written into by hand."""
_BESIDE = 10


def protocol_title(barrel: str) -> str:
    """Return the title of a barrel's protocol."""
    return f"Acceptance protocol: {barrel}"


def to_fill(kind: str) -> Sheet:
    """Return a table for what is written down by hand: the masses in order, and what they need."""
    first = {"air_shot": "Stroke travelled", "plasticising": "Time", "repeatability": "Setting"}
    headings = (
        Heading("Resin, lot"),
        Heading(first[kind]),
        Heading("Resolutions"),
        *(Heading(str(number), align="right") for number in range(1, _BESIDE + 1)),
    )
    rows = tuple(tuple(Cell("\n ") for _ in headings) for _ in range(_TO_FILL))
    return Sheet(f"to_fill.{kind}", KINDS[kind], headings, rows)


def conditions_to_fill() -> Sheet:
    """Return a table for what all series are weighed under, to be written by hand."""
    titles = ("Date", "Machine number", "Melt temperature", "Back pressure", "Screw speed")
    headings = tuple(map(Heading, titles))
    return Sheet("to_fill", "Conditions", headings, (tuple(Cell("") for _ in headings),))


def guarantees_to_show(appraisal: Appraisal, barrel: str) -> Sheet:
    """Return what is to be guaranteed as the supplier may see it.

    Without how near an edge a number is, for which of our jobs.
    """
    sheet = without_columns(guarantee_sheet(appraisal, barrel), frozenset({_ROOM}))
    return said_once(replace(sheet, notes=(PROTOCOL_NOTE,)), "Remedy")


def measured_text(series: Series, value: float | None, units: DisplayUnits) -> str:
    """Return a number of what a series is about: a mass, a rate or a share."""
    if series.kind == "repeatability":
        return ABSENT if value is None else f"± {percent(value)}"
    kind = "mass" if series.kind == "air_shot" else "mass_rate"
    return with_unit(value, kind, units, 4)


def acceptance_sheet(appraisal: Appraisal, barrel: str | None = None) -> Sheet:
    """Return every series weighed, with what it comes to and what it is held against.

    Those of one barrel where it is named.
    """
    rows = []
    weighed = [one for one in series_of(appraisal) if barrel in (None, one.barrel)]
    for series in weighed:
        rows += [_row(appraisal, series, held) for held in series.held or (None,)]
    headings = (
        Heading("Barrel"),
        Heading("Test"),
        Heading("Shots", align="right", yields=1),
        Heading("Mean shot", yields=1),
        Heading("Result, U = 2 u"),
        Heading("Against"),
        Heading("Verdict"),
    )
    notes = tuple(series_sentence(appraisal, series) for series in weighed)
    return Sheet("acceptance", "Acceptance tests", headings, tuple(rows), notes=(RULE, *notes))


def series_by_row(appraisal: Appraisal) -> tuple[Series, ...]:
    """Return the series of each row of the table of all of them."""
    return tuple(series for series in series_of(appraisal) for _ in series.held or (None,))


def weighed_where(appraisal: Appraisal, series: Series) -> str:
    """Return where a series was weighed, as the source of a number taken from it."""
    day = appraisal.evaluation.acceptance[series.acceptance].date
    name = f"{KINDS[series.kind]}, {full_name(appraisal, series.barrel)}"
    return name if day is None else f"{name}, {date_text(day)}"


def _row(appraisal: Appraisal, series: Series, held: Held | None) -> tuple[Cell, ...]:
    units = appraisal.evaluation.display_units
    result = ABSENT
    if series.result is not None:
        width = percent(2.0 * series.result.relative)
        result = f"{measured_text(series, series.result.value, units)} ± {width}"
        if series.kind == "repeatability":
            result = measured_text(series, series.result.value, units)
    against = Cell(ABSENT)
    verdict = Cell(_missing_text(series))
    if held is not None:
        job = "" if held.job is None else job_name(appraisal, held.job)
        what = AGAINST[held.against].format(job=job)
        against = Cell(f"{what} {edge_text(series, held, units)}")
        verdict = Cell(VERDICTS[held.verdict], state=_STATE_OF[held.verdict])  # type: ignore[arg-type]
    return (
        Cell(barrel_name(appraisal, series.barrel)),
        Cell(KINDS[series.kind]),
        Cell(str(series.count), float(series.count)),
        Cell(with_unit(series.mean, "mass", units, 4)),
        Cell(result, reference=SeriesRef(series.acceptance, series.test)),
        against,
        verdict,
    )


def edge_text(series: Series, held: Held, units: DisplayUnits) -> str:
    """Return the edges that a result must keep."""
    ends = [measured_text(series, end, units) for end in (held.low, held.high) if end is not None]
    return " to ".join(ends)


def _missing_text(series: Series) -> str:
    if not series.missing:
        return "nothing to compare with"
    return f"not stated: {', '.join(_MISSING.get(name, name) for name in series.missing)}"


def series_sentence(appraisal: Appraisal, series: Series) -> str:
    """Return one series in words: scatter, drift, factor beside the one in use, what it omits."""
    units = appraisal.evaluation.display_units
    session = appraisal.evaluation.acceptance[series.acceptance]
    day = "" if session.date is None else f", {date_text(session.date)}"
    name = f"{full_name(appraisal, series.barrel)}, {KINDS[series.kind]}{day}"
    return f"{name}: {'; '.join(_series_parts(appraisal, series, units)) or 'nothing weighed'}."


def _series_parts(appraisal: Appraisal, series: Series, units: DisplayUnits) -> Iterator[str]:
    if series.mean and series.scatter is not None and series.drift is not None:
        yield f"shot-to-shot scatter {percent(series.scatter / series.mean)}"
        yield f"drift over the series {signed_percent(series.drift)}"
    factor = series.factor
    if factor is not None and series.resin is not None:
        resin = names_of_resins(appraisal.evaluation)[series.resin]
        width = percent(2.0 * factor.relative)
        yield f"output factor of {resin} {with_unit(factor.value, 'density', units, 4)} ± {width}"
        parts = ", ".join(
            f"{_PARTS[part]} {percent(share)}" for part, share in factor.parts.items() if share
        )
        yield f"standard uncertainty {percent(factor.relative)} ({parts})"
        if series.factor_used:
            gap = factor.value / series.factor_used - 1.0
            used = with_unit(series.factor_used, "density", units, 4)
            yield f"{signed_percent(gap)} against {used} in use now"
    yield from (_NOTES[note] for note in series.notes)


def guarantee_sheet(appraisal: Appraisal, barrel: str) -> Sheet:
    """Return the claims of a barrel that decide, as values to be guaranteed with the order."""
    lines = guarantee_lines(appraisal, barrel)
    headings = (
        Heading("Datum"),
        Heading("Value"),
        Heading("Tolerance"),
        Heading(_ROOM),
        Heading("Method"),
        Heading("Remedy"),
    )
    rows = tuple(_guarantee_row(appraisal, line) for line in lines)
    title = f"To be guaranteed: {full_name(appraisal, barrel)}"
    return Sheet("guarantees", title, headings, rows, notes=(SHEET_NOTE,))


def method_of(datum: str) -> str:
    """Return how a guaranteed datum is to be measured."""
    return _METHODS[datum]


def _guarantee_row(appraisal: Appraisal, line: GuaranteeLine) -> tuple[Cell, ...]:
    side = _SIDES[line.side]
    agreed = line.agreed
    tolerance = percent(line.tolerance)
    value, method, remedy = printed(line.stated), method_of(line.datum), REMEDY
    if agreed is not None:
        value, tolerance = printed(agreed.value), printed(agreed.tolerance)
        method, remedy = agreed.method or method, agreed.remedy or remedy
    room = ABSENT
    if line.margin is not None and line.job is not None:
        word = CRITERION_WORDS[line.criterion].short
        room = f"{percent(line.margin)}: {word}, {job_name(appraisal, line.job)}"
    return (
        Cell(labels.datum_of(Barrel, line.datum)),
        Cell(f"{side} {value}" + ("" if agreed is None else " (agreed)")),
        Cell(tolerance),
        Cell(room),
        Cell(method),
        Cell(remedy),
    )
