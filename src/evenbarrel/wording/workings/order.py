"""How the levelled cost of a barrel came about: what is known of it, and what is put in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from evenbarrel.appraisal.references import AmountRef, LevelledRef, MachineRef
from evenbarrel.decision.amount import Amount
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.offers import ONCE
from evenbarrel.decision.ranking import OrderLine
from evenbarrel.wording.sentences.deciding.choice import missing_text
from evenbarrel.wording.sheets.decision.cells import missing_list, place_of_datum
from evenbarrel.wording.words import amounts as words
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import counted
from evenbarrel.wording.workings.amounts import money_text
from evenbarrel.wording.workings.line import Line, Working

LEVELLED = (
    "what is known of the {} + for each part that the offer is silent on the highest "
    "amount that another states, less what is assumed of it already"
)


def levelled_working(decision: Decision, reference: LevelledRef) -> Working:
    """Return how a levelled cost came about; raises KeyError where it is no longer there."""
    line, of_price = _line_of(decision, reference.barrel), reference.of == "price"
    currency = decision.appraisal.evaluation.currency
    filled = {p: value for p, value in line.filled.items() if _of_price(p) or not of_price}
    unfilled = [part for part in line.unfilled if _of_price(part) or not of_price]
    notes = [] if filled else ["Nothing is put in."]
    no_more = [part for part, value in filled.items() if not value]
    if no_more:
        notes.append(f"Nothing more is put in, as no other states more: {missing_list(no_more)}.")
    if unfilled:
        notes.append(
            f"Not included, as no other states it for like jobs: {missing_list(unfilled)}."
        )
        if line.may_grow is not None:
            room = money_text(line.may_grow, currency)
            notes.append(f"That may cost up to {room} before the order changes.")
    value = line.levelled_price if of_price else line.levelled
    parts = ("price",) if of_price else tuple(words.PARTS)
    title = "Price" if of_price else "Cost over life"
    put_in = () if value is None else _put_in(decision, line, filled)
    return Working(
        title=f"{title}, levelled: {full_name(decision.appraisal, line.barrel)}",
        result="not stated" if value is None else money_text(value, currency),
        formula=LEVELLED.format("price" if of_price else "cost over life"),
        lines=(*_known(decision, line, parts), *put_in),
        notes=tuple(notes),
    )


def _line_of(decision: Decision, barrel: str) -> OrderLine:
    line = next((line for line in decision.order if line.barrel == barrel), None)
    if line is None:
        raise KeyError(barrel)
    return line


def _known(decision: Decision, line: OrderLine, parts: Iterable[str]) -> Iterator[Line]:
    """Yield what each of some parts of the cost comes to, as far as it is known."""
    cost, currency = decision.cost[line.barrel], decision.appraisal.evaluation.currency
    for name in parts:
        part = cost.parts[name]
        # A price without the machine's is none, but what is known of it is counted.
        value = sum(one.counted for one in part.parts) if name == "price" else part.counted
        said = [] if part.standing == "stated" else [words.STANDINGS[part.standing]]
        if part.missing:
            said = [*said[: part.value is not None], f"not stated: {missing_list(part.missing)}"]
        opens = AmountRef("cost", (MachineRef(line.barrel),), name)
        yield Line(
            words.PARTS[name],
            money_text(value, currency),
            "; ".join(said),
            opens if part.parts or part.formula or part.missing else None,
        )


def _put_in(decision: Decision, line: OrderLine, filled: Mapping[str, float]) -> Iterator[Line]:
    """Yield what each part is levelled by, and who states so much."""
    currency = decision.appraisal.evaluation.currency
    for part, value in filled.items():
        if not value:
            continue
        place = place_of_datum(decision, line.barrel, [part]) if _of_price(part) else None
        yield Line(
            f"{_called(decision, part)}, levelled",
            money_text(value, currency),
            _said(decision, line, part),
            _stated_in(decision, line.filled_by[part], part),
            () if place is None else place.path,
            is_entered=False,
        )


def _of_price(part: str) -> bool:
    return part.startswith("price.")


def _called(decision: Decision, part: str) -> str:
    name, _, of = part.partition(".")
    if any(job.id == of for job in decision.appraisal.jobs):
        return f"{words.PARTS[name]}, {job_name(decision.appraisal, of)}"
    text = words.NAMES.get(of or name) or missing_text(part)
    return text[:1].upper() + text[1:]


def _said(decision: Decision, line: OrderLine, part: str) -> str:
    other = full_name(decision.appraisal, line.filled_by[part])
    if part == "residual":
        return f"residual share of the machine's price of {other}"
    copies = decision.cost[line.barrel].copies
    once = part.removeprefix("price.") in ONCE
    times = _of_price(part) and not once and copies > 1
    each = f", for each of {counted(copies, 'machine')}" if times else ""
    return f"the highest that another states: {other}{each}"


def _stated_in(decision: Decision, barrel: str, part: str) -> AmountRef | None:
    """Return the amount by which a part is levelled, None where nothing more is told of it."""
    name, _, of = part.partition(".")
    machines = (MachineRef(barrel),)
    if _of_price(part):
        offer = decision.offer(barrel)
        # What we filled in goes before what the offer leaves out.
        names = [*(() if all(p.of != of for p in offer.filled_in) else ("fill_in",)), of, "scope"]
        tried = [(AmountRef("offer", machines, name), offer.named.get(name)) for name in names]
    else:
        tried = [(AmountRef("cost", machines, name), decision.cost[barrel].parts.get(name))]
    for reference, amount in tried:
        found = None if amount is None else _within(reference, amount, of)
        if found is not None:
            return found
    return None


def _within(reference: AmountRef, amount: Amount, of: str) -> AmountRef | None:
    """Return an amount of that name: this one, or one that this is the sum of."""
    if amount.of == of:
        return reference if amount.formula or amount.parts else None
    for place, part in enumerate(amount.parts):
        if part.of == of and (part.formula or part.parts):
            return AmountRef(reference.of, reference.machines, reference.name, (place,))
    return None
