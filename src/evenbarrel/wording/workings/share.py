"""How the share of all weightings under which a barrel leads came about."""

from __future__ import annotations

from collections.abc import Iterator

from evenbarrel.appraisal.references import DatumRef, ShareRef
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.weighting import LESS_IS_BETTER, Shares
from evenbarrel.wording.sentences.deciding.choice import measure_text
from evenbarrel.wording.sheets.decision.order import behind, measured_text
from evenbarrel.wording.words.names import full_name
from evenbarrel.wording.words.numbers import percent, rounded
from evenbarrel.wording.workings.line import Line, Working, literature

FORMULA = (
    "share of all sets of weights, each 0 or more and together 1, under which its weighted sum is "
    "the greatest; each measure runs from 0 for the worst to 1 for the best of those weighed"
)
_EXACT = (
    "With one measure the best in it leads.",
    "Exact: the length of the weights of the first measure, from 0 to 1, where it leads.",
    "Exact: the area, of all weights of three measures, where it leads.",
)


def share_working(decision: Decision, reference: ShareRef) -> Working:
    """Return how a share of weightings came about; raises KeyError where it is not weighed."""
    shares, barrel = decision.shares, reference.barrel
    share = shares.shares[barrel]
    notes = [_rule(shares, share)]
    if barrel in shares.marked:
        notes.append("It leads at the weights given.")
    return Working(
        title=f"Share of all weightings: {full_name(decision.appraisal, barrel)}",
        result=percent(share),
        formula=FORMULA,
        lines=(*_measures(decision, barrel), *_others(decision, barrel)),
        notes=tuple(notes),
        literature=(literature("definition"),),
    )


def _rule(shares: Shares, share: float) -> str:
    """Return how the weightings were counted."""
    if not shares.drawn:
        return _EXACT[len(shares.measures) - 1]
    first = f"{share * shares.drawn:,.0f} of {shares.drawn:,} drawn weightings".replace(",", " ")
    return f"{first} put it first, any as likely as any other: ± {percent(2.0 * shares.error)}."


def _measures(decision: Decision, barrel: str) -> Iterator[Line]:
    """Yield what it has of each measure, and where that lies between worst and best."""
    shares = decision.shares
    for key in shares.measures:
        opens = behind(decision, barrel, key)
        better = "less" if key in LESS_IS_BETTER else "more"
        scale = rounded(shares.scaled[barrel][key])
        place = opens.path if isinstance(opens, DatumRef) else ()
        yield Line(
            measure_text(key).capitalize(),
            measured_text(decision, barrel, key),
            f"{scale} from worst 0 to best 1; {better} is better",
            opens if not isinstance(opens, DatumRef) else None,
            place,
        )


def _others(decision: Decision, barrel: str) -> Iterator[Line]:
    """Yield under which share the others lead: together with its own that is all."""
    shares = decision.shares.shares
    for other in sorted(shares, key=lambda one: -shares[one]):
        if other != barrel:
            name, share = full_name(decision.appraisal, other), percent(shares[other])
            yield Line(name, share, "leads under", ShareRef(other))
