"""Every barrel on one volume basis, and what one full stroke weighs in the resins run."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import (
    ClaimRef,
    VolumeRef,
)
from evenbarrel.appraisal.results import (
    BarrelResult,
)
from evenbarrel.model.datum import data_of
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.wording.sheets.number_cells import factor_reference, number_cell, unit_heading
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import (
    full_name,
    resin_called,
    screw_name,
    supplier_name,
    unit_name,
)
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    in_system,
    in_units,
    printed,
    shown,
)

PRINTED = ("injection_pressure", "injection_rate", "plasticising_rate")


def _si(barrel: Barrel, field: str, kind: str) -> float | None:
    quantity = getattr(barrel, field)
    return None if quantity is None else quantity.si(kind)


def _stated_cell(barrel: Barrel, field: str, units: DisplayUnits) -> Cell:
    """Return a stated number with its unit, as printed or in the system that is shown."""
    if (quantity := getattr(barrel, field)) is None:
        return Cell(ABSENT)
    kind = data_of(Barrel)[field].kind_of(quantity.unit)
    return Cell(printed(in_system(quantity, kind, units)), tip=f"Printed as {printed(quantity)}")


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
        tip="Unsettled: two routes contradict each other" if mark else route,
        reference=volume,
    )
    return (
        Cell(supplier_name(appraisal, result.id)),
        Cell(unit_name(appraisal, result.id)),
        Cell(screw_name(appraisal, result.id)),
        number_cell(_si(barrel, "screw_diameter", "length"), "length", units),
        number_cell(_si(barrel, "stroke", "length"), "length", units, 4),
        swept,
        Cell(route),
        _stated_cell(barrel, "rated_shot_mass", units),
        Cell(ABSENT if resin is None else resin_called(appraisal.evaluation, resin)),
        number_cell(
            result.implied_factor,
            "density",
            units,
            3,
            ClaimRef(result.id, "rated_mass_basis"),
            f"Matches: {basis}",
        ),
        Cell(basis),
        *(_stated_cell(barrel, field, units) for field in PRINTED),
        Cell(labels.STATES[state], state=state),
    )


def barrels_sheet(appraisal: Appraisal) -> Sheet:
    """Return every barrel on the common basis, side by side."""
    units = appraisal.evaluation.display_units
    entered = [barrel for _, _, barrel in appraisal.evaluation.counting_barrels()]
    stated = "as printed" if units == "metric" else "in US units"
    headings = (
        Heading("Supplier"),
        Heading("Injection unit"),
        Heading("Screw"),
        Heading("Diameter", unit_heading("length", units), "right"),
        Heading("Stroke", unit_heading("length", units), "right"),
        Heading("Swept volume", unit_heading("volume", units), "right"),
        Heading("Volume taken"),
        Heading("Rated mass", stated, "right"),
        Heading("Rated in"),
        Heading("Implied factor", unit_heading("density", units), "right"),
        Heading("Matches"),
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
        notes=("? after a volume: two routes contradict each other and nobody has decided yet.",),
        row_references=tuple(VolumeRef(barrel.id) for barrel in appraisal.barrels),
    )


def masses_sheet(appraisal: Appraisal) -> Sheet:
    """Return the mass of one full stroke of each barrel in each resin that is run."""
    units = appraisal.evaluation.display_units
    run = {job.resin for job in appraisal.evaluation.jobs}
    resins = [resin for resin in appraisal.evaluation.resins if resin.id in run]
    mass = unit_heading("mass", units)
    headings = (
        Heading("Barrel"),
        Heading("Swept volume", unit_heading("volume", units), "right"),
        *(Heading(resin_called(appraisal.evaluation, resin), mass, "right") for resin in resins),
    )
    rows = []
    for barrel in appraisal.barrels:
        masses = dict(barrel.shot_masses)
        bound = barrel.swept.bound
        nominal = None if bound is None else bound.nominal
        in_resins = (
            number_cell(masses[resin.id], "mass", units, reference=factor_reference(resin))
            for resin in resins
        )
        name = full_name(appraisal, barrel.id)
        volume = number_cell(nominal, "volume", units, reference=VolumeRef(barrel.id))
        rows.append((Cell(name), volume, *in_resins))
    return Sheet(
        "masses",
        "Mass of one full stroke in the resins run",
        headings,
        tuple(rows),
        notes=("Swept volume × output factor of the resin; no allowance for cushion.",),
    )
