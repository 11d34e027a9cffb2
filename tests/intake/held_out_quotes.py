"""Six quotes laid out before anybody looked at how the reader does it, whole: heads, data, prices.

When they were first read 123 of their cells were right, 81 of them sure; 49 numbers were wrong or
put to the wrong screw, each with a mark, and the rest was missed.
"""

from __future__ import annotations

from .catalogue import Table, screws

HELD_OUT_QUOTES = (
    Table(
        "a US quote: two units in each cell, the label naming both",
        """Meridane Injection Inc.            Proposal MI-8802          06/11/2026

Injection end                        IE-14                IE-14 HP
--------------------------------------------------------------------
Screw dia., mm (in)                  50 (1.97)            45 (1.77)
Stroke, mm (in)                      225 (8.86)           225 (8.86)
Shot volume, cm3 (cu.in.)            442 (27.0)           358 (21.8)
Shot size, g (oz)                    402 (14.2)           326 (11.5)
Inj. pressure, bar (psi)             1,690 (24,500)       2,085 (30,240)
Inj. rate, cm3/s (cu.in./s)          285 (17.4)           231 (14.1)
Recovery rate, g/s (oz/s)            42.5 (1.50)          31.8 (1.12)
Screw speed, rpm                     260                  300
L/D                                  20:1                 22:1
""",
        screws(
            "1 2",
            screw_diameter="50|45 mm",
            stroke="225|225 mm",
            swept_volume="442|358 cm3",
            rated_shot_mass="402|326 g",
            injection_pressure="1690|2085 bar",
            injection_rate="285|231 cm3/s",
            plasticising_rate="42.5|31.8 g/s",
            screw_speed="260|300 rev/min",
            length_ratio="20|22 1",
        ),
        bid={"reference": "MI-8802", "date": "2026-11-06"},
    ),
    Table(
        "a mail: a list of one screw's data, words behind the numbers",
        """Subject: Our offer 7731/B for the 220 t machine

Dear Ms Orrin,

thank you for your enquiry. We offer our model Corvane 220 E:

  Screw diameter:              45 mm
  L/D:                         22 : 1
  Screw stroke:                225 mm
  Swept volume:                358 cm3
  Shot weight:                 326 g in PS
  Max. injection pressure:     2,060 bar (melt)
  Injection rate:              245 cm3/s at full pressure, 310 cm3/s with accumulator
  Plasticising capacity:       38 g/s at 300 rpm (PS)
  Screw speed:                 0-320 1/min
  Non-return valve:            sliding ring
  Heating:                     14.7 kW / 5 zones
  Drive:                       electric

The price is EUR 164,900 ex works, valid until 31 May 2026. Freight: EUR 2,800.
Installation and two days of training are included. Packing is not included.

Kind regards
""",
        screws(
            "1",
            screw_diameter="45 mm",
            length_ratio="22 1",
            stroke="225 mm",
            swept_volume="358 cm3",
            rated_shot_mass="326 g",
            injection_pressure="2060 bar",
            injection_rate="-",
            plasticising_rate="38 g/s",
            screw_speed_max="320 rev/min",
            ring_kind="sliding",
        ),
        {"": {"heating_power": "14.7 kW", "drive_kind": "electric", "price": "164900 EUR"}},
        {
            "reference": "7731/B",
            "valid_until": "2026-05-31",
            "freight": "2800 EUR",
            "scope.freight": "extra",
            "scope.installation": "included",
            "scope.training": "included",
            "scope.packing": "missing",
        },
    ),
    Table(
        "units named over the middle of their screws, without a word for them",
        """\t\t\tSE310\t\t\tSE520\t
Schneckentyp\t\tA\tB\tC\tA\tB\tC
Schneckendurchmesser\tmm\t30\t35\t40\t40\t45\t50
Schneckenhub\tmm\t150\t150\t150\t200\t200\t200
Rechnerisches Hubvolumen\tcm³\t106\t144\t188\t251\t318\t393
Spritzdruck, max.\tbar\t2.500\t2.150\t1.650\t2.500\t1.980\t1.600
Einspritzstrom in Luft\tcm³/s\t92\t125\t163\t151\t191\t236
Plastifizierleistung\tg/s\t9,2\t13,6\t18,4\t19,5\t26,2\t33,0
Antriebsleistung\tkW\t\t18,5\t\t\t30\t

Preise ohne Mehrwertsteuer
Pos.\tBezeichnung\tPreis EUR
1\tMaschine Quent 80 mit Spritzeinheit SE310, Schnecke B\t98.400,00
2\tOption: Wechselzylinder komplett für SE520\t21.300,00
5\tFracht frei Haus\t2.950,00
6\tInbetriebnahme\tim Preis enthalten
7\tSchulung\t1.980,00
""",
        screws(
            "SE310:A SE310:B SE310:C SE520:A SE520:B SE520:C",
            screw_diameter="30|35|40|40|45|50 mm",
            stroke="150|150|150|200|200|200 mm",
            swept_volume="106|144|188|251|318|393 cm3",
            injection_pressure="2500|2150|1650|2500|1980|1600 bar",
            injection_rate="92|125|163|151|191|236 cm3/s",
            plasticising_rate="9.2|13.6|18.4|19.5|26.2|33.0 g/s",
        ),
        {"SE310": {"drive_power": "18.5 kW"}, "SE520": {"drive_power": "30 kW"}},
        {
            "freight": "2950.00 EUR",
            "scope.installation": "included",
            "training": "1980.00 EUR",
            "scope.Wechselzylinder komplett für SE520": "extra",
        },
    ),
    Table(
        "two machines: screws named by their diameters, ranges, limits, footnotes",
        """Model\t\tOstrel90-280\t\t\tOstrel140-560\t\t
Screw\tmm\t28\t32\t36\t36\t42\t48
Screw L:D\t\t24\t21\t18.7\t24.5\t21\t18.4
Injection stroke\tmm\t140\t140\t140\t190\t190\t190
Stroke volume (max.)\tcm³\t86\t113\t143\t193\t263\t344
Shot weight ¹⁾\tg\tapprox. 78\tapprox. 102\tapprox. 130\tapprox. 176\tapprox. 239\tapprox. 313
Injection pressure\tbar\t≤ 2800\t≤ 2480\t≤ 1960\t≤ 2700\t≤ 2130\t≤ 1630
Injection speed\tmm/s\t120–160\t120–160\t120–160\t160/250²⁾\t160/250²⁾\t160/250²⁾
Plasticising rate\tg/s\t6.5\t9.1\t12.4\ton request\t16.8*\t22.0*
Screw speed\trpm\t5...420\t5...420\t5...420\t5...340\t5...340\t5...340
Nozzle contact force\tkN\t46\t46\t46\t62\t62\t62

¹⁾ calculated with 0.91 g/cm³  ²⁾ with accumulator (option)  * at 250 rpm
Wear package GBP 5,400 per unit. Carriage excluded.
""",
        screws(
            "Ostrel90-280:28 Ostrel90-280:32 Ostrel90-280:36 "
            "Ostrel140-560:36 Ostrel140-560:42 Ostrel140-560:48",
            screw_diameter="28|32|36|36|42|48 mm",
            length_ratio="24|21|18.7|24.5|21|18.4 1",
            stroke="140|140|140|190|190|190 mm",
            swept_volume="86|113|143|193|263|344 cm3",
            rated_shot_mass="78|102|130|176|239|313 g",
            injection_pressure="2800|2480|1960|2700|2130|1630 bar",
            injection_speed="-|-|-|-|-|- mm/s",
            plasticising_rate="6.5|9.1|12.4|-|16.8|22.0 g/s",
            screw_speed="-|-|-|-|-|- rpm",
        ),
        bid={"scope.freight": "missing"},
    ),
    Table(
        "semicolons, the screws of two units down, two kinds of nothing stated",
        """Angebot;K 4410;;;;;;;;
Lieferant;Drauber Kunststofftechnik;;;;;;;;
Datum;02.03.2026;;;;;;;;
;;;;;;;;;
Spritzeinheit;Schnecke;Durchmesser [mm];Hub [mm];Hubvolumen [cm³];Schussgewicht [g];\
Spritzdruck [bar];Einspritzgeschwindigkeit [mm/s];Plastifizierstrom [g/s];Drehzahl [1/min]
U300;25;25;125;61,4;56;2.950;300;4,1;450
U300;30;30;125;88,4;80;2.050;300;7,3;450
U600;35;35;175;168,4;153;2.870;250;11,2;400
U600;40;40;175;219,9;200;2.200;250;n. v.;k. A.
""",
        screws(
            "U300:25 U300:30 U600:35 U600:40",
            screw_diameter="25|30|35|40 mm",
            stroke="125|125|175|175 mm",
            swept_volume="61.4|88.4|168.4|219.9 cm3",
            rated_shot_mass="56|80|153|200 g",
            injection_pressure="2950|2050|2870|2200 bar",
            injection_speed="300|300|250|250 mm/s",
            plasticising_rate="4.1|7.3|11.2|- g/s",
            screw_speed="450|450|400|- rev/min",
        ),
        bid={
            "supplier": "Drauber Kunststofftechnik",
            "reference": "K 4410",
            "date": "2026-03-02",
        },
    ),
    Table(
        "US units with a foot of notes and a list of prices in dollars",
        """Quotation no. TMS-20417    Date: March 9, 2026

\t\tScrew 1\tScrew 2\tScrew 3
INJECTION UNIT TL-22
Screw diameter\tin\t1.38\t1.57\t1.77
Screw L/D ratio\t\t22:1\t20:1\t18:1
Injection stroke (1)\tin\t6.30\t6.30\t6.30
Theoretical shot volume\tcu in\t9.42\t12.20\t15.50
Injection pressure, max.\tpsi\t32,190\t24,870\t19,570
Injection rate\tcu in/s\t7.48\t9.68\t12.30
Plasticizing capacity (3)\tlb/h\t88\t121\t165
Screw speed, max.\trpm\t350\t350\t310
Barrel heating capacity\tkW\t8.1\t8.1\t8.1
Dry cycle\ts\t1.9\t1.9\t1.9
(1) Usable stroke 5.9 in. (3) At 60% of stroke, with a back pressure of 725 psi.

Item\tDescription\tPrice USD
10\tMolding machine TL-120/22 with screw 2\t94,500
40\tOption: bimetallic barrel\t6,900
70\tStart-up, 3 days\t4,100
80\tTraining\tnot quoted
""",
        screws(
            "1 2 3",
            screw_diameter="1.38|1.57|1.77 in",
            length_ratio="22|20|18 1",
            stroke="6.30|6.30|6.30 in",
            swept_volume="9.42|12.20|15.50 in3",
            injection_pressure="32190|24870|19570 psi",
            injection_rate="7.48|9.68|12.30 in3/s",
            plasticising_rate="88|121|165 lb/h",
            screw_speed_max="350|350|310 rev/min",
        ),
        {"TL-22": {"heating_power": "8.1 kW", "dry_cycle_time": "1.9 s", "price": "94500 USD"}},
        {
            "reference": "TMS-20417",
            "date": "2026-03-09",
            "scope.bimetallic barrel": "extra",
            "installation": "4100 USD",
            "training": None,
        },
    ),
)
