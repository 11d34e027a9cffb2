"""What amounts of money are called, and the formulas of `trade.ownership.cost` they come from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from evenbarrel.model.datum_path import Path

Form = Literal[
    "money", "number", "share", "years", "volume", "mass", "density", "time", "energy", "hours"
]
"""How an input of a formula is written."""

PARTS: Mapping[str, str] = {
    "price": "Price",
    "energy": "Energy",
    "time_lost": "Time lost",
    "changes": "Changeovers",
    "lines": "Other costs",
    "residual": "Residual value",
}
"""The parts of a cost over life, in the order they are added up."""

PART_MEANINGS: Mapping[str, str] = {
    "price": "Landed price of every machine that the jobs need",
    "energy": "For every shot, over the years",
    "time_lost": "Cycles made longer by slow recovery",
    "changes": "Resin wasted and time taken by changes of resin or colour",
    "lines": "Service, wear and whatever other costs are entered",
    "residual": "Of the machine's price; deducted",
}

NAMES: Mapping[str, str] = {
    **PARTS,
    "bought": "Price of what is bought",
    "present": "Cost over life, present value",
    "present_cost": "Cost over life, present value",
    "yearly": "Cost over life, a year",
    "yearly_cost": "Cost over life, a year",
    "machine": "Machine",
    "screw": "Screw",
    "fill_in": "Filled in by us",
    "scope": "Other items",
    "paid_once": "Charged once by the offer, not for each machine",
    "energy_cost": "Energy in a year",
    "time_lost_cost": "Time lost in a year",
    "resin_wasted": "Resin wasted",
    "changeover_time": "Changeover time",
    "change_resin_cost": "Resin wasted in a year",
    "change_time_cost": "Changeover time in a year",
    "machine_hour_rate": "Machine hour",
    "tariff": "1 kWh",
    "price_per_kg": "1 kg of resin",
    "price_of_usable_volume": "Price of usable volume",
    "price_of_rated_mass": "Price of rated mass",
    "price_of_common_mass": "Price of mass in the common resin",
}
"""What an amount is called; an item of the scope and a kind of line by their own words."""


@dataclass(frozen=True, slots=True)
class FormulaWords:
    """A formula in words, and what each of its inputs is called and how it is written."""

    formula: str
    inputs: Mapping[str, tuple[str, Form]]


_RATE: Mapping[str, tuple[str, Form]] = {
    "growth": ("Growth in a year", "share"),
    "rate": ("Discount rate", "share"),
}

FORMULAS: Mapping[str, FormulaWords] = {
    "converted_amount": FormulaWords(
        "amount × exchange rate",
        {"amount": ("As printed", "number"), "rate": ("Exchange rate", "number")},
    ),
    "energy_cost": FormulaWords(
        "shots × shot mass × energy per mass × price of 1 kWh",
        {
            "shots": ("Shots in a year", "number"),
            "shot_mass": ("Shot mass", "mass"),
            "energy_per_mass": ("Energy per mass", "energy"),
            "tariff": ("Price of 1 kWh", "money"),
        },
    ),
    "time_lost_cost": FormulaWords(
        "shots × seconds lost / 3600 / OEE × machine hour rate",
        {
            "shots": ("Shots in a year", "number"),
            "seconds_lost": ("Lost per cycle", "time"),
            "oee": ("OEE without changeovers", "share"),
            "hour_rate": ("Machine hour rate", "money"),
        },
    ),
    "change_resin_cost": FormulaWords(
        "changeovers × turnovers × melt held × melt density × price of 1 kg",
        {
            "batches": ("Changeovers a year", "number"),
            "turnovers": ("Turnovers", "number"),
            "volume": ("Melt held in screw and hot runner", "volume"),
            "density": ("Melt density", "density"),
            "price_per_kg": ("Price of 1 kg", "money"),
        },
    ),
    "change_time_cost": FormulaWords(
        "changeovers × changeover time × machine hour rate",
        {
            "batches": ("Changeovers a year", "number"),
            "change_time": ("Changeover time", "hours"),
            "hour_rate": ("Machine hour rate", "money"),
        },
    ),
    "cost_of_hours": FormulaWords(
        "amount × hours run / hours it covers",
        {
            "amount": ("Amount", "money"),
            "per_hours": ("Hours it covers", "number"),
            "hours": ("Hours run in a year", "number"),
        },
    ),
    "present_value_of_years": FormulaWords(
        "Σ amount × (1 + growth)^t / (1 + discount rate)^t, t from the first to the last year",
        {
            "amount": ("Of a year, at today's prices", "money"),
            **_RATE,
            "first": ("First year", "years"),
            "last": ("Last year", "years"),
        },
    ),
    "present_value_at": FormulaWords(
        "amount × (1 + growth)^t / (1 + discount rate)^t",
        {"amount": ("At today's prices", "money"), **_RATE, "year": ("Year", "years")},
    ),
    "residual_worth": FormulaWords(
        "residual share × price / (1 + discount rate)^years, deducted",
        {
            "price": ("Price, deducted", "money"),
            "share": ("Residual share", "share"),
            "rate": ("Discount rate", "share"),
            "years": ("Horizon", "years"),
        },
    ),
    "yearly_cost": FormulaWords(
        "present cost × r / (1 − (1 + r)^−years): equal payments at each year end",
        {
            "present_cost": ("Cost over life, present value", "money"),
            "rate": ("Discount rate", "share"),
            "years": ("Horizon", "years"),
        },
    ),
    "price_of_usable_volume": FormulaWords(
        "landed price / (swept volume × largest share of volume)",
        {
            "price": ("Landed price", "money"),
            "swept_volume": ("Swept volume", "volume"),
            "share": ("Largest share for the largest job", "share"),
        },
    ),
    "price_of_rated_mass": FormulaWords(
        "landed price / rated shot mass",
        {"price": ("Landed price", "money"), "mass": ("Rated shot mass, as printed", "mass")},
    ),
    "price_of_common_mass": FormulaWords(
        "landed price / (swept volume × output factor of the common resin)",
        {
            "price": ("Landed price", "money"),
            "swept_volume": ("Swept volume", "volume"),
            "output_factor": ("Output factor of the common resin", "density"),
        },
    ),
}

PATHS: Mapping[str, Path] = {
    "rate": ("cost", "discount_rate"),
    "years": ("cost", "horizon_years"),
    "share": ("cost", "residual_share"),
    "oee": ("cost", "oee"),
    "turnovers": ("cost", "turnovers"),
    "change_time": ("cost", "change_time"),
    "tariff": ("cost", "tariff"),
    "hour_rate": ("cost", "machine_hour_rate"),
    "energy_per_mass": ("cost", "energy_per_mass"),
    "output_factor": ("cost", "common_resin"),
}
"""Where an input that stands in the cost basis is entered."""

STANDINGS: Mapping[str, str] = {
    "stated": "stated",
    "assumed": "assumed in part, not stated by anybody",
    "ours": "filled in by us in part, not the supplier's",
    "missing": "not stated",
}
MARKS: Mapping[str, str] = {"stated": "", "assumed": " ᵃ", "ours": " ᵒ", "missing": ""}
JOBS_UNDECIDED = (
    "5 + 3 ? jobs: 5 are known to run; 3 are undecided: whether they fit is not stated, in doubt, "
    "or beyond a limit that nobody confirmed."
)
COSTS_UNDECIDED = "Costs include undecided jobs."
MARKED = (
    "ᵃ assumed in part; ᵒ filled in by us in part; + ? a part is not stated and is not included."
)
