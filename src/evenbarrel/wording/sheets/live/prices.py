"""The offers of the live workbook: the landed price of each barrel, part by part."""

from __future__ import annotations

from collections.abc import Iterator

from evenbarrel.decision.amount import Amount
from evenbarrel.decision.basis import Candidate
from evenbarrel.decision.offers import Offer
from evenbarrel.wording.sentences.deciding.choice import missing_text
from evenbarrel.wording.sheets.live.formula import (
    EMPTY,
    NO_RATE,
    Scales,
    by_program,
    calculated,
    known,
    money,
    number,
    program_number,
    pulled,
)
from evenbarrel.wording.sheets.live.money import Priced
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words.names import barrel_name, supplier_name
from evenbarrel.wording.words.numbers import ABSENT


def prices_sheet(priced: Priced) -> Sheet:
    """Return the landed price of one machine with each barrel; what it lacks stands before it."""
    decision = priced.decision
    scales = Scales(decision.appraisal.evaluation.display_units)
    rows = tuple(tuple(_cells(priced, one, scales)) for one in priced.candidates)
    return Sheet("prices", "Prices", _headings(priced, scales), rows)


def _headings(priced: Priced, scales: Scales) -> tuple[Heading, ...]:
    currency = priced.currencies.own
    volume, mass = (scales.heading("", kind, "").unit for kind in ("volume", "mass"))
    items = (
        Heading(item[:1].upper() + item[1:], currency, key=f"item{place}")
        for place, item in enumerate(priced.items, 1)
    )
    return (
        Heading("No.", key="barrel"),
        Heading("Supplier"),
        Heading("Barrel"),
        by_program("Not stated"),
        by_program("Filled in by us"),
        Heading("Landed price", currency, key="price"),
        Heading("Machine, or resale value of the plant's own", currency, key="machine"),
        Heading("Screw, against the standard one", currency, key="screw"),
        *items,
        by_program("Largest share of volume for the largest shot", "%"),
        Heading("Price of usable volume", f"{currency}/{volume}"),
        Heading("Price of rated mass", f"{currency}/{mass}"),
        Heading("Price of mass in the common resin", f"{currency}/{mass}"),
    )


def words_of(missing: tuple[str, ...]) -> Cell:
    """Return what is not stated, for the place before an amount."""
    if not missing:
        return Cell(ABSENT)
    return Cell(", ".join(missing_text(name) for name in missing), state="not_stated")


def _cells(priced: Priced, one: Candidate, scales: Scales) -> Iterator[Cell]:
    decision = priced.decision
    offer = decision.offers[one.id]
    yield number(one.row + 1)
    yield Cell(supplier_name(decision.appraisal, one.id))
    yield Cell(barrel_name(decision.appraisal, one.id))
    yield words_of(offer.missing)
    filled = ", ".join(missing_text(part.of) for part in offer.filled_in)
    yield Cell(filled or ABSENT)
    parts = f"[machine]:[item{len(priced.items)}]"
    converted = f'COUNTIF({parts},"{NO_RATE}")=0'
    stated = converted if one.owned else f"AND(COUNT([machine])=1,{converted})"
    yield money(offer.price.value, f'IF({stated},SUM({parts}),"")')
    yield from _parts(priced, one, offer)
    yield from _beside(priced, one, offer, scales)


def _parts(priced: Priced, one: Candidate, offer: Offer) -> Iterator[Cell]:
    own = {part.of: part for part in (*offer.items, *offer.filled_in)}
    unit = priced.units[one.bid.id, one.unit.id]
    yield pulled(own["machine"].value, f"[#U{unit} machine]")
    if one.owned:
        yield from (EMPTY for _ in ("screw", *priced.items))
        return
    yield pulled(own["screw"].value, f"[#B{one.row + 1} screw]")
    listed = priced.items_of(one.bid)
    for place, item in enumerate(priced.items, 1):
        if item not in listed:
            yield EMPTY
        else:
            key = f"O{priced.bids[one.bid.id]} item{place}"
            yield pulled(own[item].value, f"[#{key}]")


def _beside(priced: Priced, one: Candidate, offer: Offer, scales: Scales) -> Iterator[Cell]:
    """Yield the price beside what it buys: a machine of the plant has none to set beside."""
    usable = offer.of_usable_volume.inputs.get("share")
    yield program_number(None if usable is None else usable * 100.0)
    if one.owned:
        yield from (EMPTY for _ in range(3))
        return
    if usable is None:
        yield EMPTY
    else:
        of_volume = f"[price]/([barrels.volume]*{usable!r})"
        yield _per(offer.of_usable_volume, scales.size("volume"), of_volume, "barrels.volume")
    mass = "barrels.rated_shot_mass"
    yield _per(offer.of_rated_mass, scales.size("mass"), f"[price]/[{mass}]", mass)
    evaluation = priced.decision.appraisal.evaluation
    names = [resin.id for resin in evaluation.resins]
    if evaluation.cost.common_resin not in names:
        yield EMPTY
        return
    factor = f"#R{names.index(evaluation.cost.common_resin) + 1} factor"
    common = f"[price]/([barrels.volume]*[{factor}])"
    yield _per(offer.of_common_mass, scales.size("mass"), common, "barrels.volume", factor)


def _per(amount: Amount, size: float, expression: str, *needs: str) -> Cell:
    value = None if amount.value is None else amount.value * size
    return calculated(value, known(expression, "price", *needs))
