"""Two revisions of an offer: what is stated otherwise, and what that does."""

from __future__ import annotations

from evenbarrel.decision.revision import revision

from .conftest import quantity


def revised(decided, make_bid, as_money, **of_now):
    before = make_bid("b", freight=as_money(5000))
    now = make_bid("c", revises="b", **of_now)
    other = make_bid("d", freight=None)
    return revision(decided(before, now, other).appraisal.evaluation, "c")


def test_numbers_verdicts_and_price_that_are_other(decided, make_bid, as_money):
    """Half the stroke sweeps 196 cm³, of which 160 cm³ is 81 %; unconfirmed limits never shut."""
    barrel = {"revises": "ba", "stroke": quantity("100 mm"), "rated_shot_mass": None}
    found = revised(decided, make_bid, as_money, barrel=barrel, unit={"price": as_money(90_000)})
    assert {(one.field, one.of.id) for one in found.numbers} == {
        ("freight", "c"),
        ("supplier", "c"),
        ("price", "cu"),
        ("stroke", "ca"),
        ("rated_shot_mass", "ca"),
    }
    assert [(one.job, one.before.state, one.after.state) for one in found.verdicts] == [
        ("j0", "inside", "near_edge")
    ]
    (price,) = found.prices
    assert (price.before.value, price.after.value) == (114_000.0, 103_000.0)
    changed = {name for name, (a, b) in price.parts.items() if a.value != b.value}
    assert changed == {"machine", "freight"}


def test_screws_without_a_counterpart_are_named_and_compared_with_none(decided, make_bid, as_money):
    found = revised(decided, make_bid, as_money, barrels=[{}, {"revises": "ba"}])
    assert [one.id for one in found.added] == ["ca"]
    assert found.left == ()
    assert [(old.id, new.id) for old, new in found.pairs] == [("ba", "cb")]


def test_an_offer_of_its_own_is_beside_none(decided, make_bid):
    assert revision(decided(make_bid("b")).appraisal.evaluation, "b") is None
