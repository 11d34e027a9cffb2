"""Fourteen tables laid out before the reader of parts, wrapped labels and terms was written.

What is right was decided by reading each as a buyer would; None where nothing is to be taken. When
they were first read 71 of their 184 cells were right, 45 of them sure, and 16 wrong without a mark.
"""

from __future__ import annotations

from .catalogue import Table, screws

HELD_OUT = (
    Table(
        "the heading row again, for a second table of the same screws",
        """Screw\tUnit\tA\tB\tC
Screw diameter\tmm\t40\t45\t50
Stroke\tmm\t190\t190\t190
Swept volume\tcm³\t239\t302\t373
Injection pressure\tbar\t2530\t2000\t1620
Screw\tUnit\tA\tB\tC
Price difference\tEUR\t0\t1400\t3100""",
        screws(
            "A B C",
            screw_diameter="40|45|50 mm",
            stroke="190|190|190 mm",
            swept_volume="239|302|373 cm3",
            injection_pressure="2530|2000|1620 bar",
            price_difference="0|1400|3100 EUR",
        ),
    ),
    Table(
        "screws down in three strips, each with heads and a row of units",
        """Screw\tScrew diameter\tStroke\tL/D\tSwept volume
\tin\tin\t\tcu.in.
1.50\t1.500\t7.50\t20\t13.3
1.75\t1.750\t7.50\t20\t18.0
2.00\t2.000\t7.50\t20\t23.6
Screw\tInjection rate\tPlasticising rate
\tcu.in./s\tlb/hr
1.50\t11.1\t140
1.75\t15.2\t195
2.00\t19.8\t255
Screw\tFeed depth\tMetering depth
\tin\tin
1.75\t0.260\t0.105""",
        {
            "1.50": {
                "screw_diameter": "1.500 in",
                "stroke": "7.50 in",
                "length_ratio": "20 1",
                "swept_volume": "13.3 in3",
                "injection_rate": "11.1 in3/s",
                "plasticising_rate": "140 lb/h",
            },
            "1.75": {
                "screw_diameter": "1.750 in",
                "stroke": "7.50 in",
                "length_ratio": "20 1",
                "swept_volume": "18.0 in3",
                "injection_rate": "15.2 in3/s",
                "plasticising_rate": "195 lb/h",
                "feed_depth": "0.260 in",
                "metering_depth": "0.105 in",
            },
            "2.00": {
                "screw_diameter": "2.000 in",
                "stroke": "7.50 in",
                "length_ratio": "20 1",
                "swept_volume": "23.6 in3",
                "injection_rate": "19.8 in3/s",
                "plasticising_rate": "255 lb/h",
            },
        },
    ),
    Table(
        "screw, surcharge, delivery: a price list with the screws down",
        """Screw\tSurcharge\tDelivery
A\t0 EUR\t22 weeks
B\t1 400 EUR\t22 weeks
C\t3 100 EUR\t22 weeks""",
        screws("A B C", price_difference="0|1400|3100 EUR"),
        bid={"delivery": "22 weeks"},
    ),
    Table(
        "two columns, screw and price: no number is the label of another",
        """Schnecke;Mehrpreis [EUR]
35;-
40;1.250
45;2.480""",
        screws("35 40 45", price_difference="-|1250|2480 EUR"),
    ),
    Table(
        "labels that run over two lines, values on the first",
        """Data\tUnit\tScrew A\tScrew B
Screw diameter\tmm\t40\t45
Max. specific injection\tbar\t2350\t1857
pressure\t\t\t
Rate of injection into\tcm³/s\t180\t228
air\t\t\t
Stroke\tmm\t200\t200
Plasticising\tg/s\t22.5\t28.0
rate (PS)\t\t\t""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            injection_pressure="2350|1857 bar",
            injection_rate="180|228 cm3/s",
            stroke="200|200 mm",
            plasticising_rate="22.5|28.0 g/s",
            plasticising_resin="ps|ps",
        ),
    ),
    Table(
        "labels that run over two lines, values on the last",
        """Technische Daten;Einheit;A;B
Schnecken-;;;
durchmesser;mm;50;55
Max. spezifischer;;;
Spritzdruck;bar;2.150;1.777
Theoretisches;;;
Hubvolumen;cm³;491;594
Plastifizier-;;;
leistung;g/s;31,5;38""",
        screws(
            "A B",
            screw_diameter="50|55 mm",
            injection_pressure="2150|1777 bar",
            swept_volume="491|594 cm3",
            plasticising_rate="31.5|38 g/s",
        ),
    ),
    Table(
        "heads of two lines above a row of units",
        """Screw\tScrew\tInjection\tSwept\tPlasticising
\tdiameter\tpressure\tvolume\trate
\tmm\tbar\tcm³\tkg/h
A\t40\t2400\t251\t79
B\t45\t1896\t318\t101""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            injection_pressure="2400|1896 bar",
            swept_volume="251|318 cm3",
            plasticising_rate="79|101 kg/h",
        ),
    ),
    Table(
        "a comma of thousands where points are decimal",
        """Quotation no.\tNQ-881
Machine price\tUSD 168,000
Screw\tI\tII
Screw diameter (mm)\t45.5\t50.0
Stroke (mm)\t210.0\t210.0
Swept volume (cm³)\t341\t412
Injection pressure (psi)\t31,900\t26,400
Max. screw torque (Nm)\t1,150\t1,300""",
        screws(
            "I II",
            screw_diameter="45.5|50.0 mm",
            stroke="210.0|210.0 mm",
            swept_volume="341|412 cm3",
            injection_pressure="31900|26400 psi",
            screw_torque="1150|1300 Nm",
        ),
        {"": {"price": "168000 USD"}},
        {"reference": "NQ-881"},
    ),
    Table(
        "two units one below the other, named in a line of their own",
        """Injection unit 430

Screw\tA\tB
Screw diameter [mm]\t30\t35
Stroke [mm]\t150\t150
Swept volume [cm³]\t106\t144

Injection unit 860

Screw\tA\tB
Screw diameter [mm]\t40\t45
Stroke [mm]\t200\t200
Swept volume [cm³]\t251\t318""",
        screws(
            "430:A 430:B 860:A 860:B",
            screw_diameter="30|35|40|45 mm",
            stroke="150|150|200|200 mm",
            swept_volume="106|144|251|318 cm3",
        ),
    ),
    Table(
        "a mail with one paragraph a screw",
        """Dear Ms Ilvaran,

please find our data below.

Screw A
Screw diameter: 40 mm
Stroke: 200 mm
Swept volume: 251 cm3
Injection pressure: 2400 bar

Screw B
Screw diameter: 45 mm
Stroke: 200 mm
Swept volume: 318 cm3
Injection pressure: 1896 bar

Delivery time: 20 weeks ex works
Warranty: 24 months""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            swept_volume="251|318 cm3",
            injection_pressure="2400|1896 bar",
        ),
        bid={"delivery": "20 weeks ex works", "warranty": "24 months"},
    ),
    Table(
        "French, a head of offer, the table, then its terms",
        """Fournisseur : Talvérine
Offre n° : TV-26-118
Date de l'offre : 12.10.2026
Validité : 30.11.2026

Caractéristiques techniques\tUnité\tVis A\tVis B
Diamètre de vis\tmm\t36\t40
Course de vis\tmm\t180\t180
Volume injectable\tcm³\t183,2\t226,2
Pression d'injection\tbar\t2 150\t1 742

Délai de livraison : 18 semaines
Conditions de paiement : 40 % à la commande, 60 % avant expédition
Garantie : 24 mois""",
        screws(
            "A B",
            screw_diameter="36|40 mm",
            stroke="180|180 mm",
            swept_volume="183.2|226.2 cm3",
            injection_pressure="2150|1742 bar",
        ),
        bid={
            "supplier": "Talvérine",
            "reference": "TV-26-118",
            "date": "2026-10-12",
            "valid_until": "2026-11-30",
            "delivery": "18 semaines",
            "payment": "40 % à la commande, 60 % avant expédition",
            "warranty": "24 mois",
        },
    ),
    Table(
        "sections inside one table, the clamp's own data between",
        """Machine 160\tUnit\tValue
Clamping unit\t\t
Clamping force\tkN\t1600
Opening stroke\tmm\t475
Mould height min.\tmm\t200
Injection unit\t\t
Screw diameter\tmm\t40
Screw stroke\tmm\t180
Swept volume\tcm³\t226
Injection pressure\tbar\t2100
General\t\t
Heating power\tkW\t11.4
Oil tank\tl\t180""",
        screws(
            "1",
            screw_diameter="40 mm",
            stroke="180 mm",
            swept_volume="226 cm3",
            injection_pressure="2100 bar",
        ),
        {"": {"clamp_force": "1600 kN", "heating_power": "11.4 kW"}},
    ),
    Table(
        "continued on the next page under the same heads",
        """Bezeichnung\tEinheit\tSchnecke 1\tSchnecke 2
Schneckendurchmesser\tmm\t45\t52
Schneckenhub\tmm\t225\t225
Hubvolumen\tcm³\t357,8\t477,8

Seite 2 von 3

Bezeichnung (Fortsetzung)\tEinheit\tSchnecke 1\tSchnecke 2
Spritzdruck\tbar\t2.380\t1.782
Plastifizierstrom\tg/s\t28\t37,5
Schneckendrehzahl max.\t1/min\t300\t260""",
        screws(
            "1 2",
            screw_diameter="45|52 mm",
            stroke="225|225 mm",
            swept_volume="357.8|477.8 cm3",
            injection_pressure="2380|1782 bar",
            plasticising_rate="28|37.5 g/s",
            screw_speed_max="300|260 rev/min",
        ),
    ),
    Table(
        "Italian price list after the data, the screws down and across",
        """Dati tecnici\tu.m.\tVite A\tVite B
Diametro vite\tmm\t42\t48
Corsa vite\tmm\t210\t210
Volume di iniezione\tcm³\t291\t380
Pressione di iniezione\tbar\t2150\t1646

Vite\tSovrapprezzo\tConsegna
A\t0 EUR\t20 settimane
B\t1.900 EUR\t20 settimane""",
        screws(
            "A B",
            screw_diameter="42|48 mm",
            stroke="210|210 mm",
            swept_volume="291|380 cm3",
            injection_pressure="2150|1646 bar",
            price_difference="0|1900 EUR",
        ),
        bid={"delivery": "20 settimane"},
    ),
)
