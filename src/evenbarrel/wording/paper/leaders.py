"""The words of the first page about the choice: the proposal, its runner-up, and what flips it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenbarrel.appraisal.gate_results import GateState
from evenbarrel.decision.amount import Amount
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.flips.choice import choices_of
from evenbarrel.decision.flips.search import Flips
from evenbarrel.decision.life_cost import LifeCost
from evenbarrel.decision.ranking import OrderLine
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.wording.paper.choice import is_costed, proposed_barrels
from evenbarrel.wording.paper.sections import cut, section_name
from evenbarrel.wording.sentences.cells import date_text, ended
from evenbarrel.wording.sentences.deciding.choice import common_missing, money_text
from evenbarrel.wording.sheets.decision.cells import AS_ALL, COMPLETE, amount_cell, missing_list
from evenbarrel.wording.sheets.decision.cost import jobs_of_cell
from evenbarrel.wording.sheets.decision.cover import bought_text, first_to_see, of_machines
from evenbarrel.wording.sheets.decision.open_points import open_points_line
from evenbarrel.wording.sheets.decision.proposal import BOUGHT, MOST_NAMED, proposal_head
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, without_columns
from evenbarrel.wording.standing_by.flips import (
    NO_TWO,
    NOT_LOOKED_FOR,
    FlipsPart,
    flip_line,
    flips_parts,
)
from evenbarrel.wording.standing_by.masking import FLIPS_MASKED, PRICES_MASKED, prices_masked
from evenbarrel.wording.words import amounts as words
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import bid_called, full_name

PROPOSED = "The proposal, beside the next best choices"
_PROPOSED_ALONE = "The proposal"
FLIPS = "Nearest flips"
MARKED = f"{words.MARKED} {BOUGHT}"
_MONEY = frozenset({"Costs not stated", "Price", "Cost over life", "A year"})
_LONGEST_LINE, _LONGEST_UNKNOWN = 420, 300
_LONGEST_NAMES, _LONGEST_LACK, _LONGEST_FLIP, _LONGEST_OFFER = 110, 70, 200, 220
_OF_THE_ORDER = 2
"""Barrels of the order that stand beside the proposal."""


@dataclass(frozen=True)
class Leader:
    """One choice that may be made: its machines with what they run and cost."""

    what: str
    costs: tuple[LifeCost, ...]
    gate: GateState | None
    present: Amount
    yearly: Amount


def leaders(decision: Decision) -> tuple[Leader, ...]:
    """Return the proposal and its runner-up, and who leads the order as the only machine.

    Where nothing is proposed yet the set that is best to look at first comes before these.
    """
    found = list(_proposed(decision))
    if prices_masked(decision.appraisal):
        # What comes next goes by cost.
        return tuple(found[:1])
    if decision.proposal is None:
        found += _best_set(decision)
    for line in _of_the_order(decision):
        cost = decision.cost[line.barrel]
        what = f"Alone, rank {line.rank} of the order"
        found.append(Leader(what, (cost,), line.gate, cost.present, cost.yearly))
    seen: dict[tuple[tuple[str, int, tuple[str, ...]], ...], Leader] = {}
    for one in found:
        key = tuple((cost.barrel, cost.copies, tuple(cost.jobs)) for cost in one.costs)
        seen.setdefault(key, one)
    return tuple(seen.values())


def _of_the_order(decision: Decision) -> list[OrderLine]:
    ranked = [line for line in decision.order if line.rank is not None and any(line.work)]
    return ranked[:_OF_THE_ORDER]


def _best_set(decision: Decision) -> Iterator[Leader]:
    best = decision.cover[first_to_see(decision.cover)]
    if best.costs:
        what = f"Best set, {bought_text(best)} bought" if best.machines else "Nothing bought"
        yield Leader(what, best.costs, best.gate, best.present, best.yearly)


def _proposed(decision: Decision) -> Iterator[Leader]:
    result = decision.proposal
    if result is None:
        return
    yield Leader("Proposed", result.costs, result.gate.state, result.present, result.yearly)
    both = choices_of(decision)
    if both is None or len(both[0].barrels) == 1:
        # The runner-up of one barrel is the first of the order that is another.
        return
    other = set(both[1].barrels)
    for line in decision.covers_from_largest():
        for cover in (line, line.runner_up):
            if cover is not None and {cost.barrel for cost in cover.costs if cost.jobs} == other:
                yield Leader("Its runner-up", cover.costs, cover.gate, cover.present, cover.yearly)
                return


def marked_notes(decision: Decision) -> tuple[str, ...]:
    """Return how the amounts of the leaders are to be read, where they have any."""
    if prices_masked(decision.appraisal):
        return ()
    return (MARKED, *_shared_rank(decision))


def _shared_rank(decision: Decision) -> Iterator[str]:
    """Yield why two that lead the order share its rank though they are stated to cost otherwise."""
    lines = _of_the_order(decision) if decision.proposal is None else []
    alike = len(lines) > 1 and len({(line.rank, line.work) for line in lines}) == 1
    if not alike or any(line.levelled is None or not line.jobs_run for line in lines):
        return
    if any(any(line.filled.values()) for line in lines):
        names = " and ".join(full_name(decision.appraisal, line.barrel) for line in lines)
        costs = " and ".join(money_text(decision, line.levelled) for line in lines)
        yield (
            f"{names} share rank {lines[0].rank} of the order: with what an offer leaves out "
            f"levelled, their costs over life are {costs}, too close to separate."
        )


def proposed_title(decision: Decision) -> str:
    """Return the title of the leaders: where prices are masked the proposal stands alone."""
    return _PROPOSED_ALONE if prices_masked(decision.appraisal) else PROPOSED


def leaders_sheet(decision: Decision, most: int) -> Sheet:
    """Return the leaders side by side, at most so many: what lacks first, then what they cost."""
    currency, jobs = decision.appraisal.evaluation.currency, len(decision.appraisal.jobs)
    common = common_missing(decision)
    headings = (
        Heading("Choice"),
        Heading("Machines"),
        Heading("Costs not stated"),
        Heading("Gate"),
        Heading("Jobs run", f"of {jobs}", "right"),
        Heading("Price", currency, "right"),
        Heading("Cost over life", currency, "right"),
        Heading("A year", currency, "right"),
    )
    rows = []
    for one in leaders(decision)[:most]:
        lacks = dict.fromkeys(n for cost in one.costs for n in cost.missing if n not in common)
        alike = AS_ALL if common else COMPLETE
        rows.append(
            (
                Cell(one.what),
                Cell(cut(_machines(decision, one.costs), _LONGEST_NAMES)),
                Cell(cut(missing_list(lacks) or alike, _LONGEST_LACK)),
                Cell(labels.GATES[one.gate]),
                jobs_of_cell(decision, one.costs),
                amount_cell(decision.price_of(one.costs), of_machines(one.costs, "bought")),
                amount_cell(one.present, of_machines(one.costs, "present")),
                amount_cell(one.yearly, of_machines(one.costs, "yearly")),
            )
        )
    sheet = Sheet("leaders", PROPOSED, headings, tuple(rows))
    return without_columns(sheet, _MONEY) if prices_masked(decision.appraisal) else sheet


def _machines(decision: Decision, costs: Sequence[LifeCost]) -> str:
    # What is bought first.
    ordered = sorted(costs, key=lambda cost: decision.offers[cost.barrel].owned)
    named = (
        f"{cost.copies} × {full_name(decision.appraisal, cost.barrel)}"
        for cost in ordered
        if cost.jobs or len(costs) == 1
    )
    return "; ".join(named) or "no machine"


def proposed_lines(decision: Decision, letters: int) -> tuple[str, ...]:
    """Return what is proposed, by whom, and its gate; and why, in so many letters at most.

    What it costs stands in the table of the leaders.
    """
    result, head = decision.proposal, proposal_head(decision)
    if len(head) > _LONGEST_LINE:
        # Its gate comes last, and is never cut off.
        head = proposal_head(decision, MOST_NAMED)
    if result is None or not result.proposal.reason:
        return (head,)
    if not letters:
        return (f"{head} Its reason: {section_name('choice')}.",)
    return (head, f"Reason: {cut(result.proposal.reason, letters)}")


def offers_lines(decision: Decision) -> tuple[str, ...]:
    """Return of each offer that is to be ordered until when it holds, and when it delivers."""
    evaluation = decision.appraisal.evaluation
    bids = {evaluation.place(barrel)[0].id: None for barrel in proposed_barrels(decision)}
    return tuple(_offer_line(evaluation, evaluation.bid(bid)) for bid in bids)


def _offer_line(evaluation: Evaluation, bid: Bid) -> str:
    name = f"{bid_called(evaluation, bid)} {bid.reference}".rstrip()
    day = "" if bid.date is None else f" of {date_text(bid.date)}"
    until = "no validity stated"
    if bid.valid_until is not None:
        passed = evaluation.as_of is not None and bid.valid_until < evaluation.as_of
        until = f"valid until {date_text(bid.valid_until)}{', which has passed' if passed else ''}"
    delivery = f"delivery {bid.delivery}" if bid.delivery else "no delivery time stated"
    return cut(ended(f"Offer of {name}{day}: {until}; {delivery}"), _LONGEST_OFFER)


def proposal_not_known(decision: Decision) -> tuple[str, ...]:
    """Return what is not known about the proposal, in one line; none if nothing, or no proposal."""
    result = decision.proposal
    line = "" if result is None else open_points_line(decision, result)
    return (cut(line, _LONGEST_UNKNOWN),) if line else ()


def costs_not_known(decision: Decision) -> str:
    """Return what lacks of prices and of costs over life, in a sentence or two; "" if nothing."""
    if prices_masked(decision.appraisal):
        return PRICES_MASKED
    lines = [line for line in decision.order if line.rank is not None]
    short = sum(not decision.offers[line.barrel].complete for line in lines)
    notes = []
    if short:
        have = "has" if short == 1 else "have"
        notes.append(f"Of {len(lines)} barrels on offer, {short} {have} no complete price.")
    common = common_missing(decision)
    if common:
        notes.append(f"Common items, in no cost over life: {cut(missing_list(common), 160)}.")
    return " ".join(notes)


def flips_not_known(decision: Decision, flips: Flips | None) -> str:
    """Return what is not known of flips: nobody looked, or some lie within what is not known."""
    if prices_masked(decision.appraisal):
        return FLIPS_MASKED
    if len(decision.appraisal.barrels) < 2:
        return NO_TWO
    if flips is None and not is_costed(decision):
        # Who comes first takes long to find among many, and nobody asked for it.
        return NOT_LOOKED_FOR
    if choices_of(decision) is None:
        return NO_TWO
    if flips is None:
        return NOT_LOOKED_FOR
    of_choice = [flip for flip in flips.flips if not flip.contradicts]
    within = sum(flip.within is True for flip in of_choice)
    unknown = sum(flip.within is None for flip in of_choice)
    return (
        f"Numbers that would flip the choice: {within} within their own half-width; {unknown} "
        "have none stated."
    )


def nearest_flips(decision: Decision, flips: Flips | None, most: int) -> tuple[str, ...]:
    """Return the nearest flips in words, what is within what is not known first.

    A number that would only contradict those printed beside it comes last. None where they were not
    looked for.
    """
    if flips is None:
        return ()
    # False sorts after what is within or may be.
    ordered = sorted(flips.flips, key=lambda flip: (flip.contradicts, flip.within is False))
    lines = [cut(flip_line(flip, flips, decision.appraisal), _LONGEST_FLIP) for flip in ordered]
    return tuple(line if line.endswith("…") else f"{line}." for line in lines[:most]) or (
        f"None of {flips.numbers} numbers flips the choice within the range tried.",
    )


def more_flips(flips: Flips | None, most: int) -> str:
    """Return how many flips there are beyond the nearest ones, and where; "" if none."""
    more = 0 if flips is None else len(flips.flips) - most
    return f"{more} more: {section_name('choice')}" if more > 0 else ""


def printed_flips(decision: Decision, flips: Flips | None) -> tuple[FlipsPart, ...]:
    """Return what there is of flips part by part, or that nobody looked for them."""
    if flips is None:
        return (FlipsPart(flips_not_known(decision, flips)),)
    return flips_parts(flips, decision.appraisal)
