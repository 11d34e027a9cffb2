"""Thirty-six tables of invented suppliers, each in another layout, and what a reader takes there.

Expected values are written as `field` of a screw, a unit or the bid: the number as printed with its
unit; None where the table states that nothing is stated, or two numbers. What is right was decided
by reading the table, not by the program.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

Expected = Mapping[str, str | None]


@dataclass(frozen=True)
class Table:
    """A table as text, and by screw (its label, else its number from 1) what stands in it."""

    name: str
    text: str
    screws: Mapping[str, Expected]
    units: Mapping[str, Expected] = field(default_factory=dict)
    bid: Expected = field(default_factory=dict)


def screws(names: str, **rows: str) -> dict[str, dict[str, str | None]]:
    """Return for each screw its values: `stroke="200|200|- mm"`, the unit last, - for none."""
    made: dict[str, dict[str, str | None]] = {name: {} for name in names.split()}
    for datum, text in rows.items():
        numbers, _, unit = text.partition(" ")
        for name, number in zip(made, numbers.split("|"), strict=True):
            if number:
                made[name][datum] = None if number == "-" else f"{number} {unit}".strip()
    return made


TABLES = (
    Table(
        "tabs, unit column, screws across",
        """Technical data\t\tScrew A\tScrew B\tScrew C
Screw diameter\tmm\t35\t40\t45
Stroke\tmm\t180\t180\t180
Swept volume\tcm³\t173\t226\t286
Injection pressure\tbar\t2480\t1900\t1501
Injection rate\tcm³/s\t138\t180\t228
Plasticising rate\tg/s\t14.5\t19\t24.5
L/D\t\t23\t20\t17.8
Heating power\tkW\t9.8\t11.2\t11.2""",
        screws(
            "A B C",
            screw_diameter="35|40|45 mm",
            stroke="180|180|180 mm",
            swept_volume="173|226|286 cm3",
            injection_pressure="2480|1900|1501 bar",
            injection_rate="138|180|228 cm3/s",
            plasticising_rate="14.5|19|24.5 g/s",
            length_ratio="23|20|17.8 1",
        ),
        # One unit has one heating power: 9.8 and 11.2 kW contradict, and a person decides.
    ),
    Table(
        "German, semicolons, decimal commas, units in brackets",
        """Bezeichnung;Schnecke A;Schnecke B
Schneckendurchmesser [mm];30;35
Schneckenhub [mm];150;150
Rechnerisches Hubvolumen [cm³];106;144,3
Spez. Spritzdruck [bar];2.500;1.837
Einspritzstrom [cm³/s];92,5;126
Schneckendrehzahl max. [min⁻¹];400;400
Plastifizierstrom (PS) [g/s];9,7;13,4
L/D-Verhältnis;23,3;20""",
        screws(
            "A B",
            screw_diameter="30|35 mm",
            stroke="150|150 mm",
            swept_volume="106|144.3 cm3",
            injection_pressure="2500|1837 bar",
            injection_rate="92.5|126 cm3/s",
            screw_speed_max="400|400 rev/min",
            plasticising_rate="9.7|13.4 g/s",
            plasticising_resin="ps|ps",
            length_ratio="23.3|20 1",
        ),
    ),
    Table(
        "screws down, data across, units in the heads",
        """Screw\tScrew diameter [mm]\tStroke [mm]\tShot volume [cm³]\tInjection pressure [bar]
A\t25\t125\t61\t2750
B\t30\t125\t88\t1910
C\t35\t125\t120\t1403""",
        screws(
            "A B C",
            screw_diameter="25|30|35 mm",
            stroke="125|125|125 mm",
            swept_volume="61|88|120 cm3",
            injection_pressure="2750|1910|1403 bar",
        ),
    ),
    Table(
        "screws down, a row of units below the heads",
        """Schnecke;Durchmesser;Hub;Hubvolumen;Spritzdruck;Drehzahl
;mm;mm;cm³;bar;U/min
A;40;160;201;2350;350
B;45;160;254;1857;350""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="160|160 mm",
            swept_volume="201|254 cm3",
            injection_pressure="2350|1857 bar",
            screw_speed="350|350 rev/min",
        ),
    ),
    Table(
        "US units, fractions of an inch",
        """Item\tUnit\tScrew A\tScrew B
Screw diameter\tin\t1 5/8\t2
Screw stroke\tin\t7 1/2\t7.5
Shot capacity\tcu.in.\t15.6\t23.6
Shot weight (GPPS)\toz\t8.5\t12.9
Injection pressure\tpsi\t31,900\t21,050
Injection rate\tin³/s\t11.2\t17
Recovery rate\toz/s\t0.62\t0.95
Screw speed\trpm\t300\t250""",
        screws(
            "A B",
            screw_diameter="1.625|2 in",
            stroke="7.5|7.5 in",
            swept_volume="15.6|23.6 in3",
            rated_shot_mass="8.5|12.9 oz",
            reference_resin="ps|ps",
            injection_pressure="31900|21050 psi",
            injection_rate="11.2|17 in3/s",
            plasticising_rate="0.62|0.95 oz/s",
            screw_speed="300|250 rev/min",
        ),
    ),
    Table(
        "a mail: label, colon, number with unit",
        """Good morning, here is what you asked for:

Screw diameter: 50 mm
Screw stroke: 240 mm
Swept volume: 471 cm3
Max. injection pressure: 1760 bar
Plasticising capacity: 162 kg/h
L/D ratio: 22:1
Screw speed: on request""",
        screws(
            "1",
            screw_diameter="50 mm",
            stroke="240 mm",
            swept_volume="471 cm3",
            injection_pressure="1760 bar",
            plasticising_rate="162 kg/h",
            length_ratio="22 1",
            screw_speed="-",
        ),
    ),
    Table(
        "from a PDF: single spaces alone",
        """Screw diameter mm 32 36 40
Injection stroke mm 160 160 160
Shot volume cm³ 129 163 201
Injection pressure bar 2430 1920 1555
Screw L/D 22.5 20 18
Screw torque Nm 380 420 -""",
        screws(
            "1 2 3",
            screw_diameter="32|36|40 mm",
            stroke="160|160|160 mm",
            swept_volume="129|163|201 cm3",
            injection_pressure="2430|1920|1555 bar",
            length_ratio="22.5|20|18 1",
            screw_torque="380|420|- Nm",
        ),
    ),
    Table(
        "columns kept apart by several spaces",
        """Dati tecnici               u.m.     Vite A    Vite B
Diametro vite              mm       42        48
Corsa vite                 mm       210       210
Volume di iniezione        cm³      291       380
Pressione di iniezione     bar      2150      1646
Portata di iniezione       cm³/s    165       215
Giri vite max              giri/min 320       320
Potenza di riscaldamento   kW       14,5      14,5""",
        screws(
            "A B",
            screw_diameter="42|48 mm",
            stroke="210|210 mm",
            swept_volume="291|380 cm3",
            injection_pressure="2150|1646 bar",
            injection_rate="165|215 cm3/s",
            screw_speed_max="320|320 rev/min",
        ),
        {"": {"heating_power": "14.5 kW"}},
    ),
    Table(
        "bars and a rule, as in a text file",
        """| Datum               | Unit  | A    | B    |
|---------------------|-------|------|------|
| Screw diameter      | mm    | 55   | 60   |
| Stroke              | mm    | 275  | 275  |
| Swept volume        | cm3   | 653  | 778  |
| Injection pressure  | MPa   | 198  | 166  |
| Injection speed     | mm/s  | 120  | 120  |
| Plasticising rate   | kg/h  | 210  | 255  |""",
        screws(
            "A B",
            screw_diameter="55|60 mm",
            stroke="275|275 mm",
            swept_volume="653|778 cm3",
            injection_pressure="198|166 MPa",
            injection_speed="120|120 mm/s",
            plasticising_rate="210|255 kg/h",
        ),
    ),
    Table(
        "CSV with quotes and decimal commas",
        '''"Caractéristique","Unité","Vis A","Vis B"
"Diamètre de vis","mm","38","43"
"Course de vis","mm","190","190"
"Volume injectable","cm³","215,5","275,9"
"Pression d'injection","bar","2 210","1 726"
"Débit d'injection","cm³/s","112","143"
"Capacité de plastification","g/s","16,8","21,5"
"Rapport L/D","","22","19,5"''',
        screws(
            "A B",
            screw_diameter="38|43 mm",
            stroke="190|190 mm",
            swept_volume="215.5|275.9 cm3",
            injection_pressure="2210|1726 bar",
            injection_rate="112|143 cm3/s",
            plasticising_rate="16.8|21.5 g/s",
            length_ratio="22|19.5 1",
        ),
    ),
    Table(
        "Spanish, units behind the labels",
        """Característica\tHusillo A\tHusillo B
Diámetro del husillo, mm\t45\t50
Carrera del husillo, mm\t225\t225
Volumen de inyección, cm³\t358\t442
Presión de inyección, bar\t2080\t1685
Caudal de inyección, cm³/s\t190\t235
Velocidad de giro del husillo, r/min\t280\t280
Peso de inyección, g\t326\t402""",
        screws(
            "A B",
            screw_diameter="45|50 mm",
            stroke="225|225 mm",
            swept_volume="358|442 cm3",
            injection_pressure="2080|1685 bar",
            injection_rate="190|235 cm3/s",
            screw_speed="280|280 rev/min",
            rated_shot_mass="326|402 g",
        ),
    ),
    Table(
        "units in every cell",
        """\tScrew A\tScrew B
Screw diameter\t40 mm\t1.772 in
Stroke\t200 mm\t200 mm
Swept volume\t251 ccm\t318 ccm
Injection pressure\t2400 bar\t27500 psi
Injection rate\t180 ccm/s\t228 ccm/s
Screw speed\t300 1/min\t300 1/min""",
        {
            "A": {
                "screw_diameter": "40 mm",
                "stroke": "200 mm",
                "swept_volume": "251 cm3",
                "injection_pressure": "2400 bar",
                "injection_rate": "180 cm3/s",
                "screw_speed": "300 rev/min",
            },
            "B": {
                "screw_diameter": "1.772 in",
                "stroke": "200 mm",
                "swept_volume": "318 cm3",
                "injection_pressure": "27500 psi",
                "injection_rate": "228 cm3/s",
                "screw_speed": "300 rev/min",
            },
        },
    ),
    Table(
        "footnotes at labels and numbers",
        """Data\tUnit\tA\tB
Screw diameter\tmm\t40\t45
Stroke ¹⁾\tmm\t200\t200
Swept volume *\tcm³\t251\t318
Injection pressure 2)\tbar\t2350*\t1857*
Plasticising rate³⁾\tg/s\t22 ³⁾\t28 ³⁾
¹⁾ with the longer cylinder
* calculated""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            swept_volume="251|318 cm3",
            injection_pressure="2350|1857 bar",
            plasticising_rate="22|28 g/s",
        ),
    ),
    Table(
        "ranges, approximate, limits, nothing stated",
        """Data\tUnit\tA\tB\tC
Screw diameter\tmm\t50\t55\t60
Stroke\tmm\t240/260\t250\t250
Swept volume\tcm³\tapprox. 480\t594\t707
Injection pressure\tbar\tmax. 2200\tca. 1800\ton request
Injection rate\tcm³/s\t200 - 240\tn/a\t290
Plasticising rate\tg/s\t30…36\t-\ttbd""",
        screws(
            "A B C",
            screw_diameter="50|55|60 mm",
            stroke="-|250|250 mm",
            swept_volume="480|594|707 cm3",
            injection_pressure="2200|1800|- bar",
            injection_rate="-|-|290 cm3/s",
            plasticising_rate="-|-|- g/s",
        ),
    ),
    Table(
        "one number for all screws",
        """Injection unit 860\tUnit\tA\tB\tC
Screw diameter\tmm\t45\t50\t55
Stroke\tmm\t250\t\t
Swept volume\tcm³\t398\t491\t594
Max. screw speed\trpm\t\t260\t""",
        screws(
            "A B C",
            screw_diameter="45|50|55 mm",
            stroke="250|250|250 mm",
            swept_volume="398|491|594 cm3",
            screw_speed_max="260|260|260 rev/min",
        ),
    ),
    Table(
        "two units with screws of their own, one below the other",
        """Spritzeinheit\t\t430\t
Schnecke\t\tA\tB
Schneckendurchmesser\tmm\t30\t35
Hub\tmm\t150\t150
Hubvolumen\tcm³\t106\t144
Heizleistung\tkW\t8\t8

Spritzeinheit\t\t860\t
Schnecke\t\tA\tB
Schneckendurchmesser\tmm\t40\t45
Hub\tmm\t200\t200
Hubvolumen\tcm³\t251\t318
Heizleistung\tkW\t13\t13""",
        screws(
            "430:A 430:B 860:A 860:B",
            screw_diameter="30|35|40|45 mm",
            stroke="150|150|200|200 mm",
            swept_volume="106|144|251|318 cm3",
        ),
        {"430": {"heating_power": "8 kW"}, "860": {"heating_power": "13 kW"}},
    ),
    Table(
        "two units side by side",
        """Injection unit\t\t430\t\t860\t
Screw\t\tA\tB\tA\tB
Screw diameter\tmm\t30\t35\t40\t45
Stroke\tmm\t150\t150\t200\t200
Swept volume\tcm³\t106\t144\t251\t318
Injection pressure\tbar\t2500\t1837\t2400\t1896""",
        screws(
            "430:A 430:B 860:A 860:B",
            screw_diameter="30|35|40|45 mm",
            stroke="150|150|200|200 mm",
            swept_volume="106|144|251|318 cm3",
            injection_pressure="2500|1837|2400|1896 bar",
        ),
    ),
    Table(
        "the same pressure in two units, one below the other",
        """Data\tUnit\tA\tB
Screw diameter\tmm\t40\t45
Stroke\tmm\t200\t200
Injection pressure\tbar\t2400\t1896
Injection pressure\tpsi\t34810\t27500
Injection capacity\tcm³\t251\t318
Injection capacity\tg\t229\t290""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            injection_pressure="2400|1896 bar",
            swept_volume="251|318 cm3",
            rated_shot_mass="229|290 g",
        ),
    ),
    Table(
        "the second unit in brackets",
        """Data\tA\tB
Screw diameter\t40 mm (1.575 in)\t45 mm (1.772 in)
Stroke\t200 mm (7.87 in)\t200 mm (7.87 in)
Injection pressure\t2400 bar (34810 psi)\t1896 bar (27500 psi)
Swept volume\t251 cm³ (15.3 in³)\t318 cm³ (19.4 in³)""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            injection_pressure="2400|1896 bar",
            swept_volume="251|318 cm3",
        ),
    ),
    Table(
        "the unit behind each number, in a column of its own",
        """Screw diameter\t40\tmm\t45\tmm
Stroke\t200\tmm\t200\tmm
Swept volume\t251\tcm³\t318\tcm³
Injection pressure\t2400\tbar\t1896\tbar
Screw speed\t300\trpm\t280\trpm""",
        screws(
            "1 2",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            swept_volume="251|318 cm3",
            injection_pressure="2400|1896 bar",
            screw_speed="300|280 rev/min",
        ),
    ),
    Table(
        "dots that lead the eye",
        """Screw diameter (mm) ............... 52
Stroke (mm) ....................... 260
Swept volume (cm³) ................ 552
Injection pressure (kgf/cm²) ...... 1950
Screw torque (Nm) ................. 1200
Intensification ratio ............. 11.2""",
        screws(
            "1",
            screw_diameter="52 mm",
            stroke="260 mm",
            swept_volume="552 cm3",
            injection_pressure="1950 kgf/cm2",
            screw_torque="1200 Nm",
            intensification_ratio="11.2 1",
        ),
    ),
    Table(
        "numbered rows, and remarks behind",
        """No.\tItem\tUnit\tA\tB\tRemarks
1\tScrew diameter\tmm\t40\t45\tnominal
2\tStroke\tmm\t200\t200\t
3\tShot weight\tg\t229\t290\tin PS
4\tInjection pressure\tbar\t2400\t1896\tat the screw tip
5\tHeating power\tkW\t13.5\t13.5\tfive zones""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            rated_shot_mass="229|290 g",
            injection_pressure="2400|1896 bar",
        ),
        {"": {"heating_power": "13.5 kW"}},
    ),
    Table(
        "the head of an offer, then its table",
        """Fournisseur\tMarvelline
Offre n°\tMV-2210
Date de l'offre\t14.09.2026
\tVis A\tVis B
Diamètre de vis (mm)\t40\t45
Course (mm)\t200\t200
Cylindrée (cm³)\t251\t318
Prix de la machine\t148 500 EUR\t
Puissance de chauffe (kW)\t13\t13""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            swept_volume="251|318 cm3",
        ),
        {"": {"price": "148500 EUR", "heating_power": "13 kW"}},
        {"supplier": "Marvelline", "reference": "MV-2210", "date": "2026-09-14"},
    ),
    Table(
        "labels misspelt",
        """Data\tUnit\tA\tB
Screw diametre\tmm\t40\t45
Injection strocke\tmm\t200\t200
Injecton pressure\tbar\t2400\t1896
Plastizising capacity\tg/s\t22\t28""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            injection_pressure="2400|1896 bar",
            plasticising_rate="22|28 g/s",
        ),
    ),
    Table(
        "no units anywhere",
        """Data\tA\tB
Screw diameter\t40\t45
Stroke\t200\t200
Swept volume\t251\t318
Injection pressure\t2400\t1896
L/D\t22\t20""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            swept_volume="251|318 cm3",
            injection_pressure="2400|1896 bar",
            length_ratio="22|20 1",
        ),
    ),
    Table(
        "one wording for two data: the unit decides",
        """Data\tUnit\tA\tB
Screw diameter\tmm\t40\t45
Injection speed\tcm³/s\t180\t228
Einspritzleistung\tkW\t43\t43
Einspritzgeschwindigkeit\tmm/s\t143\t143
Shot capacity\tg\t229\t290
Shot capacity\tcm³\t251\t318""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            injection_rate="180|228 cm3/s",
            injection_speed="143|143 mm/s",
            rated_shot_mass="229|290 g",
            swept_volume="251|318 cm3",
        ),
        {"": {"injection_power": "43 kW"}},
    ),
    Table(
        "choices in words, prices, half a dozen kinds of data",
        """Merkmal;Einheit;Schnecke A;Schnecke B
Antriebsart;;vollelektrisch;vollelektrisch
Schneckendurchmesser;mm;40;45
Rückstromsperre;;Gleitring;Kugel
Zylinderwerkstoff;;nitriert;bimetallic, iron-based
Wiederholgenauigkeit Schneckenposition;mm;± 0,05;± 0,05
Schließkraft;kN;1.600;1.600
Trockenlaufzeit;s;1,8;1,8
Maschinenpreis;EUR;148.500,00;148.500,00
Mehrpreis;EUR;0;2.300,-""",
        {
            "A": {
                "screw_diameter": "40 mm",
                "ring_kind": "sliding",
                "barrel_package": "nitrided",
                "price_difference": "0 EUR",
            },
            "B": {
                "screw_diameter": "45 mm",
                "ring_kind": "ball",
                "barrel_package": "bimetallic_iron",
                "price_difference": "2300 EUR",
            },
        },
        {
            "": {
                "drive_kind": "electric",
                "position_scatter": "0.05 mm",
                "clamp_force": "1600 kN",
                "dry_cycle_time": "1.8 s",
                "price": "148500.00 EUR",
            }
        },
    ),
    Table(
        "Swiss apostrophes and thin spaces",
        """Daten\tEinheit\tA\tB
Schnecken-Ø\tmm\t60\t70
Hub\tmm\t300\t300
Hubvolumen\tcm³\t848\t1'155
Schussgewicht (PS)\tg\t774\t1'053
Spritzdruck\tbar\t2\u202f150\t1\u202f580
Systemdruck\tbar\t210\t210""",
        screws(
            "A B",
            screw_diameter="60|70 mm",
            stroke="300|300 mm",
            swept_volume="848|1155 cm3",
            rated_shot_mass="774|1053 g",
            reference_resin="ps|ps",
            injection_pressure="2150|1580 bar",
            system_pressure="210|210 bar",
        ),
    ),
    Table(
        "tolerances",
        """Data\tUnit\tA\tB
Screw diameter\tmm\t40 ± 0.1\t45 ± 0.1
Stroke\tmm\t200 ± 1\t200 ± 1
Injection pressure\tbar\t2400 ±5 %\t1896 ±5 %
Swept volume\tcm³\t251\t318""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            injection_pressure="2400|1896 bar",
            swept_volume="251|318 cm3",
        ),
    ),
    Table(
        "screws named by their diameters",
        """Type\t\t40 mm\t45 mm\t50 mm
Screw diameter\tmm\t40\t45\t50
Stroke\tmm\t200\t200\t200
Swept volume\tcm³\t251\t318\t393
Max. injection pressure\tbar\t2400\t1896\t1536
Compression ratio\t\t2.3:1\t2.3:1\t2.2:1""",
        screws(
            "1 2 3",
            screw_diameter="40|45|50 mm",
            stroke="200|200|200 mm",
            swept_volume="251|318|393 cm3",
            injection_pressure="2400|1896|1536 bar",
            compression_ratio="2.3|2.3|2.2 1",
        ),
    ),
    Table(
        "Italian, screws down, semicolons, a resin in the head",
        """Vite;Diametro vite (mm);Corsa (mm);Volume teorico (cm³);Peso iniettabile PS (g);\
Velocità di iniezione (mm/s)
A;35;175;168;153;110
B;40;175;220;200;110
C;45;175;278;253,5;110""",
        screws(
            "A B C",
            screw_diameter="35|40|45 mm",
            stroke="175|175|175 mm",
            swept_volume="168|220|278 cm3",
            rated_shot_mass="153|200|253.5 g",
            reference_resin="ps|ps|ps",
            injection_speed="110|110|110 mm/s",
        ),
    ),
    Table(
        "traps: oil pressure, a strange unit, a number out of range",
        """Data\tUnit\tA\tB
Screw diameter\tmm\t40\t45
Stroke\tm\t0.2\t0.2
Injection pressure (oil)\tbar\t210\t210
Swept volume\tcm³\t251000\t318
Clamping force\ttons\t160\t160""",
        {
            "A": {"screw_diameter": "40 mm", "stroke": None},
            "B": {"screw_diameter": "45 mm", "stroke": None, "swept_volume": "318 cm3"},
        },
        {"": {"clamp_force": "160 tf"}},
    ),
    Table(
        "letters beside a designation: the screws of one unit",
        """\tEinheit\tSpritzeinheit 1330\t\t
Bezeichnung\t\tA\tB\tC
Schneckendurchmesser\tmm\t45\t50\t60
Schneckenhub\tmm\t225\t225\t225
Spez. Spritzdruck\tMPa {kgf/cm²}\t250 {2549}\t238 {2427}\t165 {1683}
Pumpenmotor\tPS\t60
Schließkraft\tt\t220""",
        screws(
            "A B C",
            screw_diameter="45|50|60 mm",
            stroke="225|225|225 mm",
            injection_pressure="250|238|165 MPa",
        ),
        {"": {"drive_power": "60 PS", "clamp_force": "220 tf"}},
    ),
    Table(
        "heads too short to say what they are of, screws down",
        """Vite\tD\tCorsa\tVolume\tPeso PS\tPressione\tPortata\tPlast.\tGiri\tL/D
\tmm\tmm\tcm³\tg\tbar\tcm³/s\tg/s\trpm\t
V1\t32\t150\t121\t110\t2480\t98\t11,2\t350\t22
V2\t36\t150\t153\t139\t1960\t124\t15,0\t350\t20""",
        screws(
            "V1 V2",
            screw_diameter="32|36 mm",
            stroke="150|150 mm",
            swept_volume="121|153 cm3",
            rated_shot_mass="110|139 g",
            reference_resin="ps|ps",
            injection_pressure="2480|1960 bar",
            injection_rate="98|124 cm3/s",
            plasticising_rate="11.2|15.0 g/s",
            screw_speed="350|350 rev/min",
            length_ratio="22|20 1",
        ),
    ),
    Table(
        "one screw in two systems of units side by side",
        """Description\tEnglish\tMetric
Screw diameter\t1.77 in\t45 mm
Swept volume\t18.2 cu.in.\t298 cm³
Injection pressure\t29,500 psi\t2,034 bar
Plasticizing rate\t201 lb/hr\t25.3 g/s
Clamp force\t198 tons\t1,760 kN""",
        screws(
            "1",
            screw_diameter="1.77 in",
            swept_volume="18.2 in3",
            injection_pressure="29500 psi",
            plasticising_rate="201 lb/h",
        ),
        {"": {"clamp_force": "198 tonf"}},
    ),
    Table(
        "what is printed once for each of two units",
        """Model\t\tFY-130\t\tFY-170\t
Screw type\t\tA\tB\tA\tB
Screw Dia.\tmm\t35\t40\t40\t45
L/D\tL/D\t24.6\t21.5\t23.6\t21
Inject. Rate(PS)\tg/s\t86\t113\t98\t124
Stroke\tmm\t180\t\t200.5\t
Clamping Force\ttons\t130\t\t170\t
Price FOB Shanghai\tUSD\t24,800\t\t31,200\t""",
        screws(
            "FY-130:A FY-130:B FY-170:A FY-170:B",
            screw_diameter="35|40|40|45 mm",
            length_ratio="24.6|21.5|23.6|21 1",
            injection_rate="86|113|98|124 g/s",
            stroke="180|180|200.5|200.5 mm",
        ),
        {
            "FY-130": {"clamp_force": "130 tf", "price": "24800 USD"},
            "FY-170": {"clamp_force": "170 tf", "price": "31200 USD"},
        },
    ),
)
