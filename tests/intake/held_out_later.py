"""Twelve more tables, laid out once the reader of parts stood, to see what it had not seen.

When they were first read 86 of their 129 cells were right, 79 of them sure; 14 numbers were right
under names that were not the screws' own, and the rest was missed.
"""

from __future__ import annotations

from .catalogue import Table, screws

HELD_OUT_LATER = (
    Table(
        "an offer in semicolons: head, unit, screws, prices, terms, each with a title",
        """ANGEBOT
Lieferant;Ferrowend
Angebots-Nr.;FW-2026-77
Angebotsdatum;12.10.2026

SPRITZEINHEIT
Spritzeinheit;FW 610
Antriebsleistung;45 kW
Heizleistung;14,2 kW

SCHNECKEN
Schnecke;1;2;3
Durchmesser mm;40;45;50
Hub mm;200;200;200
Spritzdruck bar;2.400;1.896;1.536
Hubvolumen cm³;251,3;318,1;392,7

PREISE
Schnecke;1;2;3
Mehrpreis EUR;0;1.150;2.480
Grundpreis;148.500 EUR

BEDINGUNGEN
Lieferzeit;20 Wochen ab Auftrag
Zahlungsbedingungen;30 Tage netto""",
        screws(
            "1 2 3",
            screw_diameter="40|45|50 mm",
            stroke="200|200|200 mm",
            injection_pressure="2400|1896|1536 bar",
            swept_volume="251.3|318.1|392.7 cm3",
            price_difference="0|1150|2480 EUR",
        ),
        {"": {"drive_power": "45 kW", "heating_power": "14.2 kW", "price": "148500 EUR"}},
        {
            "supplier": "Ferrowend",
            "reference": "FW-2026-77",
            "date": "2026-10-12",
            "delivery": "20 Wochen ab Auftrag",
            "payment": "30 Tage netto",
        },
    ),
    Table(
        "screws down with a surcharge in the same table and wrapped heads",
        """Screw\tNominal\tMax.\tTheoretical\tSurcharge
type\tdiameter\tstroke\tshot volume\t
\t(mm)\t(mm)\t(cm³)\t(EUR)
S\t32\t150\t121\t0
M\t36\t150\t153\t900
L\t40\t150\t188\t1,750""",
        screws(
            "S M L",
            screw_diameter="32|36|40 mm",
            stroke="150|150|150 mm",
            swept_volume="121|153|188 cm3",
            price_difference="0|900|1750 EUR",
        ),
    ),
    Table(
        "Screw, then its machine's price and delivery, each another",
        """Screw\tMachine price\tDelivery time
A\t148,500.00 EUR\t20 weeks
B\t149,650.00 EUR\t22 weeks""",
        screws("A B"),
        # One machine has one price, and one offer one time: a person decides.
    ),
    Table(
        "data of one unit in two columns side by side",
        """Injection unit 320\t\t\t
Screw diameter\t35 mm\tInjection rate\t126 cm³/s
Stroke\t160 mm\tPlasticising rate\t15.2 g/s
Swept volume\t154 cm³\tScrew speed\t350 rpm""",
        screws(
            "1",
            screw_diameter="35 mm",
            stroke="160 mm",
            swept_volume="154 cm3",
            injection_rate="126 cm3/s",
            plasticising_rate="15.2 g/s",
            screw_speed="350 rev/min",
        ),
    ),
    Table(
        "Spanish, three lines of one label, decimal commas and thousands",
        """Datos técnicos;Unidad;Husillo A;Husillo B
Diámetro del husillo;mm;45;50
Presión máxima;;;
específica de;;;
inyección;bar;2.080;1.685
Volumen teórico;;;
de inyección;cm³;357,8;441,8
Capacidad de;;;
plastificación;g/s;22,4;27""",
        screws(
            "A B",
            screw_diameter="45|50 mm",
            injection_pressure="2080|1685 bar",
            swept_volume="357.8|441.8 cm3",
            plasticising_rate="22.4|27 g/s",
        ),
    ),
    Table(
        "the second table names its screws by what the first has as diameters",
        """Screw\tI\tII
Screw diameter [mm]\t40\t45
Stroke [mm]\t200\t200

Screw\tII\tI
L/D\t20\t22.5
Plasticising rate [g/s]\t28\t22""",
        screws(
            "I II",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            length_ratio="22.5|20 1",
            plasticising_rate="22|28 g/s",
        ),
    ),
    Table(
        "numbered sections and notes between rows",
        """2. Injection unit
2.1 Screw diameter\tmm\t50
2.2 Stroke\tmm\t250
Note: the stroke is that of the screw.
2.3 Injection pressure\tbar\t1,910
2.4 Swept volume\tcm³\t490.9""",
        screws(
            "1",
            screw_diameter="50 mm",
            stroke="250 mm",
            injection_pressure="1910 bar",
            swept_volume="490.9 cm3",
        ),
    ),
    Table(
        "a letter: sentences, then label and number in each line",
        """Dear Sir or Madam,

we thank you for your inquiry and offer as follows.

Quotation no.: LM 4471
Date of quotation: October 5, 2026
Supplier: Lormant Moulding Systems
Valid until: 31.12.2026

Screw diameter ........ 45 mm
Screw stroke .......... 225 mm
Swept volume .......... 357.8 cm3
Clamping force ........ 1,600 kN

The price includes packing and training. Transport extra.
Delivery time: 18 weeks after order
Warranty: 24 months""",
        screws("1", screw_diameter="45 mm", stroke="225 mm", swept_volume="357.8 cm3"),
        {"": {"clamp_force": "1600 kN"}},
        {
            "reference": "LM 4471",
            "date": "2026-10-05",
            "supplier": "Lormant Moulding Systems",
            "valid_until": "2026-12-31",
            "delivery": "18 weeks after order",
            "warranty": "24 months",
            "scope.packing": "included",
            "scope.training": "included",
            "scope.freight": "extra",
        },
    ),
    Table(
        "two units side by side, prices of each below under the same heads",
        """Injection unit\t\t320\t\t610\t
Screw\t\tA\tB\tA\tB
Screw diameter\tmm\t30\t35\t40\t45
Stroke\tmm\t150\t150\t200\t200
Injection unit\t\t320\t\t610\t
Screw\t\tA\tB\tA\tB
Price difference\tEUR\t0\t800\t0\t1200""",
        screws(
            "320:A 320:B 610:A 610:B",
            screw_diameter="30|35|40|45 mm",
            stroke="150|150|200|200 mm",
            price_difference="0|800|0|1200 EUR",
        ),
    ),
    Table(
        "kinds of screw in a row that looks like a head",
        """Screw\tA\tB
Screw diameter [mm]\t40\t45
Stroke [mm]\t200\t200
Screw type\tbarrier\tmixing
Injection pressure [bar]\t2400\t1896
Swept volume [cm³]\t251\t318""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            injection_pressure="2400|1896 bar",
            swept_volume="251|318 cm3",
        ),
    ),
    Table(
        "bars, the head again after a rule, units in brackets below the names",
        """| Vis             | A        | B        |
|-----------------|----------|----------|
| Diamètre de vis | 40 mm    | 45 mm    |
| Course          | 200 mm   | 200 mm   |
| Pression        |          |          |
| d'injection     | 2400 bar | 1896 bar |
|-----------------|----------|----------|
| Vis             | A        | B        |
| Plus-value      | 0 EUR    | 1 150 EUR |
| Livraison       | 18 semaines | 18 semaines |""",
        screws(
            "A B",
            screw_diameter="40|45 mm",
            stroke="200|200 mm",
            injection_pressure="2400|1896 bar",
            price_difference="0|1150 EUR",
        ),
        bid={"delivery": "18 semaines"},
    ),
    Table(
        "prices before the data, the screws known only below",
        """Price list
Screw\tPrice difference
40\t0 USD
45\t1,450 USD

Technical data\tUnit\t40\t45
Screw diameter\tmm\t40\t45
Stroke\tin\t7.87\t7.87
Injection pressure\tpsi\t34,800\t27,500""",
        screws(
            "40 45",
            screw_diameter="40|45 mm",
            stroke="7.87|7.87 in",
            injection_pressure="34800|27500 psi",
            price_difference="0|1450 USD",
        ),
    ),
)
