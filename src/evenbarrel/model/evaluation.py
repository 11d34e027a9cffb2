"""One evaluation: everything people entered, as of a date; and a bid on its own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date as Date
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from evenbarrel.model.base import Frozen
from evenbarrel.model.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.datum import Datum
from evenbarrel.model.datum_path import Path
from evenbarrel.model.decision import (
    Answer,
    Assignment,
    ConfirmedLimit,
    Cost,
    Deviation,
    SignOff,
)
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Limits, Uncertainty
from evenbarrel.model.resin import Resin

FORMAT_VERSION = 2
MOST_RESINS, MOST_JOBS, MOST_BARRELS = 500, 2_000, 20_000
"""More than any programme has; within them everything is computed in bearable time."""


def _refuse_duplicates(things: str, ids: Iterator[str]) -> None:
    for name, count in Counter(ids).items():
        if count > 1:
            raise PydanticCustomError(
                "duplicate_id",
                "two {things} have the id '{name}'",
                {"things": things, "name": name},
            )


def _refuse_dangling(resins: tuple[Resin, ...], bids: tuple[Bid, ...]) -> None:
    known = {resin.id for resin in resins}
    for bid in bids:
        for unit in bid.units:
            for barrel in unit.barrels:
                for name in ("reference_resin", "plasticising_resin"):
                    _refuse_unknown_resin(
                        known,
                        f"barrel '{barrel.id}', {name.replace('_', ' ')}",
                        getattr(barrel, name),
                    )


def _refuse_unknown_resin(known: set[str], where: str, resin: str | None) -> None:
    if resin is not None and resin not in known:
        raise PydanticCustomError(
            "dangling_resin",
            "{where} names the resin '{resin}', which is not among the resins",
            {"where": where, "resin": resin},
        )


class BidFile(Bid):
    """A bid as it travels on its own, with the resins it names."""

    format_version: Annotated[int, Field(ge=1, le=FORMAT_VERSION)] = FORMAT_VERSION
    resins: tuple[Resin, ...] = ()

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        _refuse_duplicates("resins", (resin.id for resin in self.resins))
        _refuse_duplicates("units", (unit.id for unit in self.units))
        _refuse_duplicates("barrels", (b.id for unit in self.units for b in unit.barrels))
        _refuse_dangling(self.resins, (self,))
        return self

    def bid(self) -> Bid:
        """Return the bid without its wrapping."""
        return Bid.model_validate({name: getattr(self, name) for name in Bid.model_fields})


class Evaluation(Frozen):
    """Resins, planned jobs, bids, limits and decisions, as of a date: one file."""

    format_version: Annotated[int, Field(ge=1, le=FORMAT_VERSION)] = FORMAT_VERSION
    title: Annotated[str, Datum("Title", group="evaluation")] = ""
    buyer: Annotated[str, Datum("Buyer", group="evaluation")] = ""
    site: Annotated[str, Datum("Site", group="evaluation")] = ""
    as_of: Annotated[
        Date | None, Datum("As of", "The date the offers are judged on", "evaluation")
    ] = None
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "EUR"
    display_units: Literal["metric", "us"] = "metric"
    resins: Annotated[tuple[Resin, ...], Field(max_length=MOST_RESINS)] = ()
    jobs: Annotated[tuple[Job, ...], Field(max_length=MOST_JOBS)] = ()
    bids: Annotated[tuple[Bid, ...], Field(max_length=MOST_BARRELS)] = ()
    limits: Limits = Limits()
    uncertainty: Uncertainty = Uncertainty()
    cost: Cost = Cost()
    answers: tuple[Answer, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    confirmed_limits: tuple[ConfirmedLimit, ...] = ()
    assignment: tuple[Assignment, ...] = ()
    sign_offs: tuple[SignOff, ...] = ()

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        _refuse_duplicates("resins", (resin.id for resin in self.resins))
        _refuse_duplicates("jobs", (job.id for job in self.jobs))
        _refuse_duplicates("bids", (bid.id for bid in self.bids))
        _refuse_duplicates("units", (unit.id for bid in self.bids for unit in bid.units))
        barrels = [barrel.id for _, _, barrel in self.barrels()]
        if len(barrels) > MOST_BARRELS:
            raise PydanticCustomError(
                "too_many",
                "there are {count} barrels; an evaluation takes {most}",
                {"count": len(barrels), "most": MOST_BARRELS},
            )
        _refuse_duplicates("barrels", iter(barrels))
        _refuse_dangling(self.resins, self.bids)
        known = {resin.id for resin in self.resins}
        for job in self.jobs:
            _refuse_unknown_resin(known, f"job '{job.id}', resin", job.resin)
        self._refuse_unknown_references()
        return self

    def _refuse_unknown_references(self) -> None:
        jobs, barrels = {job.id for job in self.jobs}, {b.id for _, _, b in self.barrels()}
        for where, references in (("deviations", self.deviations), ("assignment", self.assignment)):
            for reference in references:
                named: tuple[tuple[str, str | None, set[str]], ...] = (
                    ("barrel", reference.barrel, barrels),
                    ("job", reference.job, jobs),
                )
                for thing, name, known in named:
                    if name is not None and name not in known:
                        raise PydanticCustomError(
                            "dangling",
                            "{where} names the {thing} '{name}', which is not in the evaluation",
                            {"where": where, "thing": thing, "name": name},
                        )

    def barrels(self) -> Iterator[tuple[Bid, InjectionUnit, Barrel]]:
        """Yield every barrel with its unit and bid, in the order of the file."""
        for bid in self.bids:
            for unit in bid.units:
                for barrel in unit.barrels:
                    yield bid, unit, barrel

    def barrel_path(self, barrel: str) -> Path:
        """Return the path of a barrel; raises KeyError."""
        for bid, unit, one in self.barrels():
            if one.id == barrel:
                return ("bids", bid.id, "units", unit.id, "barrels", one.id)
        raise KeyError(barrel)

    def resin(self, name: str | None) -> Resin | None:
        """Return the resin of that id, or None."""
        return next((resin for resin in self.resins if resin.id == name), None)
