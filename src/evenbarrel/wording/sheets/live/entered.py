"""What people entered of barrels, jobs and resins, as inputs of the live workbook."""

from __future__ import annotations

from collections.abc import Iterator

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.inputs.barrel_inputs import inventory_route
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Zones
from evenbarrel.model.resin import Resin
from evenbarrel.trade import capacity, residence
from evenbarrel.wording.sheets.live.formula import Scales
from evenbarrel.wording.sheets.live.inputs import (
    Currencies,
    Input,
    plain_input,
    quantity_input,
    sheet_of,
)
from evenbarrel.wording.sheets.sheet import Sheet
from evenbarrel.wording.standing_by.masking import prices_masked
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name, job_name, resin_called
from evenbarrel.wording.words.numbers import display_unit

PRACTICE = labels.ORIGINS["common_practice"]
ENTERED = "entered"
COMPUTED = "computed by the program"

BARREL_DATA = {
    "screw_diameter": "length",
    "stroke": "length",
    "swept_volume": "volume",
    "rated_shot_mass": "mass",
    "reference_factor": "density",
    "length_ratio": "ratio",
    "melt_inventory": "volume",
    "plasticising_rate": "mass_rate",
}
CHANNEL_DATA = ("feed_depth", "metering_depth", "pitch", "flight_width")
CHANNEL_SHARES = ("feed", "compression", "metering")
"""What the melt in the screw's channel is calculated from, where the channel is stated."""

JOB_MASSES = ("part_mass", "runner_mass", "shot_mass", "smallest_shot_mass", "largest_shot_mass")
JOB_TIMES = (
    "cycle_time",
    "cooling_time",
    "fill_time",
    "hold_time",
    "mould_motion_time",
    "screw_delay",
    "recovery_during_opening",
)
JOB_DATA = {
    **dict.fromkeys(JOB_MASSES, "mass"),
    **dict.fromkeys(JOB_TIMES, "time"),
    "cushion": "length",
    "decompression": "length",
    "hot_runner_volume": "volume",
}


def barrel_inputs_sheet(appraisal: Appraisal) -> Sheet:
    """Return what was printed of every barrel, as far as anything is calculated from it."""
    found: list[Input] = []
    for place, result in enumerate(appraisal.barrels, 1):
        entered = appraisal.evaluation.place(result.id)[2]
        name = full_name(appraisal, result.id)
        found += _of_barrel(f"B{place}", name, entered, Scales(appraisal.evaluation.display_units))
    return sheet_of("barrel_inputs", "Printed data of barrels", found)


def _of_barrel(key: str, of: str, barrel: Barrel, scales: Scales) -> Iterator[Input]:
    def quantity(name: str, kind: str) -> Input:
        unit = display_unit(kind, scales.units)
        what = labels.datum_of(Barrel, name)
        return quantity_input(f"{key} {name}", of, what, getattr(barrel, name), kind, unit)

    yield from (quantity(name, kind) for name, kind in BARREL_DATA.items())
    if inventory_route(barrel) != "geometry":
        return
    yield from (quantity(name, "length") for name in CHANNEL_DATA)
    for name in CHANNEL_SHARES:
        share = getattr(barrel.zones, name) if isinstance(barrel.zones, Zones) else None
        yield plain_input(f"{key} {name}", of, f"Share of the {name} zone", share, "", ENTERED)
    fill = barrel.feed_fill
    yield plain_input(
        f"{key} feed_fill",
        of,
        labels.datum_of(Barrel, "feed_fill"),
        residence.FEED_FILL if fill is None else fill,
        "",
        ENTERED if fill is not None else "assumed",
        "" if fill is not None else PRACTICE,
    )


def job_inputs_sheet(appraisal: Appraisal) -> Sheet:
    """Return what is known of every job, as far as anything is calculated from it."""
    found: list[Input] = []
    scales = Scales(appraisal.evaluation.display_units)
    for place, job in enumerate(appraisal.evaluation.jobs, 1):
        found += _of_job(f"J{place}", job_name(appraisal, job.id), job, scales)
        window = appraisal.jobs[place - 1].window
        cooling = None if window is None else window.cooling
        found.append(
            plain_input(
                f"J{place} cooling_formula",
                job_name(appraisal, job.id),
                "Cooling by formula, from end of filling",
                None if cooling is None else cooling.nominal,
                "s",
                COMPUTED,
                "from the wall thickness, the resin's diffusivity and three temperatures",
            )
        )
    return sheet_of("job_inputs", "Data of jobs", found)


def _of_job(key: str, of: str, job: Job, scales: Scales) -> Iterator[Input]:
    def plain(name: str, unit: str = "") -> Input:
        value = getattr(job, name)
        number = None if value is None else float(value)
        return plain_input(f"{key} {name}", of, labels.datum_of(Job, name), number, unit, ENTERED)

    yield plain("cavities")
    for name, kind in JOB_DATA.items():
        unit = display_unit(kind, scales.units)
        what = labels.datum_of(Job, name)
        yield quantity_input(f"{key} {name}", of, what, getattr(job, name), kind, unit)
    for name in ("annual_quantity", "batches_per_year", "start_year", "end_year"):
        yield plain(name)
    what = labels.datum_of(Job, "hours_per_year")
    yield quantity_input(f"{key} hours_per_year", of, what, job.hours_per_year, "time", "h")


def resin_inputs_sheet(appraisal: Appraisal, currencies: Currencies) -> Sheet:
    """Return what is known of every resin, and what practice assumes where nothing is stated."""
    found: list[Input] = []
    for place, resin in enumerate(appraisal.evaluation.resins, 1):
        found += _of_resin(appraisal, f"R{place}", resin, currencies)
    found += _assumed(Scales(appraisal.evaluation.display_units))
    return sheet_of("resin_inputs", "Resins, and assumptions of practice", found)


def _of_resin(
    appraisal: Appraisal, key: str, resin: Resin, currencies: Currencies
) -> Iterator[Input]:
    scales, result = Scales(appraisal.evaluation.display_units), appraisal.resins[resin.id]
    of, unit = resin_called(appraisal.evaluation, resin), display_unit("density", scales.units)
    route = result.route
    factor = None if route is None else getattr(resin.output_factors, route)
    what = "Output factor" + ("" if route is None else f", {labels.ROUTES[route]}")
    for name, label, entered, value in (
        ("factor", what, factor, result.factor),
        ("density", "Melt density", resin.melt_density, result.melt_density),
    ):
        if entered is not None or value is None:
            yield quantity_input(f"{key} {name}", of, label, entered, "density", unit)
        else:
            own = scales.value(value, "density")
            taken = scales.heading("", "density", "").unit
            yield plain_input(f"{key} {name}", of, label, own, taken, COMPUTED)
    enthalpy = labels.datum_of(Resin, "enthalpy")
    yield quantity_input(
        f"{key} enthalpy",
        of,
        enthalpy,
        resin.enthalpy,
        "enthalpy",
        display_unit("enthalpy", scales.units),
    )
    if prices_masked(appraisal):
        return
    price = labels.datum_of(Resin, "price_per_kg")
    yield currencies.input(f"{key} price", of, price, resin.price_per_kg, "<0", per="/kg")


def _assumed(scales: Scales) -> Iterator[Input]:
    """Yield what practice assumes: each is one for all, and formulas call it by its name."""
    length = display_unit("length", scales.units)
    least = scales.value(capacity.CUSHION_LEAST, "length")
    for key, what, value, unit in (
        ("cushion_share", "Cushion, share of the shot stroke", capacity.CUSHION_SHARE, ""),
        ("cushion_least", "Cushion, at least", least, length),
        ("decompression_share", "Decompression", capacity.DECOMPRESSION_DIAMETERS, "D"),
        ("relief_share", "Relief, share of a hot runner", capacity.HOT_RUNNER_RELIEF_SHARE, ""),
        ("volume_cushion", "Cushion if only a volume is known", capacity.BY_VOLUME_CUSHION, ""),
        (
            "volume_decompression",
            "Decompression if only a volume is known",
            capacity.BY_VOLUME_DECOMPRESSION,
            "",
        ),
        ("inventory_cubes", "Melt in a screw of 20 D", residence.INVENTORY_PER_CUBE, "D³"),
        ("usual_length_ratio", "L/D if not stated", residence.USUAL_LENGTH_RATIO, "D"),
        ("usual_pitch", "Pitch if not stated", residence.PITCH_DIAMETERS, "D"),
        (
            "usual_flight_width",
            "Flight width if not stated",
            residence.FLIGHT_WIDTH_DIAMETERS,
            "D",
        ),
    ):
        yield plain_input(key, "All", what, value, unit, "assumed", PRACTICE)
