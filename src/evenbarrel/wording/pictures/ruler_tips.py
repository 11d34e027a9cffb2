"""What pointing at a part of the picture tells."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import BarrelResult
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.wording.sentences.cells import fit_sentences
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import (
    job_name,
    screw_name,
    supplier_name,
    unit_name,
)
from evenbarrel.wording.words.numbers import DisplayUnits, in_system, percent, printed, with_unit


def barrel_label(appraisal: Appraisal, entered: Barrel) -> str:
    """Return a barrel as the picture names it: Supplier · unit · screw, 45 mm."""
    return f"{supplier_name(appraisal, entered.id)} · {barrel_size_name(appraisal, entered)}"


def barrel_size_name(appraisal: Appraisal, entered: Barrel) -> str:
    """Return a barrel without its supplier: unit · screw, 45 mm."""
    name = f"{unit_name(appraisal, entered.id)} · {screw_name(appraisal, entered.id)}"
    size = entered.screw_diameter
    if size is None:
        return name
    shown = in_system(size, "length", appraisal.evaluation.display_units)
    return f"{name}, {printed(shown)}"


def barrel_tip(barrel: BarrelResult, label: str, units: DisplayUnits) -> str:
    """Return a barrel's name, its swept volume with its bounds, and the route it came by."""
    swept = barrel.swept
    if swept.bound is None or swept.route is None:
        return f"{label}\nswept volume not stated"
    low, high = (with_unit(v, "volume", units) for v in (swept.bound.low, swept.bound.high))
    text = f"{label}\n{with_unit(swept.bound.nominal, 'volume', units)} swept"
    text += f", {labels.ROUTES[swept.route]}"
    text += "" if low == high else f"\nbetween {low} and {high}"
    return f"{text}\nunsettled: two routes contradict each other" if swept.unsettled else text


def mark_tip(appraisal: Appraisal, barrel: str, job: str, units: DisplayUnits) -> str:
    """Return a cell in words: barrel, job, and what binds with its value and limit."""
    fit, result = appraisal.fit(barrel, job), appraisal.barrel(barrel)
    entered = appraisal.evaluation.barrel(barrel)
    lines = [barrel_label(appraisal, entered), job_name(appraisal, job)]
    nominal = appraisal.job(job).nominal
    if nominal is not None and nominal.volume is not None:
        volume = nominal.volume.nominal
        shown = with_unit(volume, "volume", units)
        if result.swept.bound is not None:
            shown += f", {percent(volume / result.swept.bound.nominal)} of the swept volume"
        lines[1] += f": {shown}"
    # The verdict, what is open, and what binds; the rest stands where the cell is opened.
    said = 3 if fit.open else 2
    return "\n".join((*lines, *fit_sentences(fit, units)[:said]))
