"""What an offer does not state, as one table: a row a datum, a column a screw, cells to fill."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.questions import MISSING
from evenbarrel.appraisal.results import Question
from evenbarrel.model import datum_path as edits
from evenbarrel.model.datum import data_of
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.sentences.asking.questions import screws_without
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import names_of_resins, screw_called, unit_called
from evenbarrel.wording.words.numbers import display_unit, printed, unit_text

SCREWS_IN_TABLE = 6
"""As many columns of screws as stand beside each other; more begin another table."""

_OF_UNIT = "The same for all screws of the unit."

_ASKED: Mapping[str, tuple[str, str]] = {
    "screw_diameter": ("Screw diameter", "Nominal diameter."),
    "stroke": ("Screw stroke", "Maximum injection stroke, not the travel of the whole unit."),
    "swept_volume": (
        "Swept volume",
        "Screw area × stroke, not what an air shot weighs; or state diameter and stroke instead.",
    ),
    "rated_shot_mass": ("Rated shot mass", "Maximum mass of one air shot."),
    "reference_resin": (
        "Resin that the shot mass is rated in",
        "For example polystyrene. The mass cannot be converted without it, and we would rather "
        "not guess.",
    ),
    "reference_factor": (
        "Mass per cm³ of swept volume",
        "The factor that you used for the rating.",
    ),
    "injection_pressure": ("Injection pressure", "Maximum melt pressure, not oil pressure."),
    "injection_rate": ("Injection rate", "Maximum, in an air shot."),
    "injection_power": ("Injection power", f"Maximum power delivered to the melt. {_OF_UNIT}"),
    "plasticising_rate": ("Plasticising rate", "Mass plasticised while the screw rotates."),
    "plasticising_resin": (
        "Resin of the plasticising rate",
        "The resin in which that rate was measured.",
    ),
    "plasticising_speed": (
        "Screw speed of the plasticising rate",
        "The screw speed at which that rate was measured.",
    ),
    "screw_speed_max": ("Maximum screw speed", "The highest that the drive allows this screw."),
    "length_ratio": ("L/D", "Flighted length of the screw in diameters."),
    "compression_ratio": (
        "Compression ratio of the screw",
        "Channel depth in the feed zone / in the metering zone.",
    ),
    "feed_depth": ("Channel depth in the feed zone", "Of the screw."),
    "metering_depth": ("Channel depth in the metering zone", "Of the screw."),
    "zones": (
        "Zones of the screw",
        "Feed, compression and metering, in % of the flighted length.",
    ),
    "melt_inventory": (
        "Volume of melt in the screw channel",
        "What the channel holds while the screw runs.",
    ),
    "position_scatter": (
        "Scatter of the screw's end position",
        f"±, from shot to shot, at the end of the forward stroke. {_OF_UNIT}",
    ),
    "ring_travel": (
        "Closing travel of the check ring",
        "Travel of the non-return valve from open to closed.",
    ),
    "ring_kind": ("Kind of check ring", "Non-return valve: sliding ring, ball, or plain tip."),
    "barrel_package": ("Material or coating of the barrel", "For example bimetallic or nitrided."),
    "screw_package": (
        "Material or coating of the screw",
        "For example chrome, nitrided or carbide.",
    ),
    "energy_per_mass": (
        "Energy for 1 kg",
        f"What the whole machine takes, and by which method it was measured. {_OF_UNIT}",
    ),
    "price_difference": (
        "Price difference",
        "Of this screw against the standard one, which the machine's price includes; 0 for that.",
    ),
}
"""What a datum is called to somebody who does not know our labels, and what exactly is meant."""


@dataclass(frozen=True, slots=True)
class MissingRow:
    """One datum: a cell for each screw, None to be filled, else what is printed or "" .

    `of_unit`: it is one for all screws of a unit.
    """

    question: str
    label: str
    unit: str
    meaning: str
    reason: str
    cells: tuple[str | None, ...]
    of_unit: bool = False


@dataclass(frozen=True, slots=True)
class MissingTable:
    """What some screws of an offer do not state; `screws` and `units` name the columns."""

    units: tuple[str, ...]
    screws: tuple[str, ...]
    rows: tuple[MissingRow, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Return each column's unit and screw."""
        return tuple(f"{u} {s}".strip() for u, s in zip(self.units, self.screws, strict=True))

    def parts(self) -> Iterator[MissingTable]:
        """Yield tables of so few screws that they fit a page, each with the rows it has to fill."""
        for first in range(0, len(self.screws), SCREWS_IN_TABLE):
            some = slice(first, first + SCREWS_IN_TABLE)
            rows = tuple(
                replace(r, cells=r.cells[some]) for r in self.rows if None in r.cells[some]
            )
            if rows:
                yield MissingTable(self.units[some], self.screws[some], rows)


def is_missing(question: Question) -> bool:
    """Say whether a question asks screws for a datum and nothing else: it stands in the table."""
    return question.key == MISSING and bool(question.barrels)


def missing_table(appraisal: Appraisal, bid: str, questions: Sequence[Question]) -> MissingTable:
    """Return what questions to one supplier ask screws for, in the order of a data sheet.

    Where a number is in doubt for some screws and not stated for others, these are in it too.
    Raises KeyError for a bid that is not there.
    """
    offer = appraisal.evaluation.bid(bid)
    wanted = {question.id: _wanted(question, appraisal) for question in questions}
    open_of = {screw for screws in wanted.values() for screw in screws}
    screws = [(u, b) for u in offer.units for b in u.barrels if b.id in open_of]
    order = [*InjectionUnit.model_fields, *Barrel.model_fields]
    asked = [question for question in questions if wanted[question.id]]
    asked.sort(key=lambda question: order.index(question.datum))
    return MissingTable(
        tuple(unit_called(offer, unit) for unit, _ in screws),
        tuple(screw_called(unit, barrel) for unit, barrel in screws),
        tuple(
            _row(question, wanted[question.id], [b.id for _, b in screws], appraisal)
            for question in asked
        ),
    )


def _wanted(question: Question, appraisal: Appraisal) -> tuple[str, ...]:
    if is_missing(question):
        return question.barrels
    return screws_without(question, appraisal) if question.claim is not None else ()


def _row(
    question: Question, wanted: Sequence[str], screws: Sequence[str], appraisal: Appraisal
) -> MissingRow:
    label, meaning = _words(question.datum)
    cells = tuple(None if s in wanted else _stated(question, s, appraisal) for s in screws)
    unit, reason = _unit(question, appraisal), _reason(question)
    of_unit = question.datum in InjectionUnit.model_fields
    return MissingRow(question.id, label, unit, meaning, reason, cells, of_unit)


def _words(datum: str) -> tuple[str, str]:
    described = {**data_of(Bid), **data_of(InjectionUnit), **data_of(Barrel)}.get(datum)
    usual = (labels.datum(datum), "" if described is None else described.help)
    return _ASKED.get(datum, usual)


def _reason(question: Question) -> str:
    """Return what the datum is needed to judge: of several the first."""
    keys = [key for key in question.raised_by if key in CRITERION_WORDS]
    return f"To judge {CRITERION_WORDS[keys[0]].asked_for}." if keys else ""


def _stated(question: Question, screw: str, appraisal: Appraisal) -> str:
    """Return what the supplier states of a screw that is not asked; nothing that we assumed."""
    path = appraisal.evaluation.barrel_path(screw)
    owner = path if question.datum in Barrel.model_fields else path[:4]
    value = edits.get(appraisal.evaluation, (*owner, question.datum))
    if isinstance(value, Quantity):
        return printed(value) if value.standing in ("quoted", "confirmed") else ""
    if question.datum.endswith("_resin"):
        return names_of_resins(appraisal.evaluation).get(value, "")
    return labels.choice(value) if isinstance(value, str) else ""


def _unit(question: Question, appraisal: Appraisal) -> str:
    """Return the unit that the offer prints the datum in, else the one we show it in."""
    evaluation = appraisal.evaluation
    model = Barrel if question.datum in Barrel.model_fields else InjectionUnit
    described = data_of(model).get(question.datum)
    if described is None or not described.kinds or described.units == ("1",):
        return ""
    offer = evaluation.bid(question.bid or "")
    things = (
        [unit for unit in offer.units]
        if model is InjectionUnit
        else [barrel for unit in offer.units for barrel in unit.barrels]
    )
    for thing in things:
        value = getattr(thing, question.datum)
        if isinstance(value, Quantity):
            return unit_text(value.unit)
    return unit_text(display_unit(described.kinds[0], evaluation.display_units))
