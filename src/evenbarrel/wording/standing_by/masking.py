"""What stands where something is masked."""

from __future__ import annotations

from string import ascii_uppercase

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.terms import OWN_AMOUNT

MASKED = "(masked)"
PRICES_MASKED = (
    "Prices and costs are masked: neither they nor anything based on them is shown here. In texts "
    "that people typed, each sentence that speaks of money is masked, as far as its words tell."
)
SUPPLIERS_MASKED = (
    "Suppliers, their offer numbers and what they call units and screws are masked, in texts that "
    "people typed as far as they stand there as they were entered."
)
FLIPS_MASKED = "What would flip the choice depends on cost too: it is masked with the prices."
ORDER_MASKED = (
    "By gate, then jobs known to run. Cost over life, which decides between barrels equal in both, "
    "is masked."
)
_WHAT = {
    "prices": "prices masked",
    "suppliers": "suppliers masked",
    "both": "prices and suppliers masked",
}


def masked_title(title: str, what: str) -> str:
    """Return a title that says what is masked."""
    return f"{title} ({_WHAT[what]})".lstrip()


def supplier(number: int) -> str:
    """Return what the supplier of an offer is called: "Supplier A"."""
    return f"Supplier {_letters(number)}"


def unit(place: int) -> str:
    """Return what a unit is called by its place in the offer."""
    return f"Unit {place + 1}"


def screw(place: int) -> str:
    """Return what a screw is called by its place in its unit."""
    return _letters(place)


def _letters(number: int) -> str:
    rest, last = divmod(number, len(ascii_uppercase))
    return (_letters(rest - 1) if rest else "") + ascii_uppercase[last]


def prices_masked(appraisal: Appraisal) -> bool:
    """Say whether prices are there that this appraisal is not to tell."""
    if appraisal.masks is None:
        return False
    seen, whole = (_prices(one.evaluation) for one in (appraisal, appraisal.masks))
    return whole > seen


def suppliers_masked(appraisal: Appraisal) -> bool:
    """Say whether suppliers have names that this appraisal is not to tell."""
    if appraisal.masks is None:
        return False
    called = [[bid.supplier for bid in one.evaluation.bids] for one in (appraisal, appraisal.masks)]
    return called[0] != called[1]


def _prices(evaluation: Evaluation) -> int:
    """Return how many amounts of money are stated."""
    cost, bids = evaluation.cost, evaluation.bids
    found = [cost.tariff, cost.machine_hour_rate, *(line.amount for line in cost.lines)]
    found += [resin.price_per_kg for resin in evaluation.resins]
    for bid in bids:
        found += [bid.price, *(getattr(bid, name) for name in OWN_AMOUNT)]
        found += [line.amount for line in bid.scope]
        for unit in bid.units:
            found += [unit.price, unit.resale_value]
            found += [barrel.price_difference for barrel in unit.barrels]
    return sum(amount is not None for amount in found)
