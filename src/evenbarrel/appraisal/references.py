"""Which criterion, claim, shot, factor, volume or limit: small identities of what is computed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from evenbarrel.model.datum_path import Path

if TYPE_CHECKING:
    from evenbarrel.appraisal.gate_results import GateState
    from evenbarrel.appraisal.results import State


@dataclass(frozen=True, slots=True)
class CriterionRef:
    """Which criterion of which cell."""

    barrel: str
    job: str
    criterion: str


@dataclass(frozen=True, slots=True)
class ClaimRef:
    """Which claim of which barrel, or of which bid."""

    owner: str
    key: str


@dataclass(frozen=True, slots=True)
class ShotRef:
    """A job's planned shot."""

    job: str


@dataclass(frozen=True, slots=True)
class FactorRef:
    """A resin's output factor."""

    resin: str


@dataclass(frozen=True, slots=True)
class VolumeRef:
    """A barrel's swept volume."""

    barrel: str


@dataclass(frozen=True, slots=True)
class MachineRef:
    """A barrel that runs some jobs on so many copies; None: those it runs where it is alone."""

    barrel: str
    jobs: tuple[str, ...] | None = None
    copies: int | None = None


@dataclass(frozen=True, slots=True)
class AmountRef:
    """An amount of an offer, or of the cost over life of one machine or of several together.

    `name` is a part of it: "price", "machine", "present", "energy" and so on. `steps` lead on, from
    place to place, into the parts that the amount is made of.
    """

    of: Literal["offer", "cost"]
    machines: tuple[MachineRef, ...]
    name: str
    steps: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class LevelledRef:
    """A barrel's cost over life or price, with what its offer is silent on put in."""

    barrel: str
    of: Literal["cost", "price"] = "cost"


@dataclass(frozen=True, slots=True)
class ShareRef:
    """The share of all weightings under which a barrel leads."""

    barrel: str


@dataclass(frozen=True, slots=True)
class HoursRef:
    """The hours of one machine of a set, with the share that it runs of each of its jobs.

    `copy_number` says which of several identical machines it is, counted from 1.
    """

    barrel: str
    copy_number: int
    shares: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class JobHoursRef:
    """The hours that a whole job takes in a year on a barrel."""

    barrel: str
    job: str


@dataclass(frozen=True, slots=True)
class AskRef:
    """What some jobs ask of one barrel; `name` is a field of `decision.asking.ask.Asked`."""

    jobs: tuple[str, ...]
    name: str


@dataclass(frozen=True, slots=True)
class CountRef:
    """How many jobs of a barrel's gate are in a state, or how much of it is open or in doubt.

    "not_assessed" counts criteria cell by cell, "doubts" the claims that failed and still hold.
    """

    barrel: str
    of: State | Literal["not_assessed", "doubts"]


@dataclass(frozen=True, slots=True)
class GatesRef:
    """How many barrels have that gate for one job alone."""

    job: str
    gate: GateState


@dataclass(frozen=True, slots=True)
class RunsRef:
    """How many jobs some machines together run, or of how many machines that takes."""

    machines: tuple[MachineRef, ...]
    of: Literal["jobs", "machines"]


@dataclass(frozen=True, slots=True)
class SizeRef:
    """A usual size of screw by its diameter and stroke [m], tried on every job."""

    diameter: float
    stroke: float


@dataclass(frozen=True, slots=True)
class SeriesRef:
    """The result of a series of weighed shots, by its acceptance and its place there."""

    acceptance: int
    test: int


Reference = (
    CriterionRef
    | ClaimRef
    | ShotRef
    | FactorRef
    | VolumeRef
    | AmountRef
    | LevelledRef
    | HoursRef
    | JobHoursRef
    | AskRef
    | ShareRef
    | CountRef
    | GatesRef
    | RunsRef
    | SizeRef
    | SeriesRef
)
"""What a number on screen or paper opens to: how it came about."""


@dataclass(frozen=True, slots=True)
class RuleRef:
    """The decision on which criterion's rule for which barrel."""

    criterion: str
    barrel: str


@dataclass(frozen=True, slots=True)
class PinRef:
    """Which barrels which job is pinned to."""

    job: str


@dataclass(frozen=True, slots=True)
class GateRef:
    """The gate of which barrel, with what it waits for."""

    barrel: str


@dataclass(frozen=True, slots=True)
class DatumRef:
    """Where which datum is entered."""

    path: Path


@dataclass(frozen=True, slots=True)
class LimitRef:
    """Which limit: a resin's datum, or with `resin` None the evaluation's own."""

    resin: str | None
    field: str


WayOut = RuleRef | LimitRef | PinRef | GateRef | DatumRef
"""Where a person can answer what stands in a barrel's way."""
