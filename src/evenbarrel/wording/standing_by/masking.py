"""What stands where something is masked."""

from __future__ import annotations

from string import ascii_uppercase

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.model.evaluation import Evaluation

MASKED = "(masked)"
PRICES_MASKED = (
    "Prices and costs are masked: neither they nor anything based on them is shown here."
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


def _prices(evaluation: Evaluation) -> int:
    units = [unit for bid in evaluation.bids for unit in bid.units]
    prices = [*(bid.price for bid in evaluation.bids), *(unit.price for unit in units)]
    return sum(price is not None for price in prices)
