"""The board: one row a barrel, with its ruler and one cell for each job; and how rows are arranged.

Screen and paper draw the same rows. Jobs carry their number, their names stand once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Literal

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import GateState
from evenbarrel.appraisal.references import Reference, ShotRef
from evenbarrel.appraisal.results import SEVERITY, State
from evenbarrel.appraisal.verdicts.combine import NONE_BINDING
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.wording.on_demand import OnDemand
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.pictures.ruler import RulerPicture, ruler
from evenbarrel.wording.pictures.ruler_tips import mark_tip
from evenbarrel.wording.pictures.scales import Scale
from evenbarrel.wording.pictures.traces import BarrelTrace
from evenbarrel.wording.sentences.cells import state_word
from evenbarrel.wording.sentences.deciding.gate import best_first, gate_words
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import barrel_name, full_name, job_name
from evenbarrel.wording.words.numbers import DisplayUnits, in_system, printed, shown, with_unit

Order = Literal["programme", "gate", "margin", "supplier"]
"""As the offers were entered, by gate, by least margin, by supplier's name."""

_MOST_KEPT = 4096
"""Cells that are kept: after an edit most are as they were."""


GATE_MARKS: Mapping[GateState | None, State] = {
    "no_objection": "inside",
    "waits": "near_edge",
    "shut": "outside",
    None: "not_stated",
}
"""The mark of each gate: the same shapes as of states, before a barrel's name."""


LEGEND_MARKS: tuple[tuple[State, bool, str], ...] = (
    ("inside", False, labels.STATES["inside"]),
    ("near_edge", False, labels.STATES["near_edge"]),
    ("outside", False, "outside by physics or resin"),
    ("outside", True, "outside by rule"),
    ("not_stated", False, labels.STATES["not_stated"]),
)
"""Every mark of a cell: its state, whether by rule alone, and what it stands for."""

_ACCEPTED = "accepted"
CELL_WORDS = (*(words.short for words in CRITERION_WORDS.values()), _ACCEPTED)
"""Every word that may stand below a cell's mark."""

_MOST_LANES, _LONGEST_LANE = 4, 40
"""How many lanes the legend names, and in how many letters each."""

LEGEND: Mapping[str, str] = {
    "comfortable": "comfortable",
    "allowed": "allowed",
    "open": "not all assessed",
    "gates": "barrel: no objection, waits, shut",
    "proposed": "proposed",
}
"""What bars, small ring, the marks before the names and the stripe at the left edge stand for."""


@dataclass(frozen=True, slots=True)
class Filter:
    """Which barrels are shown: those not shut, of one bid, or not outside on one job."""

    not_shut: bool = False
    bid: str | None = None
    job: str | None = None


@dataclass(frozen=True, slots=True)
class NumberedJob:
    """A job with the number it carries on the board, its name, and its shot in words."""

    number: int
    id: str
    name: str
    shot: str
    reference: Reference


@dataclass(frozen=True, slots=True)
class BoardCell:
    """A barrel's verdict on a job: `word` is what binds, `by_rule` outside by practice alone.

    `to_confirm`: near an edge by a limit from memory alone; `key` is the criterion that it opens.
    """

    job: str
    state: State
    by_rule: bool
    to_confirm: bool
    word: str
    open: int
    key: str


@dataclass(frozen=True, slots=True)
class BoardRow:
    """A barrel on the board. `first` where its supplier's name stands above it."""

    barrel: str
    supplier: str
    name: str
    size: str
    gate: State
    """The gate's mark: as inside where there is no objection, near edge where it waits."""
    proposed: bool
    first: bool
    trace: BarrelTrace
    cells: tuple[BoardCell, ...]
    full_name: str
    ruler_words: str
    """The ruler in words: the swept volume, or why there is none."""
    full_text: str
    """What stands at the barrel's end: its swept volume, without the unit the ruler names."""
    doubt: str
    """A word where that volume is in doubt."""


@dataclass(frozen=True)
class BoardPicture:
    """Everything to draw: the numbered jobs, the ruler they stand on, and the rows."""

    appraisal: Appraisal
    units: DisplayUnits
    jobs: tuple[NumberedJob, ...]
    ruler: RulerPicture
    barrels: tuple[str, ...]
    rows: Sequence[BoardRow]

    @cached_property
    def numbers(self) -> Mapping[str, int]:
        """The number of each job by its id."""
        return {job.id: job.number for job in self.jobs}

    @cached_property
    def lane_names(self) -> str:
        """What the lanes of each barrel are, from above; "" where there is but one."""
        first = next(iter(self.ruler.barrels), None)
        names = () if first is None else tuple(lane.label for lane in first.lanes)
        if len(names) < 2:
            return ""
        shown = [fitted(name, _LONGEST_LANE, len) for name in names[:_MOST_LANES]]
        left = len(names) - len(shown)
        return f"lanes: {'; '.join([*shown, *([f'{left} more'] if left else [])])}"

    def gate_text(self, row: BoardRow) -> str:
        """Return a barrel's gate in words, after whether it is proposed."""
        words = gate_words(self.appraisal.gate(row.barrel), self.appraisal)
        return f"{LEGEND['proposed']}; {words}" if row.proposed else words

    def cell_tip(self, row: BoardRow, job: str) -> str:
        """Return what pointing at a cell says; worded only when somebody points."""
        return mark_tip(self.appraisal, row.barrel, job, self.units)

    def cell_text(self, cell: BoardCell) -> str:
        """Return a cell in words, to be copied or read aloud: verdict, what binds, what is open."""
        words = state_word(cell.state, cell.by_rule, cell.to_confirm)
        bound = f": {cell.word}" if cell.word else ""
        still_open = f", {cell.open} not assessed" if cell.open else ""
        return f"{words}{bound}{still_open}"


def board(
    appraisal: Appraisal,
    scale: Scale,
    units: DisplayUnits = "metric",
    barrels: Sequence[str] | None = None,
    before: BoardPicture | None = None,
) -> BoardPicture:
    """Return the board of `barrels` in the order given; None is all. Raises KeyError for others.

    What is as on the board `before` is taken from there.
    """
    names = tuple(b.id for b in appraisal.barrels) if barrels is None else tuple(barrels)
    ruled = None if before is None else before.ruler
    picture = ruler(appraisal, scale, units, names, by_rule=True, before=ruled)
    entered = {barrel.id: barrel for _, _, barrel in appraisal.evaluation.counting_barrels()}
    traces = picture.barrels

    def row(place: int) -> BoardRow:
        trace = traces[place]
        above = traces[place - 1].supplier if place else None
        return _row(appraisal, entered[trace.id], trace, above, units)

    rows = OnDemand(len(traces), row)
    return BoardPicture(appraisal, units, _numbered(appraisal, units), picture, names, rows)


def more_of(count: int) -> str:
    """Return what stands where the names of so many jobs have no room; they stand in the tip."""
    return f"{count} more: point here"


def _numbered(appraisal: Appraisal, units: DisplayUnits) -> tuple[NumberedJob, ...]:
    jobs = []
    for number, job in enumerate(appraisal.jobs, start=1):
        volume = None if job.nominal is None else job.nominal.volume
        shot = "shot not stated" if volume is None else with_unit(volume.nominal, "volume", units)
        jobs.append(NumberedJob(number, job.id, job_name(appraisal, job.id), shot, ShotRef(job.id)))
    return tuple(jobs)


def _row(
    appraisal: Appraisal,
    entered: Barrel,
    trace: BarrelTrace,
    above: str | None,
    units: DisplayUnits,
) -> BoardRow:
    barrel = appraisal.barrel(trace.id)
    diameter, swept = entered.screw_diameter, barrel.swept.bound
    proposal = appraisal.evaluation.proposal
    volume = "" if swept is None else f"{with_unit(swept.nominal, 'volume', units)} swept"
    return BoardRow(
        barrel=barrel.id,
        supplier=trace.supplier,
        name=barrel_name(appraisal, barrel.id),
        size="" if diameter is None else printed(in_system(diameter, "length", units)),
        gate=GATE_MARKS[appraisal.gates.states[barrel.id]],
        proposed=proposal is not None and barrel.id in proposal.barrels,
        first=trace.supplier != above,
        trace=trace,
        cells=tuple(_cells(appraisal, barrel.id)),
        full_name=full_name(appraisal, barrel.id),
        ruler_words=", ".join(part for part in (volume, trace.note) if part),
        full_text="" if swept is None else shown(swept.nominal, "volume", units),
        doubt="unsettled" if trace.unsettled else "",
    )


def _cells(appraisal: Appraisal, barrel: str) -> Iterator[BoardCell]:
    """Yield the cells of a barrel: from the arrays, which say all that is drawn of them."""
    grid = appraisal.grid
    row = grid.row(barrel)
    states = (grid.state, grid.by_rule, grid.to_confirm)
    drawn = (*states, grid.binding, grid.all_accepted, grid.open_count)
    columns = zip(grid.job_ids, *(array[row].tolist() for array in drawn), strict=True)
    for place, (job, state, by_rule, to_confirm, binding, accepted, count) in enumerate(columns):
        key = CRITERIA[binding] if binding != NONE_BINDING else None
        opens = key or (_first_open(appraisal, row, place) if count else "capacity")
        word = _ACCEPTED if accepted else "" if key is None else CRITERION_WORDS[key].short
        yield _cell(job, SEVERITY[state], by_rule, to_confirm, word, count, opens)


@lru_cache(maxsize=_MOST_KEPT)
def _cell(
    job: str, state: State, by_rule: bool, to_confirm: bool, word: str, count: int, key: str
) -> BoardCell:
    """Return a cell; few look otherwise than one that was made before."""
    return BoardCell(job, state, by_rule, to_confirm, word, count, key)


def _first_open(appraisal: Appraisal, row: int, column: int) -> str:
    """Return the first criterion of a cell that could not be assessed."""
    return next(v.criterion.key for v in appraisal.grid.verdicts if v.open[row, column])


def arranged(
    appraisal: Appraisal, order: Order, only: Filter, pinned: Sequence[str] = ()
) -> tuple[str, ...]:
    """Return the ids of the barrels to show: the pinned ones first, each group in its order."""
    as_filed = tuple(barrel.id for barrel in appraisal.barrels)
    of_all = best_first(appraisal) if order == "gate" else as_filed
    names = [name for name in of_all if _is_shown(appraisal, name, only)]
    if order == "margin":
        names.sort(key=lambda name: -_least_margin(appraisal, name))
    elif order == "supplier":
        names.sort(key=lambda name: appraisal.barrel(name).supplier.casefold())
    kept = [name for name in pinned if name in as_filed]
    return (*kept, *(name for name in names if name not in kept))


def _is_shown(appraisal: Appraisal, name: str, only: Filter) -> bool:
    barrel = appraisal.barrel(name)
    if only.bid is not None and barrel.bid != only.bid:
        return False
    if only.not_shut and appraisal.gates.states[name] == "shut":
        return False
    return only.job is None or "outside" not in appraisal.grid.states_of(name, (only.job,))


def _least_margin(appraisal: Appraisal, name: str) -> float:
    """Return the least margin over every stated criterion; minus infinity where none is."""
    return float(appraisal.grid.least_margin[appraisal.grid.row(name)])
