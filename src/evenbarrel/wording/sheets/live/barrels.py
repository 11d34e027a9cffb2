"""The barrels of the live workbook: what was printed, the size taken, and what follows from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.inputs.barrel_inputs import Row, inventory, inventory_route
from evenbarrel.appraisal.inputs.stated import StatedBarrel
from evenbarrel.appraisal.inputs.swept_volume import LENGTH_SLIPS
from evenbarrel.appraisal.results import BarrelResult, Bound, Reading
from evenbarrel.model.datum import data_of, si_of
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.offers.bid import InjectionUnit
from evenbarrel.wording.pictures.board import GATE_MARKS
from evenbarrel.wording.sheets.live.formula import (
    Scales,
    by_program,
    calculated,
    known,
    number,
    program_number,
    pulled,
)
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import resin_called, screw_name, supplier_name, unit_name
from evenbarrel.wording.words.numbers import ABSENT, printed

PULLED = {
    "screw_diameter": "length",
    "stroke": "length",
    "swept_volume": "volume",
    "rated_shot_mass": "mass",
    "plasticising_rate": "mass_rate",
}
"""Inputs that stand in the barrels' own sheet too, each in the unit of its column."""
OTHERS = {"injection_pressure": "melt_pressure", "injection_rate": "volume_rate"}
AS_PRINTED = (
    "screw_diameter",
    "stroke",
    "rated_shot_mass",
    "injection_pressure",
    "injection_rate",
    "plasticising_rate",
)

DOUBT = by_program("Doubt about its size")
"""Stands before whatever is calculated with a barrel's size."""

AREA = "PI()/4*[diameter]^2"


def live_barrels_sheet(appraisal: Appraisal) -> Sheet:
    """Return every barrel: its doubt before its volume, and what was printed beside."""
    scales = Scales(appraisal.evaluation.display_units)
    rows = tuple(
        tuple(_cells(appraisal, place, result, scales))
        for place, result in enumerate(appraisal.barrels)
    )
    return Sheet("barrels", "Barrels", _headings(scales), rows)


def _headings(scales: Scales) -> tuple[Heading, ...]:
    volume, density = (scales.heading("", kind, "").unit for kind in ("volume", "density"))
    return (
        Heading("No.", key="barrel"),
        Heading("Supplier"),
        Heading("Injection unit"),
        Heading("Screw"),
        by_program("Gate"),
        by_program("Programme"),
        DOUBT,
        Heading("Volume taken"),
        scales.heading("Swept volume", "volume", "volume"),
        by_program("Swept volume, low", volume),
        by_program("Swept volume, high", volume),
        scales.heading("Screw diameter taken", "length", "diameter"),
        scales.heading("Stroke taken", "length", "stroke"),
        scales.heading("Melt inventory", "volume", "inventory"),
        Heading("Melt inventory, from"),
        *(
            scales.heading(f"{labels.datum_of(Barrel, name)}, printed", kind, f"{name}_printed")
            if name in ("screw_diameter", "stroke", "swept_volume")
            else scales.heading(labels.datum_of(Barrel, name), kind, name)
            for name, kind in PULLED.items()
        ),
        *(scales.heading(labels.datum_of(Barrel, name), kind, "") for name, kind in OTHERS.items()),
        Heading("Rated in"),
        by_program("Implied factor", density),
        by_program("Matches"),
        *(Heading(f"{labels.datum_of(Barrel, name)}, as printed") for name in AS_PRINTED),
        Heading(labels.datum_of(InjectionUnit, "price")),
        Heading("Currency"),
    )


def _cells(
    appraisal: Appraisal, place: int, result: BarrelResult, scales: Scales
) -> Iterator[Cell]:
    gate, state = appraisal.gates.states[result.id], appraisal.barrel_states[result.id]
    _, unit, barrel = appraisal.evaluation.place(result.id)
    row, key = appraisal.grid.table.rows[place], f"B{place + 1}"
    resin = appraisal.evaluation.resin(barrel.reference_resin)
    yield number(place + 1)
    yield Cell(supplier_name(appraisal, result.id))
    yield Cell(unit_name(appraisal, result.id))
    yield Cell(screw_name(appraisal, result.id))
    yield Cell(labels.GATES[gate], state=GATE_MARKS[gate])
    yield Cell(labels.STATES[state], state=state)
    yield doubt_cell(result)
    yield Cell(_taken(row))
    yield from _size(appraisal, row, key, scales)
    for name, kind in PULLED.items():
        value = scales.value(row.stated.value(name), kind)
        yield pulled(value, f"[#{key} {name}]")
    for name, kind in OTHERS.items():
        yield program_number(scales.value(_in_kind(barrel, name, kind), kind))
    yield Cell(ABSENT if resin is None else resin_called(appraisal.evaluation, resin))
    yield program_number(scales.value(result.implied_factor, "density"))
    yield Cell(labels.RATED_BASES[result.rated_basis])
    for name in AS_PRINTED:
        yield Cell(printed(getattr(barrel, name)))
    price = unit.price
    yield Cell(ABSENT) if price is None else Cell(price.amount, price.value())
    yield Cell(ABSENT if price is None else price.currency)


def doubt_cell(result: BarrelResult) -> Cell:
    """Return the doubt about a barrel's size."""
    doubt = result.swept.doubt
    return Cell(ABSENT) if doubt is None else Cell(labels.REASONS[doubt], state="near_edge")


def _in_kind(barrel: Barrel, name: str, kind: str) -> float | None:
    """Return a barrel's number in SI, or None where it was printed in a unit of another kind."""
    quantity = getattr(barrel, name)
    if quantity is None or data_of(Barrel)[name].kind_of(quantity.unit) != kind:
        return None
    return si_of(barrel, name)


def _taken(row: Row) -> str:
    """Return in words which volume is taken, and which size with it."""
    route = labels.ROUTES.get(row.reading.route or "", ABSENT)
    if row.reading.key == "as_printed":
        return route
    return f"{route}; {labels.READINGS.get(row.reading.key) or labels.CAUSES[row.reading.key]}"


def _nominal(bound: Bound | None) -> float | None:
    return None if bound is None else bound.nominal


def _size(appraisal: Appraisal, row: Row, key: str, scales: Scales) -> Iterator[Cell]:
    """Yield the volume with its bound, diameter, stroke, and the melt in the screw."""
    swept, reading = row.settled.swept.bound, row.reading
    formulas = size_formulas(row, key, _factor_key(appraisal, row.stated), scales)
    route = inventory_route(row.stated.barrel)
    held = inventory(row.stated, _nominal(reading.diameter), route)
    yield calculated(scales.value(_nominal(swept), "volume"), formulas["volume"])
    for end in (None, None) if swept is None else (swept.low, swept.high):
        yield program_number(scales.value(end, "volume"))
    for name, bound in (("diameter", reading.diameter), ("stroke", reading.stroke)):
        yield calculated(scales.value(_nominal(bound), "length"), formulas[name])
    yield calculated(scales.value(held, "volume"), inventory_formula(route, key, scales))
    yield Cell(labels.INVENTORY_ROUTES.get(route) or labels.choice(route))


def _factor_key(appraisal: Appraisal, stated: StatedBarrel) -> str:
    """Return the input that a rated mass is divided by: the quoted factor, else its resin's."""
    if stated.value("reference_factor") is not None:
        return "reference_factor"
    names = [resin.id for resin in appraisal.evaluation.resins]
    named = stated.barrel.reference_resin
    return f"R{names.index(named) + 1} factor" if named in names else "reference_factor"


def size_formulas(row: Row, key: str, factor: str, scales: Scales) -> Mapping[str, str]:
    """Return how volume, diameter and stroke of a barrel's nominal reading come about."""
    reading = row.reading
    found = {
        "diameter": "[screw_diameter_printed]",
        "stroke": "[stroke_printed]",
        "volume": known(f"{AREA}*[stroke]{scales.volume}", "diameter", "stroke"),
    }
    if reading.route == "rated_mass":
        by = f"#{factor}" if factor.startswith("R") else f"#{key} {factor}"
        found["volume"] = known(f"[rated_shot_mass]/[{by}]", "rated_shot_mass", by)
    if reading.route != "quoted":
        return found
    found["volume"] = "[swept_volume_printed]"
    if reading.key == "diameter" or _follows(row, "screw_diameter", reading):
        implied = f"SQRT(4*[volume]{scales.length}/(PI()*[stroke]))"
        found["diameter"] = known(implied, "volume", "stroke")
    elif reading.key == "stroke" or _follows(row, "stroke", reading):
        found["stroke"] = known(f"[volume]{scales.length}/({AREA})", "volume", "diameter")
    elif reading.key in LENGTH_SLIPS:
        found |= _mended(row)
    return found


def _follows(row: Row, name: str, reading: Reading) -> bool:
    """Say whether a length is not printed and follows from the volume and the other one."""
    bound = reading.diameter if name == "screw_diameter" else reading.stroke
    return bound is not None and name not in row.stated.numbers


def _mended(row: Row) -> Mapping[str, str]:
    """Return how the length comes about that a slip has changed: the printed one times a factor."""
    for name, bound, column in (
        ("screw_diameter", row.reading.diameter, "diameter"),
        ("stroke", row.reading.stroke, "stroke"),
    ):
        own = row.stated.value(name)
        if own is None or bound is None or bound.nominal == own:
            continue
        ratio = bound.nominal / own
        mending = (factor for _, factor in LENGTH_SLIPS[row.reading.key])
        factor = min(mending, key=lambda one: abs(one / ratio - 1))
        times = f"[{name}_printed]*{factor:g}" if factor >= 0.1 else f"[{name}_printed]/25.4"
        return {column: known(times, f"{name}_printed")}
    return {}


def inventory_formula(route: str, key: str, scales: Scales) -> str:
    """Return how the melt in the screw's channel comes about by a route."""
    if route == "quoted":
        return f"[#{key} melt_inventory]"
    ratio = f"[#{key} length_ratio]"
    if route == "diameter_rule":
        length = f"IF(COUNT({ratio})=1,{ratio},usual_length_ratio)"
        cubes = f"inventory_cubes*[diameter]^3*{length}/20{scales.volume}"
        return known(cubes, "diameter")
    feed, metering, pitch, width, *shares, fill = (
        f"[#{key} {name}]"
        for name in (
            "feed_depth",
            "metering_depth",
            "pitch",
            "flight_width",
            "feed",
            "compression",
            "metering",
            "feed_fill",
        )
    )
    turn = f"IF(COUNT({pitch})=1,{pitch},usual_pitch*[diameter])"
    flight = f"IF(COUNT({width})=1,{width},usual_flight_width*[diameter])"
    channel = (
        f"{shares[0]}*{fill}*{feed}*([diameter]-{feed})"
        f"+{shares[1]}*([diameter]*({feed}+{metering})/2"
        f"-({feed}^2+{feed}*{metering}+{metering}^2)/3)"
        f"+{shares[2]}*{metering}*([diameter]-{metering})"
    )
    held = f"(1-{flight}/{turn})*{ratio}*[diameter]*PI()*({channel}){scales.volume}"
    is_screw = f"(2*MAX({feed},{metering})<[diameter])*({flight}<{turn})"
    held = f'IF({is_screw},{held},"")'
    data = ("feed_depth", "metering_depth", "length_ratio", "feed", "compression", "metering")
    return known(held, "diameter", *(f"#{key} {name}" for name in (*data, "feed_fill")))
