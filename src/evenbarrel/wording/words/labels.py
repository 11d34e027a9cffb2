"""The word for each code: states, criteria, claims, causes, routes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from pydantic import BaseModel

from evenbarrel.model.cost import Cost
from evenbarrel.model.datum import data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.resin import OutputFactors, Resin

if TYPE_CHECKING:
    from evenbarrel.appraisal.results import ClaimState, State

STATES: Mapping[State, str] = {
    "inside": "inside",
    "near_edge": "near edge",
    "outside": "outside",
    "not_stated": "not stated",
}

TO_CONFIRM = "to be confirmed"
"""Near an edge because a limit that is exceeded is from memory and nobody has confirmed it."""

MARKS: Mapping[str, str] = {"inside": "●", "near_edge": "◐", "outside": "⊗", "not_stated": "◌"}
"""A mark for each state, told apart without colour."""

CLAIM_STATES: Mapping[str, str] = {
    "agrees": "agrees",
    "query": "query",
    "contradicts": "contradicts",
    "not_stated": "not stated",
}

CLAIM_COUNTS: Mapping[ClaimState, str] = {
    "agrees": "agreed",
    "query": "queried",
    "contradicts": "contradicted",
    "not_stated": "not stated",
}
"""Said after how many there are of a state, be it one."""

STATE_OF_CLAIM: Mapping[str, State] = {
    "agrees": "inside",
    "query": "near_edge",
    "contradicts": "outside",
    "not_stated": "not_stated",
}
"""Which state's colour and mark a claim's state borrows."""

BASES: Mapping[str, str] = {
    "physical": "physics",
    "practice": "rule of practice",
    "resin": "resin limit",
}

WINDOW_ROUTES: Mapping[str, str] = {
    "given": "Window: cooling time as given",
    "cycle": "Window: what the cycle leaves",
    "formula": "Window: by formula, less hold",
    "cap": "Window: at most what the cycle leaves",
}

REASONS: Mapping[str, str] = {
    "comfort": "beyond comfort",
    "uncertainty": "within uncertainty",
    "soft": "beyond it, but an input is assumed",
    "beyond_unconfirmed": "beyond a limit from memory that nobody has confirmed",
    "unsettled": "its readings differ and nobody has decided",
    "readings": "nobody knows which printed size is wrong",
    "disputed": "a printed number is in doubt",
}

GATES: Mapping[str | None, str] = {
    "no_objection": "no objection",
    "waits": "waits",
    "shut": "shut",
    None: "not judged",
}

READINGS: Mapping[str, str] = {
    "as_printed": "as printed",
    "diameter": "with the diameter that the volume implies",
    "stroke": "with the stroke that the volume implies",
}
"""How a barrel's size is read; the others are slips."""

ENDS: Mapping[str, str] = {
    "nominal": "nominal shot",
    "smallest": "smallest shot",
    "largest": "largest shot",
}

CAUSES: Mapping[str, str] = {
    "in3_as_cm3": "in³ was printed as cm³",
    "cm3_as_in3": "cm³ was printed as in³",
    "oz_as_g": "oz was printed as g",
    "g_as_oz": "g was printed as oz",
    "fl_oz_as_cm3": "fl oz was printed as cm³",
    "psi_as_bar": "psi was printed as bar",
    "bar_as_psi": "bar was printed as psi",
    "MPa_as_bar": "MPa was printed as bar",
    "bar_as_MPa": "bar was printed as MPa",
    "radius_as_diameter": "the radius was printed as the diameter",
    "diameter_as_radius": "twice the diameter was printed",
    "in_as_mm": "in was printed as mm",
    "mm_as_in": "mm was printed as in",
    "neighbour_barrel": "the number was taken from the neighbouring screw",
    "solid_density": "the mass was rated on solid density",
    "oil_pressure": "the oil pressure was printed as melt pressure",
    "reference_resin": "the mass was rated in another resin",
    "decimal_shift": "the decimal mark was shifted",
    "kg_h_as_g_s": "kg/h was printed as g/s",
    "g_s_as_kg_h": "g/s was printed as kg/h",
    "lb_as_kg": "lb was printed as kg",
    "lb_h_as_kg_h": "lb/h was printed as kg/h",
}
"""Each slip as a clause: it would be explained if ..."""

ROUTES: Mapping[str, str] = {
    "geometry": "from diameter and stroke",
    "quoted": "as quoted",
    "rated_mass": "from rated mass",
    "trade_table": "trade table",
    "melt_density": "melt density less leakage",
    "data_sheet": "MFR / MVR less leakage",
    "air_shot": "air shots",
    "own": "own factor",
    "diameter_rule": "4.4 D³ rule",
    "same_resin": "rated in the same resin",
    "converted": "converted from the rated resin",
    "given": "as given",
    "motion": "mould motion time",
    "computed": "computed",
    "estimated": "estimated",
}

INVENTORY_ROUTES: Mapping[str, str] = {**ROUTES, "geometry": "from screw geometry"}
"""What a screw holds comes from its depths and zones, not from diameter and stroke alone."""

RATED_BASES: Mapping[str, str] = {
    "output_factor": "output factor",
    "melt_density": "melt density",
    "solid_density": "solid density",
    "unexplained": "unexplained",
    "not_stated": "not stated",
}

STANDINGS: Mapping[str, str] = {
    "quoted": "quoted",
    "confirmed": "confirmed",
    "measured": "measured",
    "assumed": "assumed",
}

ORIGINS: Mapping[str | None, str] = {
    "published": "published",
    "common_practice": "common practice, no source",
    "from_memory": "from memory, not looked up",
    None: "your own",
}

ORIGINS_SHORT: Mapping[str | None, str] = {
    origin: words.partition(",")[0] for origin, words in ORIGINS.items()
}
"""What a source names of an origin where it says it itself."""

GROUPS: Mapping[str, str] = {
    "offer": "Offer",
    "commercial": "Commercial",
    "drive": "Drive",
    "heating": "Heating",
    "geometry": "Geometry",
    "capacity": "Capacity as rated",
    "pressure_rate": "Pressure and rate",
    "plasticising": "Plasticising",
    "materials": "Materials",
    "shot": "Shot",
    "cycle": "Cycle",
    "part": "Part and flow",
    "programme": "Programme",
    "identity": "Resin",
    "factor": "Output factor",
    "window": "Own share-of-volume window",
    "density": "Density and leakage",
    "process": "Processing",
    "evaluation": "Evaluation",
    "payments": "Years and payments",
    "machine_hours": "Machine hours",
    "energy": "Energy",
    "changes": "Changeovers",
    "comparing": "Comparison",
}

CHOICES: Mapping[str, str] = {
    "semi_crystalline": "semi-crystalline",
    "pet": "PET",
    "bimetallic_iron": "bimetallic, iron-based",
    "bimetallic_nickel": "bimetallic, nickel-based",
    "bimetallic_carbide": "bimetallic, with carbides",
    "process_engineering": "process engineering",
    "purchase": "purchasing",
    "accepted_as_is": "accepted as it is",
}

_DERIVED = {
    "residence_limits": "Residence limit at melt temperature",
    "output_factor": "Output factor",
    "wall_thickness": "Wall thickness",
}


def choice(code: str) -> str:
    """Return the word for one value of a closed list."""
    return CHOICES.get(code) or ROUTES.get(code) or code.replace("_", " ")


def datum_of(model: type[BaseModel], name: str) -> str:
    """Return the label of a model's datum: one name may mean different things in two models."""
    return data_of(model)[name].label if name in data_of(model) else datum(name)


def datum(name: str) -> str:
    """Return the label of a datum by its field name, whoever states it."""
    for model in (Barrel, InjectionUnit, Bid, Job, Resin, Evaluation, OutputFactors, Cost):
        described = data_of(model).get(name)
        if described is not None:
            return described.label
    return _DERIVED.get(name, name.replace("_", " ").capitalize())
