"""What a full stroke of each barrel delivers in each resin that is run."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.wording.sheets.live.barrels import DOUBT, doubt_cell
from evenbarrel.wording.sheets.live.formula import Scales, calculated, known, number
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words.names import full_name, names_of_resins


def live_masses_sheet(appraisal: Appraisal) -> Sheet:
    """Return the mass of one full stroke, no allowance for cushion."""
    scales = Scales(appraisal.evaluation.display_units)
    run = {job.resin for job in appraisal.evaluation.jobs}
    names = names_of_resins(appraisal.evaluation)
    resins = [
        (place, resin)
        for place, resin in enumerate(appraisal.evaluation.resins, 1)
        if resin.id in run
    ]
    headings = (
        Heading("No.", key="barrel"),
        Heading("Barrel"),
        DOUBT,
        scales.heading("Swept volume", "volume", "volume"),
        *(scales.heading(names[resin.id], "mass", "") for _, resin in resins),
    )
    rows = []
    for place, barrel in enumerate(appraisal.barrels, 1):
        masses, bound = dict(barrel.shot_masses), barrel.swept.bound
        volume = scales.value(None if bound is None else bound.nominal, "volume")
        cells = [number(place), Cell(full_name(appraisal, barrel.id)), doubt_cell(barrel)]
        cells.append(calculated(volume, "[barrels.volume]"))
        for at, resin in resins:
            formula = known(f"[volume]*[#R{at} factor]", "volume", f"#R{at} factor")
            cells.append(calculated(scales.value(masses[resin.id], "mass"), formula))
        rows.append(tuple(cells))
    notes = ("Swept volume × output factor of the resin; no allowance for cushion.",)
    return Sheet(
        "masses", "Mass of one full stroke in the resins run", headings, tuple(rows), notes=notes
    )
