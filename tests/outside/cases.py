"""One evaluation as a file holds it, sound unless a case says otherwise, run to its results."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.report.results_file import results_of, to_json
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.wording.sentences.asking.questions import question_texts

Filed = dict[str, Any]
TABLE = Path(__file__).parents[2] / "resources" / "resins.json"
RESINS: Filed = {
    row["resin"]["id"]: row["resin"] for row in json.loads(TABLE.read_text())["resins"]
}
BARREL = {
    "screw_diameter": "50 mm",
    "stroke": "200 mm",
    "swept_volume": "393 cm3",
    "rated_shot_mass": "357 g",
    "reference_resin": "ps",
    "injection_pressure": "2000 bar",
    "pressure_kind": "melt",
    "injection_rate": "196 cm3/s",
    "injection_speed": "100 mm/s",
    "plasticising_rate": "25 g/s",
    "plasticising_resin": "ps",
    "plasticising_speed": "200 rev/min",
    "screw_speed_max": "300 rev/min",
    "length_ratio": "22 1",
    "compression_ratio": "2.3 1",
    "ring_kind": "sliding",
    "ring_travel": "3 mm",
    "barrel_package": "bimetallic_carbide",
    "screw_package": "bimetallic_carbide",
    "melt_inventory": "550 cm3",
}
UNIT = {"drive_kind": "hydraulic", "drive_power": "40 kW", "position_scatter": "0.1 mm"}
JOB = {
    "resin": "ps",
    "shot_mass": "109 g",
    "runner_kind": "none",
    "cycle_time": "30 s",
    "cooling_time": "15 s",
    "fill_time": "1.5 s",
    "hold_time": "5 s",
    "required_pressure": "1200 bar",
    "shot_mass_tolerance": "1 %",
}
PERSON = {"reason": "seen", "person": "A. Person", "date": "2026-10-01"}


def quantity(text: str) -> Filed:
    magnitude, unit = text.split(" ")
    return {"magnitude": magnitude, "unit": unit}


def filed(thing: Filed) -> Filed:
    def read(value: Any) -> Any:
        is_number = isinstance(value, str) and value[:1].isdigit() and " " in value
        return quantity(value) if is_number else value

    return {name: read(value) for name, value in thing.items()}


class Case:
    """One evaluation with its appraisal and its published results."""

    def __init__(
        self,
        *barrels: Filed,
        jobs: tuple[Filed, ...] = ({},),
        unit: Filed | None = None,
        resins: Filed | None = None,
        bid: Filed | None = None,
        **whole: Any,
    ) -> None:
        screws = [filed({"id": f"b{n}", **BARREL, **b}) for n, b in enumerate(barrels or ({},))]
        planned = [filed({"id": f"j{n}", **JOB, **job}) for n, job in enumerate(jobs)]
        names = dict.fromkeys(("ps", *(job["resin"] for job in planned)))
        used = [{**RESINS[name], **(resins or {}).get(name, {})} for name in names]
        units = [filed({"id": "u", "barrels": screws, **UNIT, **(unit or {})})]
        offer = {"id": "o", "date": "2026-10-01", "valid_until": "2027-01-01", "units": units}
        evaluation = {
            "format_version": 2,
            "as_of": "2026-11-02",
            "resins": used,
            "jobs": planned,
            "bids": [{**offer, **(bid or {})}],
            **whole,
        }
        data = json.dumps(evaluation).encode()
        self.appraisal: Appraisal = appraise(parse_evaluation(data, "case"))
        published = results_of(self.appraisal, question_texts(self.appraisal))
        self.results: Filed = json.loads(to_json(published))

    def cell(self, barrel: str = "b0", job: str = "j0") -> Filed:
        fits = self.results["fits"]
        return next(f for f in fits if (f["barrel"], f["job"]) == (barrel, job))

    def criterion(self, key: str, barrel: str = "b0", job: str = "j0") -> Filed:
        return next(c for c in self.cell(barrel, job)["criteria"] if c["key"] == key)

    def state(self, key: str, barrel: str = "b0", job: str = "j0") -> str:
        return str(self.criterion(key, barrel, job)["state"])

    def barrel(self, name: str = "b0") -> Filed:
        return next(b for b in self.results["barrels"] if b["id"] == name)

    def claim(self, key: str, barrel: str = "b0") -> Filed:
        return next(c for c in self.barrel(barrel)["claims"] if c["key"] == key)

    def gate(self, barrel: str = "b0") -> tuple[str, set[tuple[str, str | None]]]:
        found = self.barrel(barrel)
        return found["gate"], {(r["kind"], r["criterion"]) for r in found["gate_because"]}

    def question(self, name: str) -> Filed | None:
        return next((q for q in self.results["questions"] if q["id"] == name), None)
