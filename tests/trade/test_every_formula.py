"""What holds for every formula of the trade, found by walking the package."""

from __future__ import annotations

import importlib
import inspect
import json
import pkgutil
import re
from pathlib import Path
from typing import get_args

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from evenbarrel import trade
from evenbarrel.resources import read_text
from evenbarrel.trade.melt import TaitSet
from evenbarrel.trade.sources import SOURCES, Kind

WITHOUT_FORMULAS = {"formula", "sources"}
NUMBER_KINDS = {"N", "N | float"}
OTHER_ARGUMENTS = {
    "TaitSet": TaitSet("polynomial", (9.3805e-4, 3.3086e-7, 6.6910e-10, 2.5001e8, 4.1815e-3)),
    "Shape": "plate",
    "Target": "mean",
    "Package": "chrome",
    "Degree": "yes",
    "Sequence[float]": (450.0, 500.0),
}


def _functions():
    for module in pkgutil.walk_packages(trade.__path__, f"{trade.__name__}."):
        if module.name.removeprefix(f"{trade.__name__}.") in WITHOUT_FORMULAS:
            continue
        loaded = importlib.import_module(module.name)
        for name, function in inspect.getmembers(loaded, inspect.isfunction):
            if function.__module__ == loaded.__name__ and not name.startswith("_"):
                yield function


FUNCTIONS = tuple(_functions())
FORMULAS = tuple(
    function for function in FUNCTIONS if inspect.signature(function).return_annotation == "N"
)


def _kinds(function) -> dict[str, str]:
    signature = inspect.signature(function)
    return {name: parameter.annotation for name, parameter in signature.parameters.items()}


def _arguments(function, values):
    """Every numeric argument from `values`, in turn; the others from the table above."""
    supply = iter(values)
    arguments = {}
    for name, kind in _kinds(function).items():
        if kind in NUMBER_KINDS:
            arguments[name] = next(supply)
        elif kind == "Sequence[N]":
            arguments[name] = (next(supply), next(supply))
        else:
            arguments[name] = OTHER_ARGUMENTS[kind]
    return arguments


def _number_of_values(function) -> int:
    return sum(
        {"Sequence[N]": 2}.get(kind, int(kind in NUMBER_KINDS))
        for kind in _kinds(function).values()
    )


def _sections(function) -> dict[str, str]:
    text = inspect.getdoc(function)
    parts = re.split(r"^(Parameters|Returns|Valid range:|Source:)", text, flags=re.MULTILINE)
    return {"formula": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


def test_the_walk_finds_the_package():
    assert len(FUNCTIONS) > 60
    assert len(FORMULAS) == len(FUNCTIONS) - 2, "only the two tables of packages take no number"


def test_documentation_names_the_parameters_their_units_and_a_source(for_each):
    @for_each(FUNCTIONS)
    def _(function):
        sections = _sections(function)
        documented = re.findall(
            r"^    (\w+): (?:.|\n     )*?\[\S.*\]$", sections["Parameters"], re.M
        )
        assert documented == list(inspect.signature(function).parameters)
        assert re.search(r"\[\S.*\]", sections["Returns"])
        assert sections["Valid range:"].strip()
        assert sections["Source:"].strip() in SOURCES


def test_any_float_gives_a_float_without_warning(for_each):
    @for_each(FORMULAS)
    def _(function):
        for value in (0.0, -1.0, -2.5, 1.0, 1e300, -1e300, np.inf, 1, np.float64(2)):
            result = function(**_arguments(function, [value] * _number_of_values(function)))
            assert type(result) is float, value


ONE_KNOWN_IS_ENOUGH = {"worst_attack"}
"""Of two parts one that is known to be unsuited decides, whatever the other is."""


def test_nan_in_any_place_comes_out_as_nan(for_each):
    @for_each(one for one in FORMULAS if one.__name__ not in ONE_KNOWN_IS_ENOUGH)
    def _(function):
        count = _number_of_values(function)
        for place in range(count):
            values = [np.nan if index == place else 0.5 for index in range(count)]
            assert np.isnan(function(**_arguments(function, values))), place


def test_an_array_gives_what_a_loop_of_floats_gives(for_each):
    @for_each(FORMULAS)
    # Seven draws an example, and no branch hangs on which: a few of them are enough.
    @settings(max_examples=settings.default.max_examples // 5)
    @given(seed=st.integers(0, 2**32 - 1), scale=st.sampled_from([1e-3, 1.0, 1e3]))
    def _(function, seed, scale):
        draw = np.random.default_rng(seed)
        columns = draw.uniform(0.01, 1.0, (_number_of_values(function), 7)) * scale
        together = function(**_arguments(function, columns))
        one_by_one = [function(**_arguments(function, map(float, row))) for row in columns.T]
        np.testing.assert_allclose(together, one_by_one, rtol=1e-12)


def test_floats_and_arrays_broadcast(for_each):
    @for_each(FORMULAS)
    def _(function):
        count = _number_of_values(function)
        first = np.array([[0.5], [0.7]])
        values = [first, *([0.3] * (count - 2)), np.array([0.2, 0.4, 0.6])][-count:]
        shape = (2, 3) if count > 1 else (3,)
        assert function(**_arguments(function, values)).shape == shape


def test_every_source_is_listed_once_and_says_what_it_is():
    kinds = get_args(Kind)
    for key, source in SOURCES.items():
        assert source.key == key
        assert source.title
        assert source.where
    listed = [(kinds.index(one.kind), _by_number(one.title)) for one in SOURCES.values()]
    assert listed == sorted(listed)
    practice = [source for source in SOURCES.values() if source.kind == "common_practice"]
    assert [source.title for source in practice] == ["common practice, no source"]


def _by_number(title):
    return re.sub(r"\d+", lambda digits: digits[0].zfill(6), title.casefold())


def test_every_rule_names_its_source_and_every_source_is_named():
    program = Path(trade.__file__).parents[1]
    texts = [path.read_text(encoding="utf-8") for path in program.rglob("*.py")]
    named = {key for text in texts for key in re.findall(r"^ *Source: (\w+)$", text, re.M)}
    assert named == {key for key, source in SOURCES.items() if source.is_rule}


def test_every_published_number_of_the_resin_table_leads_to_its_source():
    table = json.loads(read_text("resins.json"))
    published, others = set(), set()
    for row in (*(entry["resin"] for entry in table["resins"]), *table["fillers"]):
        for name, value in row.items():
            origin = row.get("origins", {}).get(name)
            (published if origin == "published" else others).update(_sources_in(value))
    windows = {window["source"] for window in table["windows"]}
    known = {text for source in SOURCES.values() for text in source.data}
    assert published <= known <= published | others | windows


def _sources_in(value):
    if isinstance(value, dict) and "source" in value:
        return {value["source"]}
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return {text for one in inner for text in _sources_in(one)}
