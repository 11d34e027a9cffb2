"""From an interval to a state, with the reasons; the worst end; the readings joined."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

from .quantities import Span

# Worst first: the order in which a cell's state is decided.
SEVERITY = ("outside", "near_edge", "not_stated", "inside")
ENDS = ("nominal", "smallest", "largest")


@dataclass(frozen=True)
class Measured:
    """A criterion before it is judged: its value, its edges and what is known of them."""

    key: str
    basis: str
    span: Span | None = None
    missing: tuple[str, ...] = ()
    allowed: tuple[float | None, float | None] = (None, None)
    comfort: tuple[float | None, float | None] = (None, None)
    # Whether each hard edge is from memory and nobody stands by it.
    unconfirmed: tuple[bool, bool] = (False, False)
    # An estimated demand or an assumed datum: no worse than near edge, and it waits for nothing.
    assumed: bool = False
    # A lower bound of the true value: above the edge outside, else not stated.
    lower_bound: bool = False
    # For criteria without numbers, or whose state follows otherwise.
    state: str | None = None
    because: tuple[str, ...] = ()


@dataclass(frozen=True)
class Verdict:
    key: str
    basis: str
    state: str
    measured: Measured
    because: tuple[str, ...] = ()
    soft: bool = False
    at: str = "nominal"
    span: Span | None = None
    margin: float | None = None
    comfort_margin: float | None = None
    open: bool = False


def margin(span: Span | None, edges: tuple[float | None, float | None]) -> float | None:
    """min(high/value, value/low) - 1 over the limits that exist."""
    if span is None or span.value == 0.0:
        return None
    if span.value == inf:
        return -1.0
    low, high = edges
    found = [] if high is None else [high / span.value - 1]
    found += [] if low is None else [span.value / low - 1]
    return min(found, default=None)


def above(value: float, edge: float) -> bool:
    """Beyond an edge by more than rounding: "touching counts as in"."""
    return value > edge * (1 + 1e-12)


def below(value: float, edge: float) -> bool:
    return value < edge * (1 - 1e-12)


def within(value: float, edges: tuple[float | None, float | None]) -> bool:
    low, high = edges
    return not (low is not None and below(value, low)) and not (
        high is not None and above(value, high)
    )


def crosses(span: Span, edges: tuple[float | None, float | None]) -> bool:
    return any(
        edge is not None and below(span.low, edge) and above(span.high, edge) for edge in edges
    )


def verdict(measured: Measured, at: str) -> Verdict:
    state, because = _state(measured)
    side = _beyond(measured)
    if measured.lower_bound and measured.span is not None and side is None:
        state, because = "not_stated", ()
    if state == "outside" and side is not None:
        # "`beyond_unconfirmed` stands instead of `soft`."
        if measured.unconfirmed[side]:
            state, because = "near_edge", ("beyond_unconfirmed",)
        elif measured.assumed:
            state, because = "near_edge", ("soft",)
    return Verdict(
        measured.key,
        measured.basis,
        state,
        measured,
        because,
        soft=state in ("inside", "near_edge") and (measured.assumed or any(measured.unconfirmed)),
        at=at,
        span=measured.span,
        margin=margin(measured.span, measured.allowed),
        comfort_margin=margin(measured.span, _comfort(measured)),
        open=state == "not_stated" and bool(measured.missing or not measured.lower_bound),
    )


def _comfort(measured: Measured) -> tuple[float | None, float | None]:
    """Comfort edges; the hard edge where there is none."""
    pairs = zip(measured.comfort, measured.allowed, strict=True)
    low, high = (hard if inner is None else inner for inner, hard in pairs)
    return low, high


def _beyond(measured: Measured) -> int | None:
    """The hard edge (0 low, 1 high) beyond which the whole interval lies."""
    if measured.span is None:
        return None
    low, high = measured.allowed
    if high is not None and above(measured.span.low, high):
        return 1
    if low is not None and below(measured.span.high, low):
        return 0
    return None


def _state(measured: Measured) -> tuple[str, tuple[str, ...]]:
    if measured.state is not None:
        return measured.state, measured.because
    span = measured.span
    if span is None or (measured.missing and not measured.lower_bound):
        return "not_stated", ()
    if _beyond(measured) is not None:
        return "outside", ()
    comfort = _comfort(measured)
    if within(span.low, comfort) and within(span.high, comfort):
        return "inside", ()
    because = []
    at_ease = within(span.value, comfort)
    if not at_ease and within(span.value, measured.allowed):
        because.append("comfort")
    if crosses(span, measured.allowed) or (at_ease and crosses(span, comfort)):
        because.append("uncertainty")
    return "near_edge", tuple(because)


def worse(verdict: Verdict) -> tuple[int, float]:
    """The worst: state, then margin; no number at all is worse than any."""
    ease = -inf if verdict.margin is None else verdict.margin
    return SEVERITY.index(verdict.state), ease


def worst_end(verdicts: list[Verdict]) -> Verdict:
    """ "All ends are appraised; the worst counts (state, then margin, then nominal first)"."""
    return min(verdicts, key=lambda each: (*worse(each), ENDS.index(each.at)))


def joined(worst: list[Verdict], by_size: list[dict[str, Verdict]], why: str | None) -> Verdict:
    """Join one criterion over the readings: the worst end of each, and all ends of each.

    "The common state, else near edge; margin and `at` are the worst reading's, value and interval
    are taken at that end in all readings, `because` is the union."
    """
    chosen = min(worst, key=worse)
    agreed = len({each.state for each in worst}) == 1
    because = tuple(dict.fromkeys(reason for each in worst for reason in each.because))
    if not agreed and why is not None:
        because += (why,)
    spans = [ends[chosen.at].span for ends in by_size if chosen.at in ends]
    known = [span for span in spans if span is not None]
    span = None
    if spans and spans[0] is not None:
        span = Span(
            spans[0].value, min(each.low for each in known), max(each.high for each in known)
        )
    return replace(
        chosen,
        state=chosen.state if agreed else "near_edge",
        because=because,
        span=span,
        soft=any(each.soft for each in worst),
        open=agreed and chosen.open,
    )


def disputed(verdict: Verdict) -> Verdict:
    """ "No better and no worse than near edge"; "what is not stated stays so"."""
    if verdict.state == "not_stated":
        return verdict
    return replace(verdict, state="near_edge", because=(*verdict.because, "disputed"))


def binding(state: str, verdicts: list[Verdict], required: tuple[str, ...]) -> str | None:
    """Return the criterion that binds a cell, from the criteria in table order."""
    if all(each.state == "not_stated" for each in verdicts):
        return None
    if state == "not_stated":
        return next(each.key for each in verdicts if each.open and each.key in required)
    found = [each for each in verdicts if each.state == state]
    if not found:
        return None
    if state == "near_edge":
        # "What is beyond an unconfirmed limit comes first": the barrel waits for it.
        found = [each for each in found if "beyond_unconfirmed" in each.because] or found
    order = ("physical", "resin", "practice")

    def place(each: Verdict) -> tuple[int, bool, float]:
        rank = order.index(each.basis) if state == "outside" else 0
        numberless = each.margin is None
        first = numberless if state == "inside" else not numberless
        # Margins equal but for rounding are ties: table order.
        return rank, first, round(each.margin, 9) if each.margin is not None else 0.0

    return min(found, key=place).key


def cell_state(verdicts: list[Verdict], required: tuple[str, ...]) -> str:
    """Outside if any stated criterion is; near edge; not stated if a required one is; inside."""
    states = {each.state for each in verdicts}
    if "outside" in states:
        return "outside"
    if "near_edge" in states:
        return "near_edge"
    if any(each.state == "not_stated" and each.key in required for each in verdicts):
        return "not_stated"
    return "inside"
