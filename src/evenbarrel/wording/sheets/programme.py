"""The sheets: what stands side by side on the desk, in the PDF and in the workbook."""

from __future__ import annotations

from dataclasses import replace

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims import KEYS
from evenbarrel.appraisal.references import (
    ClaimRef,
    CriterionRef,
    FactorRef,
    GateRef,
    Reference,
    ShotRef,
    VolumeRef,
)
from evenbarrel.appraisal.results import (
    SEVERITY,
    BarrelResult,
    Claim,
    Fit,
    JobResult,
    ShotEnd,
    State,
)
from evenbarrel.model.bid import Barrel
from evenbarrel.model.job import Job
from evenbarrel.model.resin import Resin
from evenbarrel.wording.on_demand import OnDemand
from evenbarrel.wording.sentences.cells import fit_sentences, missing_words, state_word
from evenbarrel.wording.sentences.claim_words import claim_sentence
from evenbarrel.wording.sentences.gate import BEST_FIRST, gate_words
from evenbarrel.wording.sentences.pages import counted
from evenbarrel.wording.sentences.questions import (
    barrel_name,
    full_name,
    job_name,
    screw_name,
    unit_name,
)
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    display_unit,
    in_system,
    in_units,
    printed,
    shown,
    unit_text,
)

PRINTED = ("injection_pressure", "injection_rate", "plasticising_rate")
ENDS: tuple[ShotEnd, ...] = ("nominal", "smallest", "largest")


def _unit(kind: str, units: DisplayUnits) -> str:
    return unit_text(display_unit(kind, units))


def _number(
    value: float | None,
    kind: str,
    units: DisplayUnits,
    digits: int = 3,
    reference: Reference | None = None,
    tip: str = "",
) -> Cell:
    return Cell(
        shown(value, kind, units, digits),
        in_units(value, kind, units),
        tip=tip,
        reference=reference,
    )


def _si(barrel: Barrel, field: str, kind: str) -> float | None:
    quantity = getattr(barrel, field)
    return None if quantity is None else quantity.si(kind)


def _stated_cell(barrel: Barrel, field: str, units: DisplayUnits) -> Cell:
    """Return a stated number with its unit, as printed or in the system that is shown."""
    if (quantity := getattr(barrel, field)) is None:
        return Cell(ABSENT)
    return Cell(printed(in_system(quantity, units)), tip=f"Printed as {printed(quantity)}")


def _barrel_row(appraisal: Appraisal, result: BarrelResult, barrel: Barrel) -> tuple[Cell, ...]:
    units = appraisal.evaluation.display_units
    volume = VolumeRef(result.id)
    bound = result.swept.bound
    state = appraisal.barrel_states[result.id]
    resin = appraisal.evaluation.resin(barrel.reference_resin)
    basis = labels.RATED_BASES[result.rated_basis]
    route = labels.ROUTES.get(result.swept.route or "", ABSENT)
    nominal = None if bound is None else bound.nominal
    mark = " ?" if result.swept.unsettled else ""
    swept = Cell(
        shown(nominal, "volume", units, 4) + mark,
        in_units(nominal, "volume", units),
        tip="Unsettled: two routes contradict" if mark else route,
        reference=volume,
    )
    return (
        Cell(result.supplier),
        Cell(unit_name(appraisal, result.id)),
        Cell(screw_name(appraisal, result.id)),
        _number(_si(barrel, "screw_diameter", "length"), "length", units),
        _number(_si(barrel, "stroke", "length"), "length", units, 4),
        swept,
        Cell(route),
        _stated_cell(barrel, "rated_shot_mass", units),
        Cell(ABSENT if resin is None else resin.name or resin.id),
        _number(
            result.implied_factor,
            "density",
            units,
            3,
            ClaimRef(result.id, "rated_mass_basis"),
            f"Points at: {basis}",
        ),
        Cell(basis),
        *(_stated_cell(barrel, field, units) for field in PRINTED),
        Cell(labels.STATES[state], state=state),
    )


def barrels_sheet(appraisal: Appraisal) -> Sheet:
    """Return every barrel on the common basis, side by side."""
    units = appraisal.evaluation.display_units
    entered = [barrel for _, _, barrel in appraisal.evaluation.standing_barrels()]
    stated = "as printed" if units == "metric" else "in US units"
    headings = (
        Heading("Supplier"),
        Heading("Injection unit"),
        Heading("Screw"),
        Heading("Diameter", _unit("length", units), "right"),
        Heading("Stroke", _unit("length", units), "right"),
        Heading("Swept volume", _unit("volume", units), "right"),
        Heading("Volume taken"),
        Heading("Rated mass", stated, "right"),
        Heading("Rated in"),
        Heading("Implied factor", _unit("density", units), "right"),
        Heading("Points at"),
        Heading("Pressure", stated, "right"),
        Heading("Injection rate", stated, "right"),
        Heading("Plasticising", stated, "right"),
        Heading("Programme"),
    )
    rows = tuple(
        _barrel_row(appraisal, result, barrel)
        for result, barrel in zip(appraisal.barrels, entered, strict=True)
    )
    return Sheet(
        "barrels",
        "Barrels on one volume basis",
        headings,
        rows,
        notes=("? after a volume: two routes contradict and nobody has decided yet.",),
        row_references=tuple(VolumeRef(barrel.id) for barrel in appraisal.barrels),
    )


def masses_sheet(appraisal: Appraisal) -> Sheet:
    """Return the mass of one full stroke of each barrel in each resin that is run."""
    units = appraisal.evaluation.display_units
    run = {job.resin for job in appraisal.evaluation.jobs}
    resins = [resin for resin in appraisal.evaluation.resins if resin.id in run]
    headings = (
        Heading("Barrel"),
        Heading("Swept volume", _unit("volume", units), "right"),
        *(Heading(resin.name or resin.id, _unit("mass", units), "right") for resin in resins),
    )
    rows = []
    for barrel in appraisal.barrels:
        masses = dict(barrel.shot_masses)
        bound = barrel.swept.bound
        nominal = None if bound is None else bound.nominal
        in_resins = (
            _number(masses[resin.id], "mass", units, reference=_factor(resin)) for resin in resins
        )
        name = full_name(appraisal, barrel.id)
        volume = _number(nominal, "volume", units, reference=VolumeRef(barrel.id))
        rows.append((Cell(name), volume, *in_resins))
    return Sheet(
        "masses",
        "Mass of one full stroke in the resins run",
        headings,
        tuple(rows),
        notes=("Swept volume × output factor of the resin; nothing left for cushion.",),
    )


def _factor(resin: Resin | None) -> Reference | None:
    return None if resin is None else FactorRef(resin.id)


def shots_sheet(appraisal: Appraisal) -> Sheet:
    """Return the planned jobs brought to volume."""
    units = appraisal.evaluation.display_units
    headings = (
        Heading("Mould"),
        Heading("Resin"),
        Heading("Class"),
        Heading("Cavities", "", "right"),
        Heading("Shot mass", _unit("mass", units), "right"),
        Heading("Output factor", _unit("density", units), "right"),
        Heading("Shot volume", _unit("volume", units), "right"),
        Heading("Smallest", _unit("volume", units), "right"),
        Heading("Largest", _unit("volume", units), "right"),
        Heading("Cycle", "s", "right"),
    )
    rows = tuple(
        _shot_row(appraisal, job, result)
        for job, result in zip(appraisal.evaluation.jobs, appraisal.jobs, strict=True)
    )
    return Sheet("shots", "Planned shots", headings, rows)


def _shot_row(appraisal: Appraisal, job: Job, result: JobResult) -> tuple[Cell, ...]:
    units, resin = appraisal.evaluation.display_units, appraisal.evaluation.resin(job.resin)
    volumes = {shot.end: shot.volume.nominal for shot in result.shots if shot.volume}
    mass = None if result.nominal is None else result.nominal.mass.nominal
    shot = ShotRef(job.id)
    cavities = None if job.cavities is None else float(job.cavities)
    return (
        Cell(job.name or job.id),
        Cell(ABSENT if resin is None else resin.name or resin.id),
        Cell(ABSENT if resin is None else resin.resin_class or ABSENT),
        Cell(ABSENT if job.cavities is None else str(job.cavities), cavities),
        _number(mass, "mass", units, 4, shot),
        _number(result.factor, "density", units, 3, _factor(resin)),
        *(_number(volumes.get(end), "volume", units, 4, shot) for end in ENDS),
        _number(None if job.cycle_time is None else job.cycle_time.si("time"), "time", units),
    )


def _claim_cell(claim: Claim, owner: str, units: DisplayUnits) -> Cell:
    return Cell(
        labels.CLAIM_STATES[claim.state],
        None if claim.gap is None else claim.gap * 100.0,
        labels.STATE_OF_CLAIM[claim.state],
        lambda: claim_sentence(claim, units),
        ClaimRef(owner, claim.key),
    )


def claims_sheet(appraisal: Appraisal) -> Sheet:
    """Return barrels down, claims across."""
    units = appraisal.evaluation.display_units
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        *(Heading(CLAIM_WORDS[key].label, align="centre") for key in KEYS),
    )

    def row(place: int) -> tuple[Cell, ...]:
        barrel = appraisal.barrels[place]
        by_key = {claim.key: claim for claim in barrel.claims}
        cells = (_claim_cell(by_key[key], barrel.id, units) for key in KEYS)
        return (Cell(barrel.supplier), Cell(barrel_name(appraisal, barrel.id)), *cells)

    return Sheet("claims", "Claims", headings, OnDemand(len(appraisal.barrels), row))


def _completeness_cell(claim: Claim, owner: str, units: DisplayUnits) -> Cell:
    text = "complete"
    if claim.missing:
        text = f"{len(claim.missing)} missing: {missing_words(claim.missing)}"
    return replace(_claim_cell(claim, owner, units), text=text)


def offers_sheet(appraisal: Appraisal) -> Sheet:
    """Return what is said of each offer as a whole."""
    units = appraisal.evaluation.display_units
    headings = (
        Heading("Supplier"),
        Heading("Offer"),
        Heading("Valid until"),
        Heading(CLAIM_WORDS["validity"].label, align="centre"),
        Heading(CLAIM_WORDS["completeness"].label),
    )
    rows = []
    for bid, result in zip(appraisal.evaluation.standing_bids, appraisal.bids, strict=True):
        by_key = {claim.key: claim for claim in result.claims}
        valid = ABSENT if bid.valid_until is None else bid.valid_until.isoformat()
        rows.append(
            (
                Cell(bid.supplier),
                Cell(bid.reference or ABSENT),
                Cell(valid),
                _claim_cell(by_key["validity"], bid.id, units),
                _completeness_cell(by_key["completeness"], bid.id, units),
            )
        )
    return Sheet("offers", "Offers", headings, tuple(rows))


def _fit_cell(fit: Fit, units: DisplayUnits) -> Cell:
    parts = []
    if fit.binding is not None:
        parts.append(CRITERION_WORDS[fit.binding].short)
    if fit.accepted and not fit.unaccepted:
        parts.append("accepted")
    if fit.open:
        parts.append(f"{len(fit.open)} open")
    key = fit.binding or (fit.open[0] if fit.open else "capacity")
    return Cell(
        ", ".join(parts) or state_word(fit.state),
        state=fit.state,
        tip=lambda: "\n".join(fit_sentences(fit, units)),
        reference=CriterionRef(fit.barrel, fit.job, key),
    )


def fit_sheet(appraisal: Appraisal) -> Sheet:
    """Return the fit grid: barrels down, jobs across; state, what binds, what is open."""
    units = appraisal.evaluation.display_units
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        *(Heading(job_name(appraisal, job.id), align="left") for job in appraisal.jobs),
    )

    def row(place: int) -> tuple[Cell, ...]:
        barrel = appraisal.barrels[place]
        cells = (_fit_cell(appraisal.fit(barrel.id, job.id), units) for job in appraisal.jobs)
        return (Cell(barrel.supplier), Cell(barrel_name(appraisal, barrel.id)), *cells)

    rows = OnDemand(len(appraisal.barrels), row)
    return Sheet("fit", "Fit", headings, rows, notes=fit_notes(appraisal))


def fit_notes(appraisal: Appraisal) -> tuple[str, ...]:
    """Return the grid in words first: outside by physics, by rule, near edge, inside, open."""
    grid = appraisal.grid
    of_state = {state: int((grid.state == code).sum()) for code, state in enumerate(SEVERITY)}
    rule, physical = int(grid.by_rule.sum()), int(grid.by_physics.sum())
    words = [
        f"outside by physics {physical}",
        f"by resin limit {of_state['outside'] - rule - physical}",
        f"by rule {rule}",
        f"near edge {of_state['near_edge']}",
        f"inside {of_state['inside']}",
        f"not stated {of_state['not_stated']}",
    ]
    return (
        f"Of {counted(grid.state.size, 'cell')}: {', '.join(words)}.",
        f"{int(grid.open.sum())} of them still have open criteria.",
    )


def gate_sheet(appraisal: Appraisal) -> Sheet:
    """Return the gate of each barrel, the best first, after what its jobs come to."""
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        Heading("Programme"),
        Heading("Inside", "jobs", "right"),
        Heading("Near edge", "jobs", "right"),
        Heading("Outside", "jobs", "right"),
        Heading("Not stated", "jobs", "right"),
        Heading("Gate"),
    )
    states = appraisal.gates.states
    # Within a gate the order of the file stays.
    barrels = sorted(appraisal.barrels, key=lambda one: BEST_FIRST.index(states[one.id]))
    return Sheet(
        "gate",
        "Gate on fit",
        headings,
        OnDemand(len(barrels), lambda place: _gate_row(appraisal, barrels[place])),
        notes=(
            "Shut: outside by physics or a resin's limit for at least one job. Waits: for a person "
            "or a supplier. No objection: nothing that was assessed stands against it. Clamp "
            "force, tie bars, mould height and nozzle fit are not judged here.",
        ),
        row_references=tuple(GateRef(barrel.id) for barrel in barrels),
    )


def _gate_row(appraisal: Appraisal, barrel: BarrelResult) -> tuple[Cell, ...]:
    gate = appraisal.gate(barrel.id)
    states = appraisal.grid.states_of(barrel.id, gate.jobs)
    worst: State = min(states, key=SEVERITY.index, default="not_stated")
    counts = [states.count(state) for state in labels.STATES]
    return (
        Cell(barrel.supplier),
        Cell(barrel_name(appraisal, barrel.id), reference=VolumeRef(barrel.id)),
        Cell(labels.STATES[worst], state=worst),
        *(Cell(str(count), float(count)) for count in counts),
        Cell(gate_words(gate, appraisal)),
    )
