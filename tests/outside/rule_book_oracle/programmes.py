"""Random but ordinary evaluations: catalogue numbers, gaps, mixed units, a slip now and then."""

from __future__ import annotations

import json
from copy import deepcopy
from math import pi
from pathlib import Path
from random import Random
from typing import Any

from .quantities import FACTORS

Filed = dict[str, Any]
TABLE = Path(__file__).parents[3] / "resources" / "resins.json"
RESINS = ("ps", "abs", "pmma", "pc", "pvc_u", "pe_ld", "pe_hd", "pp", "pp_t20", "pa66_gf30", "pom")
PACKAGES = (
    *("nitrided", "bimetallic_iron", "bimetallic_nickel", "bimetallic_carbide"),
    *("stainless", "chrome", "coated", "unknown", None),
)


def quantity(value: float, unit: str, digits: int = 3, **more: Any) -> Filed:
    """Print an SI number in a unit with so many significant digits."""
    printed = value / FACTORS[unit]
    decimals = max(0, digits - len(str(int(abs(printed)))))
    return {"magnitude": f"{printed:.{decimals}f}", "unit": unit, **more}


def printed(magnitude: Any, unit: str, **more: Any) -> Filed:
    return {"magnitude": str(magnitude), "unit": unit, **more}


class Maker:
    """Draws one programme from one seed."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.us = self.random.random() < 0.25
        self.doubted: set[str] = set()

    def chance(self, share: float) -> bool:
        return self.random.random() < share

    def maybe(self, share: float, value: Any) -> Any:
        """The value, or null in so many of all cases."""
        return value if self.chance(share) else None

    def pick(self, *choices: Any) -> Any:
        return self.random.choice(choices)

    # Resins ------------------------------------------------------------------------------------

    def resins(self) -> list[Filed]:
        table = {
            row["resin"]["id"]: row["resin"] for row in json.loads(TABLE.read_text())["resins"]
        }
        names = ["ps", *self.random.sample(RESINS[1:], self.random.randint(2, 4))]
        return [self.resin(deepcopy(table[name])) for name in names]

    def resin(self, resin: Filed) -> Filed:
        density = round(self.random.uniform(0.75, 1.25), 3)
        if self.chance(0.35):
            resin["melt_density"] = printed(density, "g/cm3")
        if self.chance(0.3):
            resin["back_pressure"] = self.pick(printed("0.1", "MPa"), printed("80", "bar"))
        if self.chance(0.25) and resin.get("tait") and not resin["fillers"]:
            resin["fillers"] = [
                {"name": "talc", "mass_share": 0.2, "density": printed("2.7", "g/cm3")}
            ]
        self.route(resin, density)
        if self.chance(0.2):
            resin["utilisation_low"] = printed(self.pick("0.25", "0.20"), "1")
            resin["utilisation_high"] = printed(self.pick("65", "75"), "%")
        if self.chance(0.15):
            resin["leak_share"] = 0.03
        for field in ("enthalpy", "diffusivity_literature", "diffusivity", "mould_temperature"):
            if self.chance(0.07):
                resin[field] = None
        if self.chance(0.05):
            resin["resin_class"] = None
        if self.chance(0.3):
            for field in (
                *("residence_limits", "peripheral_speed_limit"),
                *("compression_low", "compression_high"),
            ):
                resin["origins"].pop(field, None)
        return resin

    def route(self, resin: Filed, density: float) -> None:
        """Choose how the output factor is known."""
        factors = resin["output_factors"]
        if self.chance(0.2):
            factors["air_shot"] = printed(round(density * 0.93, 3), "g/cm3", standing="measured")
            resin["output_factor_route"] = "air_shot"
        elif self.chance(0.2):
            factors["own"] = printed(round(density * 0.95, 2), "g/cm3")
            resin["output_factor_route"] = "own"
        elif self.chance(0.2):
            resin["mfr"] = printed(self.pick("12", "8.4", "20.5"), "g/10min")
            mvr = float(resin["mfr"]["magnitude"]) / density
            resin["mvr"] = printed(f"{mvr:.1f}", "cm3/10min")
            resin["output_factor_route"] = "data_sheet"
        elif resin.get("tait") and self.chance(0.4):
            resin["output_factor_route"] = "melt_density"
        elif factors.get("trade_table") is None:
            factors["trade_table"] = printed(round(density * 0.93, 2), "g/cm3")
            resin["output_factor_route"] = "trade_table"

    # Jobs --------------------------------------------------------------------------------------

    def jobs(self, resins: list[Filed]) -> list[Filed]:
        names = [resin["id"] for resin in resins]
        count = self.pick(2, 2, 2, 3, 3, 4, 5)
        return [self.job(f"j{place + 1}", self.pick(*names)) for place in range(count)]

    def job(self, name: str, resin: str) -> Filed:
        cavities = self.pick(1, 2, 4, 8)
        part = self.random.uniform(0.012, 0.110) / cavities
        runner = self.pick("none", "cold", "cold", "hot", "mixed", None)
        mass_unit = self.pick("oz", "g") if self.us else "g"
        wall = self.pick("1.2", "1.8", "2.5", "3.0")
        cycle = round(self.random.uniform(10, 50), 0)
        job: Filed = {
            "id": name,
            "resin": resin,
            "part_mass": quantity(
                part, mass_unit, standing=self.pick("quoted", "measured", "assumed")
            ),
            "cavities": cavities,
            "runner_kind": runner,
            "cycle_time": self.maybe(0.9, printed(f"{cycle:.0f}", "s")),
            "cooling_time": self.maybe(0.5, printed(f"{cycle * 0.45:.1f}", "s")),
            "fill_time": self.maybe(0.85, printed(self.pick("0.8", "1.5", "2.4"), "s")),
            "hold_time": self.maybe(0.8, printed(self.pick("2.5", "4", "6"), "s")),
            "mould_motion_time": self.maybe(0.4, printed(self.pick("2.0", "3.5", "5"), "s")),
            "screw_delay": self.maybe(0.2, printed("0.5", "s")),
            "recovery_during_opening": self.maybe(0.2, printed(self.pick("1.5", "3"), "s")),
            "wall_thickness": self.maybe(0.8, printed(wall, "mm")),
            "cooling_shape": self.pick("plate", "plate", "cylinder", None),
            "cooling_target": self.pick("centre", "mean", None),
            "shot_mass_tolerance": self.maybe(0.8, printed(self.pick("0.3", "0.5", "1.0"), "%")),
            "cushion": self.maybe(0.2, printed("4", "mm")),
            "decompression": self.maybe(0.2, printed("3", "mm")),
            "melt_temperature": None,
        }
        if runner in ("cold", "mixed"):
            job["runner_mass"] = self.maybe(0.85, quantity(part * 0.3, "g", 2))
        if runner in ("hot", "mixed"):
            job["hot_runner_volume"] = self.maybe(0.7, printed(self.pick("25", "60", "140"), "cm3"))
        shot = cavities * part
        if self.chance(0.15):
            job["shot_mass"] = quantity(shot * 1.1, "g", standing="measured")
        if self.chance(0.3):
            job["smallest_shot_mass"] = quantity(shot * self.pick(0.5, 0.8, 1.4), "g")
        if self.chance(0.3):
            job["largest_shot_mass"] = quantity(shot * self.pick(1.4, 1.8, 0.7), "g")
        self.filling(job)
        return job

    def filling(self, job: Filed) -> None:
        """What the mould asks of the machine: a pressure, or what it is estimated from."""
        if self.chance(0.55):
            bar = self.random.randrange(600, 1800, 50)
            job["required_pressure"] = (
                quantity(bar * 1e5, "psi", 3) if self.us else printed(bar, "bar")
            )
        if self.chance(0.6):
            job["flow_wall"] = printed(self.pick("0.9", "1.6", "2.5"), "mm")
            job["flow_length"] = printed(self.pick("45", "120", "200"), "mm")
            job["flow_width"] = printed(self.pick("12", "40"), "mm")
        if self.chance(0.1):
            job["required_rate"] = printed(self.pick("80", "150"), "cm3/s")

    # Bids --------------------------------------------------------------------------------------

    def bids(self, resins: list[Filed]) -> list[Filed]:
        return [self.bid(f"b{place + 1}", resins) for place in range(self.pick(2, 2, 2, 3, 4))]

    def bid(self, name: str, resins: list[Filed]) -> Filed:
        diameter = self.pick(0.025, 0.030, 0.035, 0.040, 0.050)
        stroke = round(diameter * self.random.uniform(3.6, 4.8), 2)
        pressure = self.random.randrange(2000, 2600, 50) * 1e5
        speed = self.pick(0.12, 0.16, 0.2, 0.3)
        force = pressure * pi * diameter**2 / 4
        drive = force * speed / self.pick(0.9, 1.0, 1.6, 2.5)
        unit: Filed = {
            "id": f"{name}u1",
            "unit_kind": self.pick(*["reciprocating"] * 8, None, "plunger"),
            "size_number": self.maybe(0.4, printed(round(force * stroke / 100), "1")),
            "drive_kind": self.pick("electric", "hydraulic", "hybrid", "accumulator", None),
            "drive_power": self.maybe(0.8, quantity(drive, "kW", 2)),
            "injection_power": self.maybe(0.6, quantity(drive * self.pick(0.9, 0.95), "kW", 2)),
            "position_scatter": self.maybe(0.6, printed(self.pick("0.05", "0.1"), "mm")),
        }
        turns = self.pick(18, 20, 22, 24)
        reference = self.pick("ps", "ps", "ps", None, resins[1]["id"])
        count = self.pick(1, 2, 2, 3)
        unit["barrels"] = [
            self.barrel(
                *(f"{name}u1{'abc'[at]}", diameter + 0.005 * at, stroke),
                *(force, speed, reference, turns),
            )
            for at in range(count)
        ]
        if self.chance(0.3):
            self.plant(unit)
        return {"id": name, "units": [unit]}

    def barrel(
        self,
        name: str,
        d: float,
        s: float,
        force: float,
        speed: float,
        reference: str | None,
        length_ratio: int,
    ) -> Filed:
        area = pi * d**2 / 4
        turns = 0.25 / d
        rate = 0.062 * 950 * turns * d**3 * self.random.uniform(0.8, 1.25)
        us = self.us and self.chance(0.7)
        length, volume = ("in", "in3") if us else ("mm", "cm3")
        barrel: Filed = {
            "id": name,
            "screw_diameter": self.maybe(0.95, quantity(d, length, 4 if us else 2)),
            "stroke": self.maybe(0.93, quantity(s, length, 3)),
            "swept_volume": self.maybe(0.9, quantity(area * s, volume, 3)),
            "rated_shot_mass": self.maybe(0.8, quantity(area * s * 910, "oz" if us else "g", 3)),
            "reference_resin": reference,
            "injection_pressure": self.maybe(
                0.9, quantity(force / area, "psi" if us else self.pick("bar", "MPa"), 4)
            ),
            "pressure_kind": self.pick("melt", "melt", None),
            "injection_rate": self.maybe(0.9, quantity(area * speed, f"{volume}/s", 3)),
            "injection_speed": self.maybe(0.5, quantity(speed, f"{length}/s", 3)),
            "plasticising_rate": self.maybe(
                0.9, quantity(rate, self.pick("lb/h", "kg/h", "g/s"), 3)
            ),
            "plasticising_resin": self.maybe(0.7, reference),
            "plasticising_speed": self.maybe(0.6, quantity(turns, "rev/min", 3)),
            "screw_speed": self.maybe(0.3, quantity(turns, "rev/min", 3)),
            "screw_speed_max": self.maybe(0.7, quantity(turns * 1.4, "rev/min", 3)),
            "length_ratio": self.maybe(0.8, printed(length_ratio, "1")),
            "compression_ratio": self.maybe(0.6, printed(self.pick("1.8", "2.3", "3.1"), "1")),
            "ring_kind": self.pick("sliding", "ball", "other", "unknown", "smear_tip", None),
            "ring_travel": self.maybe(0.6, printed(f"{70 * d:.1f}", "mm")),
            "melt_inventory": self.maybe(0.5, quantity(5.0 * d**3, "cm3", 3)),
            "barrel_package": self.pick(*PACKAGES),
            "screw_package": self.pick(*PACKAGES),
        }
        if self.chance(0.3):
            barrel["zones"] = {"feed": 0.6, "compression": 0.2, "metering": 0.2}
            barrel["feed_depth"] = printed(f"{130 * d:.1f}", "mm")
            barrel["metering_depth"] = printed(f"{60 * d:.1f}", "mm")
        if self.chance(0.1):
            barrel["reference_factor"] = printed(self.pick("0.91", "0.95"), "g/cm3")
        return barrel

    def plant(self, unit: Filed) -> None:
        """Print one number wrongly."""
        barrel = self.pick(*unit["barrels"])
        self.doubted.add(barrel["id"])
        kind = self.pick(
            "radius", "in3", "volume", "volume", "oil", "psi", "rate", "solid", "speed"
        )

        def multiply(field: str, factor: float, digits: int = 3) -> None:
            datum = barrel.get(field)
            if datum is not None:
                si_value = float(datum["magnitude"]) * factor * FACTORS[datum["unit"]]
                barrel[field] = quantity(si_value, datum["unit"], digits)

        if kind == "radius":
            multiply("screw_diameter", 0.5, 4)
        elif kind == "in3":
            multiply("swept_volume", 1 / 16.387064)
        elif kind == "volume":
            multiply("swept_volume", self.pick(1.02, 1.12, 1.45, 0.8, 0.6))
        elif kind == "oil":
            for barrel in unit["barrels"]:
                barrel["injection_pressure"] = printed(self.pick(175, 210), "bar")
        elif kind == "psi":
            multiply("injection_pressure", 14.5, 5)
        elif kind == "rate":
            multiply("plasticising_rate", self.pick(3.6, 1 / 3.6))
        elif kind == "solid":
            multiply("rated_shot_mass", 1.05 / 0.91)
        else:
            multiply("injection_speed", self.pick(1.02, 1.3))

    # What people decided -----------------------------------------------------------------------

    def decisions(self, filed: Filed) -> None:
        barrels = [b for bid in filed["bids"] for u in bid["units"] for b in u["barrels"]]
        jobs = [job["id"] for job in filed["jobs"]]
        signed = {"reason": "tried", "person": "A. Nowak", "date": "2026-10-01"}
        for barrel in barrels:
            if self.chance(0.4 if barrel["id"] in self.doubted else 0.05):
                route, reading = self.pick(
                    ("geometry", "as_printed"),
                    ("quoted", "diameter"),
                    ("quoted", "stroke"),
                    ("quoted", "unknown"),
                    ("quoted", "unknown"),
                )
                barrel["settled"] = {"route": route, "reading": reading, **signed}
            if self.chance(0.3):
                refused = self.pick(None, None, True)
                until = self.pick(None, None, "2027-06-30", "2026-01-31")
                filed["deviations"].append(
                    {
                        "barrel": barrel["id"],
                        "job": self.pick(*jobs, None),
                        "criterion": self.pick("utilisation", "stroke", "wear", "recovery"),
                        "until": None if refused else until,
                        "refused": refused,
                        "role": "process_engineering",
                        **signed,
                    }
                )
        if self.chance(0.3):
            filed["assignment"] = [{"job": self.pick(*jobs), "barrel": self.pick(*barrels)["id"]}]
        for resin in filed["resins"]:
            for field in ("residence_limits", "peripheral_speed_limit"):
                if self.chance(0.2) and resin.get(field):
                    filed["confirmed_limits"].append(
                        {"resin": resin["id"], "field": field, "value": resin[field], **signed}
                    )
        for bid in filed["bids"]:
            if self.chance(0.2):
                filed["answers"].append(
                    {
                        "question": f"{bid['id']}.injection_pressure",
                        "state": self.pick("open", "answered", "accepted_as_is"),
                        "date": "2026-10-02",
                        "text": "It is so.",
                    }
                )

    def limits(self) -> Filed:
        found: Filed = {}
        if self.chance(0.2):
            found["engineering_high"] = self.pick(0.65, {"value": 0.6, "origin": "from_memory"})
        if self.chance(0.2):
            found["stroke_high"] = {"value": 3.5, "origin": "from_memory", "note": ""}
        if self.chance(0.2):
            found["ring_share"] = {"value": 0.12, "origin": "published", "note": ""}
        if self.chance(0.2):
            found["required"] = ["recovery"]
        return found

    def uncertainty(self) -> Filed:
        found: Filed = {}
        if self.chance(0.15):
            found["output_factor"] = self.pick(0.03, {"trade_table": 0.06, "own": 0.02})
        if self.chance(0.1):
            found["cycle_time"] = 0.02
        if self.chance(0.1):
            found["melt_inventory"] = {"diameter_rule": 0.4, "quoted": 0.1}
        return found


def revise(filed: Filed, random: Random) -> None:
    """Let some bids stand in for the one before, and be withdrawn."""
    for place, bid in enumerate(filed["bids"][1:]):
        if random.random() < 0.15:
            bid["revises"] = filed["bids"][place]["id"]
    for bid in filed["bids"]:
        if random.random() < 0.1:
            bid["withdrawn"] = True


def programme(seed: int) -> Filed:
    """Return one random evaluation as filed, version 2."""
    maker = Maker(seed)
    resins = maker.resins()
    filed: Filed = {
        "format_version": 2,
        "title": f"Programme {seed}",
        "as_of": maker.maybe(0.9, "2026-11-02"),
        "resins": resins,
        "jobs": maker.jobs(resins),
        "bids": maker.bids(resins),
        "limits": maker.limits(),
        "uncertainty": maker.uncertainty(),
        "answers": [],
        "deviations": [],
        "assignment": [],
        "confirmed_limits": [],
    }
    maker.decisions(filed)
    revise(filed, Random(10**6 + seed))
    return filed
