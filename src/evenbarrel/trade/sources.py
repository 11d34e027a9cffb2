"""The bibliography: where each formula and each shipped number comes from."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

Kind = Literal["standard", "handbook", "journal", "library", "common_practice", "definition"]
Status = Literal["seen", "from_memory"]


@dataclass(frozen=True, slots=True)
class Source:
    """One entry of the bibliography.

    `status` tells whether the place was read when the program was written, or recalled.
    """

    key: str
    title: str
    edition: str
    where: str
    kind: Kind
    status: Status


_ENTRIES = (
    Source(
        "definition",
        "Definition, geometry or arithmetic",
        "",
        "needs no source",
        "definition",
        "seen",
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
        "euromap_1",
        "EUROMAP 1, Description of injection moulding machines",
        "",
        "size number of an injection unit",
        "standard",
        "from_memory",
    ),
    Source(
        "iso_1133",
        "ISO 1133, Melt mass-flow rate and melt volume-flow rate of thermoplastics",
        "",
        "relation of MFR and MVR, melt densities of PE and PP",
        "standard",
        "from_memory",
    ),
    Source(
        "astm_d1238",
        "ASTM D1238, Melt flow rates of thermoplastics by extrusion plastometer",
        "2020",
        "opening pages seen; constant of procedure B and melt densities from memory",
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
        "iso_20430",
        "ISO 20430, Injection moulding machines, safety requirements",
        "2020",
        "scope",
        "standard",
        "seen",
    ),
    Source(
        "crc_wohlfarth",
        "C. Wohlfarth, Pressure-volume-temperature relationship for polymer melts, "
        "CRC Handbook of Chemistry and Physics",
        "",
        "Tait equation and its three isobars; equations seen, table not",
        "handbook",
        "seen",
    ),
    Source(
        "danner_high",
        "R. P. Danner and M. S. High, Handbook of Polymer Solution Thermodynamics",
        "1993",
        "Tait parameters, seen as the library polykin credits them",
        "handbook",
        "seen",
    ),
    Source(
        "polymer_handbook",
        "J. Cho and I. C. Sanchez, PVT relationships and equations of state of polymers, "
        "Polymer Handbook",
        "4th, 1999",
        "p. VI-591, the PMMA row",
        "handbook",
        "seen",
    ),
    Source(
        "rodgers_1993",
        "P. A. Rodgers, Pressure-volume-temperature relationships for polymeric liquids, "
        "J. Appl. Polym. Sci. 48 (1993) 1061",
        "",
        "Tait parameters of polymer melts",
        "journal",
        "from_memory",
    ),
    Source(
        "zoller_1979",
        "P. Zoller, J. Appl. Polym. Sci. 23 (1979) 1057",
        "",
        "range and deviation of the polypropylene measurements (abstract)",
        "journal",
        "seen",
    ),
    Source(
        "rao_obrien",
        "N. S. Rao and K. O'Brien, Design Data for Plastics Engineers",
        "1998",
        "chapter 2, table 2.1, Spencer-Gilmore constants",
        "handbook",
        "seen",
    ),
    Source(
        "rao_schumacher",
        "N. S. Rao and G. Schumacher, Design Formulas for Plastics Engineers",
        "2nd, 2004",
        "section 1.3.7.2, power law shifted by temperature",
        "handbook",
        "seen",
    ),
    Source(
        "crawford",
        "R. J. Crawford, Plastics Engineering",
        "3rd, 1998",
        "table 1.8, p. 31",
        "handbook",
        "seen",
    ),
    Source(
        "osswald",
        "T. A. Osswald and J. P. Hernandez-Ortiz, Polymer Processing: Modeling and Simulation",
        "2006",
        "power-law parameters; slit flow",
        "handbook",
        "from_memory",
    ),
    Source(
        "osswald_handbook",
        "T. A. Osswald, L.-S. Turng and P. Gramann, Injection Molding Handbook",
        "",
        "list of generic processing conditions",
        "handbook",
        "from_memory",
    ),
    Source(
        "johannaber",
        "F. Johannaber, Injection Molding Machines",
        "",
        "channel depths of three-zone screws",
        "handbook",
        "from_memory",
    ),
    Source(
        "spi_handbook",
        "SPI Plastics Engineering Handbook",
        "4th",
        "5 to 15 lb/h per hp of screw power; peripheral speeds",
        "handbook",
        "from_memory",
    ),
    Source(
        "plastics_encyclopedia",
        "Modern Plastics Encyclopedia",
        "1999",
        "polystyrene, quoted at second hand",
        "handbook",
        "seen",
    ),
    Source(
        "groover",
        "M. P. Groover, Fundamentals of Modern Manufacturing",
        "",
        "extrusion: drag flow and back flow of a metering channel",
        "handbook",
        "from_memory",
    ),
    Source(
        "menges_mohren",
        "G. Menges and P. Mohren, How to Make Injection Molds",
        "",
        "cooling time of plate and cylinder; constants recomputed",
        "handbook",
        "from_memory",
    ),
    Source(
        "ballman_shusman",
        "R. L. Ballman and T. Shusman, Modern Plastics (1959)",
        "",
        "cooling time of a plate, centre temperature",
        "journal",
        "from_memory",
    ),
    Source(
        "crank",
        "J. Crank, The Mathematics of Diffusion",
        "2nd, 1975",
        "pp. 47 and 48, plane sheet; seen as the library polykin cites it",
        "handbook",
        "seen",
    ),
    Source(
        "bull_2000",
        "S. J. Bull et al., Surf. Coat. Technol. 130 (2000) 257",
        "",
        "treatments of screws and barrels under glass-filled nylon",
        "journal",
        "seen",
    ),
    Source(
        "vdi_heat_atlas",
        "VDI Heat Atlas; EN 12524:2000",
        "",
        "density, conductivity and heat capacity of plastics, as the library ht credits them",
        "handbook",
        "seen",
    ),
    Source(
        "polykin",
        "polykin, polymer reaction engineering in Python",
        "0.8",
        "Tait databank; diffusion into a plane sheet",
        "library",
        "seen",
    ),
    Source(
        "ht",
        "ht, heat transfer component of chemical engineering in Python",
        "1.2",
        "insulation.building_materials",
        "library",
        "seen",
    ),
)

SOURCES: MappingProxyType[str, Source] = MappingProxyType({entry.key: entry for entry in _ENTRIES})
"""Every source by its key; read-only."""
