"""The bibliography: where each formula, each caution and each shipped number comes from."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

Kind = Literal["standard", "handbook", "journal", "library", "common_practice", "definition"]
"""In the order in which they are listed."""
Status = Literal["seen", "from_memory"]


@dataclass(frozen=True, slots=True)
class Source:
    """One entry of the bibliography.

    `status` tells whether the place was read when the program was written, or recalled. `data`
    holds what shipped data give as their source where they rest on it; `is_rule` says whether a
    formula, a claim or a caution does, which names it by `Source: key`: then every evaluation
    rests on it. What only a test holds against the program stands beside that test.
    """

    key: str
    title: str
    edition: str
    where: str
    kind: Kind
    status: Status
    data: tuple[str, ...] = ()
    is_rule: bool = True


_TAIT_BANK = (
    "Handbook of Polymer Solution Thermodynamics, parameters as in the Tait data bank of polykin "
    "0.8.0"
)
_MATERIALS = (
    "EN 12524:2000, as tabulated in the library ht 1.2.0",
    "k/(ρ cp) at room temperature from the building-material table of ht 1.2.0, after VDI Heat "
    "Atlas and DIN EN 12524:2000",
)

_ENTRIES = (
    Source(
        "euromap_1",
        "EUROMAP 1, Description of injection moulding machines",
        "",
        "size number of an injection unit",
        "standard",
        "from_memory",
    ),
    Source(
        "iso_294_1",
        "ISO 294-1, Injection moulding of test specimens of thermoplastic materials",
        "2017",
        "4.2.2, moulding volume against screw-stroke volume; figures from memory",
        "standard",
        "from_memory",
        data=("ISO 294-1, clause 4.2.2, figures from memory",),
        is_rule=False,
    ),
    Source(
        "iso_1133",
        "ISO 1133, Melt mass-flow rate and melt volume-flow rate of thermoplastics",
        "",
        "relation of MFR and MVR",
        "standard",
        "from_memory",
    ),
    Source(
        "iso_20430",
        "ISO 20430, Injection moulding machines, safety requirements",
        "2020",
        "scope",
        "standard",
        "seen",
    ),
    Source(
        "jcgm_100",
        "JCGM 100, Guide to the expression of uncertainty in measurement",
        "2008",
        "4.2, 4.3.7, 5.1 and annex E",
        "standard",
        "from_memory",
    ),
    Source(
        "jcgm_106",
        "JCGM 106, The role of measurement uncertainty in conformity assessment",
        "2012",
        "its idea of guarded acceptance and rejection",
        "standard",
        "from_memory",
    ),
    Source(
        "crawford",
        "Crawford, R. J.: Plastics Engineering",
        "3rd, 1998",
        "table 1.8, p. 31",
        "handbook",
        "seen",
        data=("Plastics Engineering, 3rd ed. 1998, Table 1.8",),
        is_rule=False,
    ),
    Source(
        "danner_high",
        "Danner, R. P., and High, M. S.: Handbook of Polymer Solution Thermodynamics",
        "1993",
        "Tait parameters, seen as the library polykin credits them",
        "handbook",
        "seen",
        data=(_TAIT_BANK,),
        is_rule=False,
    ),
    Source(
        "groover",
        "Groover, M. P.: Fundamentals of Modern Manufacturing",
        "",
        "extrusion: drag flow of a metering channel",
        "handbook",
        "from_memory",
    ),
    Source(
        "menges_mohren",
        "Menges, G., and Mohren, P.: How to Make Injection Molds",
        "",
        "cooling time of plate and cylinder; constants recomputed",
        "handbook",
        "from_memory",
    ),
    Source(
        "osswald",
        "Osswald, T. A., and Hernandez-Ortiz, J. P.: Polymer Processing: Modeling and Simulation",
        "2006",
        "slit flow; table of power-law parameters",
        "handbook",
        "from_memory",
        data=("textbook power-law table, from memory",),
    ),
    Source(
        "rao_schumacher",
        "Rao, N. S., and Schumacher, G.: Design Formulas for Plastics Engineers",
        "2nd, 2004",
        "section 1.3.7.2, power law shifted by temperature",
        "handbook",
        "seen",
        data=("Design Formulas for Plastics Engineers, 2nd ed. 2004, section 1.3.7.2, example",),
    ),
    Source(
        "vdi_heat_atlas",
        "VDI Heat Atlas; EN 12524:2000",
        "",
        "density, conductivity and heat capacity of plastics, as the library ht credits them",
        "handbook",
        "seen",
        data=_MATERIALS,
        is_rule=False,
    ),
    Source(
        "crc_wohlfarth",
        "Wohlfarth, C.: Pressure-volume-temperature relationship for polymer melts, CRC "
        "Handbook of Chemistry and Physics",
        "",
        "Tait equation and its isobars; equations seen, table not",
        "handbook",
        "seen",
    ),
    Source(
        "rodgers_1993",
        "Rodgers, P. A.: Pressure-volume-temperature relationships for polymeric "
        "liquids, J. Appl. Polym. Sci. 48 (1993) 1061",
        "",
        "Tait parameters of polymer melts",
        "journal",
        "from_memory",
        data=("Tait set after J. Appl. Polym. Sci. 48 (1993) 1061, from memory",),
        is_rule=False,
    ),
    Source(
        "ht",
        "ht, heat transfer component of chemical engineering in Python",
        "1.2",
        "insulation.building_materials",
        "library",
        "seen",
        data=_MATERIALS,
        is_rule=False,
    ),
    Source(
        "polykin",
        "polykin, polymer reaction engineering in Python",
        "0.8",
        "Tait databank",
        "library",
        "seen",
        data=(_TAIT_BANK,),
        is_rule=False,
    ),
    Source(
        "common_practice",
        "common practice, no source",
        "",
        "circulates in the trade without a traceable origin",
        "common_practice",
        "from_memory",
    ),
    Source(
        "definition",
        "Definition, geometry or arithmetic",
        "",
        "needs no source",
        "definition",
        "seen",
    ),
)

SOURCES: MappingProxyType[str, Source] = MappingProxyType({entry.key: entry for entry in _ENTRIES})
"""Every source by its key, in the order in which they are listed; read-only."""
