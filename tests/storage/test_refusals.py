from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.resin import Resin
from evenbarrel.storage import files
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import (
    parse_bid,
    parse_evaluation,
    read_evaluation,
    write_evaluation,
)
from evenbarrel.storage.versions import CURRENT


def quantity(magnitude: Any, unit: str) -> dict[str, Any]:
    return {"magnitude": magnitude, "unit": unit}


def with_barrel(**fields: Any) -> dict[str, Any]:
    barrel = {"id": "b1u1a", **fields}
    unit = {"id": "u1", "barrels": [barrel]}
    return {"bids": [{"id": "b1", "supplier": "Nordquell", "units": [unit]}]}


def content(data: dict[str, Any]) -> bytes:
    return json.dumps({"format_version": 1, **data}).encode()


def is_plain(sentence: str) -> bool:
    jargon = ("pydantic", "Traceback", "http", "\n", "_type", "Input ", "dict", "NoneType")
    return not any(word in sentence for word in jargon)


BARREL = "bid 'b1' (Nordquell), unit 'u1', barrel 'b1u1a'"

FIELDS: dict[str, tuple[dict[str, Any], str, str]] = {
    "unit of another kind": (
        with_barrel(screw_diameter=quantity("50", "bar")),
        f"{BARREL}, screw diameter",
        "'bar' is not a unit it can have; it takes mm, cm, in",
    ),
    "unit of 500 letters": (
        with_barrel(screw_diameter=quantity("50", "b" * 500)),
        f"{BARREL}, screw diameter",
        f"'{'b' * 99}…' is not a unit it can have; it takes mm, cm, in",
    ),
    "number where text is expected": (
        with_barrel(screw_diameter=quantity(50, "mm")),
        f"{BARREL}, screw diameter, magnitude",
        'must be text such as "41.5", not the number 50',
    ),
    "magnitude with an exponent": (
        with_barrel(stroke=quantity("5e1", "mm")),
        f"{BARREL}, stroke, magnitude",
        "must be plain decimal digits such as \"41.5\", not '5e1'",
    ),
    "digits of another script": (
        with_barrel(stroke=quantity("٤١", "mm")),
        f"{BARREL}, stroke, magnitude",
        "must be plain decimal digits such as \"41.5\", not '٤١'",
    ),
    "zero": (
        with_barrel(stroke=quantity("0", "mm")),
        f"{BARREL}, stroke",
        "0 is impossible: it must be above zero, or left out when not stated",
    ),
    "below absolute zero": (
        {"jobs": [{"id": "j1", "name": "Lid", "melt_temperature": quantity("-300", "degC")}]},
        "job 'j1' (Lid), melt temperature",
        "-300 degC is below absolute zero",
    ),
    "out of all proportion": (
        with_barrel(stroke=quantity("9" * 20, "mm")),
        f"{BARREL}, stroke",
        f"{'9' * 20} mm is impossible: the number is out of all proportion",
    ),
    "hours in kilowatts": (
        {"cost": {"hours_available": quantity("6000", "kW")}},
        "cost, hours available",
        "'kW' is not a unit it can have; it takes s, min, h",
    ),
    "number where a quantity is expected": (
        with_barrel(screw_diameter=50),
        f"{BARREL}, screw diameter",
        'must be written as {"magnitude": "41.5", "unit": "mm"}, not the number 50',
    ),
    "text where money is expected": (
        {"bids": [{"id": "b1", "freight": "3000"}]},
        "bid 'b1', freight",
        'must be written as {"amount": "185000", "currency": "EUR"}, not \'3000\'',
    ),
    "unknown field": (
        with_barrel(screw_diamter=quantity("50", "mm")),
        BARREL,
        "there is no field 'screw_diamter'; did you mean 'screw_diameter'?",
    ),
    "unknown field like no other": ({"xyzzy": 1}, "", "there is no field 'xyzzy'"),
    "missing id": ({"bids": [{"supplier": "Nordquell"}]}, "bid 1, id", "it is missing"),
    "id with a space": (
        {"resins": [{"id": "a b"}]},
        "resin 'a b', id",
        "may hold only letters, digits and _ . -, 64 at most, not 'a b'",
    ),
    "duplicate id": ({"resins": [{"id": "pp"}] * 2}, "", "two resins have the id 'pp'"),
    "dangling resin of a barrel": (
        with_barrel(reference_resin="ps"),
        "",
        "barrel 'b1u1a', reference resin names the resin 'ps', which is not among the resins",
    ),
    "dangling resin of a job": (
        {"jobs": [{"id": "j1", "resin": "ps"}]},
        "",
        "job 'j1', resin names the resin 'ps', which is not among the resins",
    ),
    "assignment to no barrel": (
        {"assignment": [{"job": "j1", "barrel": "b9"}]},
        "",
        "assignment names the barrel 'b9', which is not in the evaluation",
    ),
    "crossed limits": (
        {"limits": {"general_low": 0.9}},
        "limits",
        "general low (0.9) and general high (0.8) are crossed",
    ),
    "a limit as text": (
        {"limits": {"ring_share": "0.1"}},
        "limits, ring share",
        "must be a number, not '0.1'",
    ),
    "a limit's entry without its number": (
        {"limits": {"ring_share": {"note": "ours"}}},
        "limits, ring share, value",
        "it is missing",
    ),
    "unknown criterion": (
        {"limits": {"required": ["beauty"]}},
        "limits",
        "required names 'beauty', which is not a criterion",
    ),
    "half-width of an unknown route": (
        {"uncertainty": {"output_factor": {"guess": 0.1}}},
        "uncertainty",
        "output_factor has no route 'guess'; it has "
        "air_shot, own, data_sheet, melt_density, trade_table",
    ),
    "share above one": (
        with_barrel(feed_fill=2),
        f"{BARREL}, feed zone fill",
        "the number 2 is out of range: it must be at most 1",
    ),
    "no copy": (
        {"assignment": [{"job": "j", "barrel": "b", "copy": 0}]},
        "assignment 1, copy",
        "the number 0 is out of range: it must be at least 1",
    ),
    "half a cavity": (
        {"jobs": [{"id": "j1", "cavities": 2.5}]},
        "job 'j1', cavities",
        "must be a whole number, not the number 2.5",
    ),
    "yes for true": (
        {"cost": {"real": "yes"}},
        "cost, real",
        "must be true or false, not 'yes'",
    ),
    "null for a text": ({"title": None}, "title", "must be text, not null"),
    "true for a text": ({"title": True}, "title", "must be text, not true"),
    "set for a list": ({"jobs": {"id": "j1"}}, "jobs", "must be a list, not a set of fields"),
    "text for a job": (
        {"jobs": ["lid"]},
        "job 1",
        "must be a set of named fields in braces, not 'lid'",
    ),
    "list for a set": (
        {"cost": []},
        "cost",
        "must be a set of named fields in braces, not a list",
    ),
    "date in words": (
        {"as_of": "3 May 2026"},
        "as of",
        "must be a date such as 2026-03-02, not '3 May 2026'",
    ),
    "currency in small letters": (
        {"currency": "eur"},
        "currency",
        "must be three capital letters such as EUR, not 'eur'",
    ),
    "none of the choices": (
        {"display_units": "imperial"},
        "display units",
        "'imperial' is not one it can have; it takes 'metric' or 'us'",
    ),
    "a Tait equation that lacks a coefficient": (
        {"resins": [{"id": "ps", "tait": {"form": "polynomial", "coefficients": [1, 2]}}]},
        "resin 'ps', tait",
        "the polynomial form takes 5 coefficients, not 2",
    ),
    "more filler than compound": (
        {
            "resins": [
                {
                    "id": "ps",
                    "fillers": [
                        {"name": "a", "mass_share": 0.6, "density": quantity("2.5", "g/cm3")},
                        {"name": "b", "mass_share": 0.6, "density": quantity("2.5", "g/cm3")},
                    ],
                }
            ]
        },
        "resin 'ps'",
        "the fillers make up more than the whole compound",
    ),
    "very many things": (
        {"jobs": [3] * 2_000},
        "job 1",
        "must be a set of named fields in braces, not the number 3 (and 1999 more)",
    ),
    "several things": (
        {"title": 1, "buyer": 2, "site": 3, "currency": 4},
        "title",
        "must be text, not the number 1 (and 3 more)",
    ),
    "a value of several lines": (
        {"display_units": "met\nric\u2028" + "x" * 200},
        "display units",
        f"'met ric⟨U+2028⟩{'x' * 44}…' is not one it can have; it takes 'metric' or 'us'",
    ),
}


def test_a_wrong_field_is_named_with_what_is_wrong(for_each: Any) -> None:
    @for_each(FIELDS.values())
    def _(data: dict[str, Any], field: str, problem: str) -> None:
        with pytest.raises(FileRefused) as refused:
            parse_evaluation(content(data), "quotes.json")
        assert (refused.value.name, refused.value.field) == ("quotes.json", field)
        assert refused.value.problem == problem
        place = f"{field}: " if field else ""
        assert str(refused.value) == f"quotes.json: {place}{problem}"
        assert is_plain(str(refused.value))


TEXTS: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "it is empty"),
    "blank": (b" \n\t", "it is empty"),
    "a byte order mark alone": (b"\xef\xbb\xbf", "it is empty"),
    "cut in a text": (
        b'{"format_version": 1,\n"title": "Two',
        "it ends in the middle, after line 2",
    ),
    "cut in a list": (b'{"format_version": 1, "jobs": [', "it ends in the middle, after line 1"),
    "binary": (b"PK\x03\x04\x00\x00", "it is not a text file"),
    "UTF-16": ('{"format_version": 1}'.encode("utf-16"), "it is UTF-16 text; save it as UTF-8"),
    "Latin-1": (
        '{"format_version": 1,\n"title": "Gehäuse"}'.encode("latin-1"),
        "it is not UTF-8 text: line 2 holds a byte no text has",
    ),
    "no JSON": (b"title = Two", "it is not valid JSON at line 1, column 1"),
    "two documents": (b"{}\n{}", "it goes on after its end, at line 2, column 1"),
    "a list": (b"[]", "it must be a set of named fields in braces"),
    "a number": (b"12", "it must be a set of named fields in braces"),
    "NaN alone": (b"NaN", "it must be a set of named fields in braces"),
    "duplicate key": (
        b'{"format_version": 1, "title": "", "title": "a"}',
        "title: it is given twice",
    ),
    "duplicate version": (
        b'{"format_version": 1, "format_version": 2}',
        "format_version: it is given twice",
    ),
    "NaN": (
        b'{"format_version": 1, "cost": {"discount_rate": NaN}}',
        "cost, discount rate: NaN is not a number",
    ),
    "Infinity": (
        b'{"format_version": 1, "cost": {"discount_rate": -Infinity}}',
        "cost, discount rate: -Infinity is not a number",
    ),
    "a float beyond floats": (
        b'{"format_version": 1, "cost": {"discount_rate": 1e999}}',
        "cost, discount rate: 1e999 is out of proportion",
    ),
    "a whole number beyond Python's limit": (
        b'{"format_version": 1, "cost": {"discount_rate": %s}}' % (b"9" * 5000),
        "cost, discount rate: a whole number of 5000 digits is out of proportion",
    ),
    "deep": (
        b'{"format_version": 1, "jobs": ' + b"[" * 60 + b"]" * 60 + b"}",
        "jobs: it is nested far deeper than any evaluation",
    ),
    "deeper than the stack": (b"[" * 200_000, "it is nested far deeper than any evaluation"),
    "lone surrogate": (
        b'{"format_version": 1, "title": "\\ud83d"}',
        "title: it holds half of a character",
    ),
    "lone surrogate in a name": (
        b'{"format_version": 1, "cost": {"\\ud83d": 1}}',
        "cost: it holds a field whose name has half of a character",
    ),
    "newer": (
        b'{"format_version": 7}',
        "format_version: written by a newer version of Evenbarrel; "
        f"format 7, this version reads up to {CURRENT}",
    ),
    "no version": (b'{"title": ""}', "format_version: it is missing"),
    "version as text": (b'{"format_version": "1"}', "format_version: it must be a whole number"),
    "version true": (b'{"format_version": true}', "format_version: it must be a whole number"),
    "version zero": (b'{"format_version": 0}', "format_version: it must be a whole number"),
}


def test_what_is_no_file_of_this_program_is_refused_in_one_line(for_each: Any) -> None:
    @for_each((*case, parse) for case in TEXTS.values() for parse in [parse_evaluation, parse_bid])
    def _(data: bytes, words: str, parse: Callable[[bytes, str], object]) -> None:
        with pytest.raises(FileRefused) as refused:
            parse(data, "quotes.json")
        sentence = str(refused.value)
        assert sentence.startswith("quotes.json: ")
        # A bid has neither jobs nor a cost: its fields are named all the same, as they are written.
        assert words in sentence
        assert is_plain(sentence)


def test_a_byte_order_mark_is_tolerated() -> None:
    evaluation = parse_evaluation(b"\xef\xbb\xbf" + content({"title": "Łąka"}), "quotes.json")
    assert evaluation.title == "Łąka"


def test_a_bid_is_told_from_an_evaluation() -> None:
    with pytest.raises(FileRefused, match="it holds a bid on its own, not an evaluation"):
        parse_evaluation(content({"id": "b1", "units": []}), "b1.json")
    with pytest.raises(FileRefused, match="it holds an evaluation, not a bid"):
        parse_bid(content({"bids": []}), "all.json")


def test_a_dangling_resin_of_a_bid_is_refused() -> None:
    bid = with_barrel(plasticising_resin="ps")["bids"][0]
    with pytest.raises(FileRefused) as refused:
        parse_bid(content(bid), "b1.json")
    assert str(refused.value) == (
        "b1.json: barrel 'b1u1a', plasticising resin names the resin 'ps', "
        "which is not among the resins"
    )


def test_a_file_that_cannot_be_opened_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(FileRefused) as refused:
        read_evaluation(tmp_path / "none.json")
    assert str(refused.value) == f"none.json: there is no such file in {tmp_path}"
    with pytest.raises(FileRefused) as refused:
        read_evaluation(tmp_path)
    assert str(refused.value) == f"{tmp_path.name}: it is a folder, not a file"
    with pytest.raises(FileRefused, match="its name holds a character no file name can have"):
        read_evaluation(tmp_path / "a\0b.json")
    with pytest.raises(FileRefused, match="its name is too long"):
        read_evaluation(tmp_path / ("x" * 300))

    locked = tmp_path / "locked.json"
    locked.write_bytes(content({}))

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(FileRefused) as refused:
        read_evaluation(locked)
    assert str(refused.value) == "locked.json: it cannot be read: you have no permission for it"


def test_a_file_too_large_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert files.LARGEST == 64 * 1024 * 1024
    monkeypatch.setattr(files, "LARGEST", 1024 * 1024)
    path = tmp_path / "huge.json"
    path.write_bytes(content({}) + b" " * 1024 * 1024)
    with pytest.raises(FileRefused) as refused:
        read_evaluation(path)
    assert str(refused.value) == "huge.json: it is larger than 1 MB"


def test_a_file_name_of_two_lines_is_told_on_one() -> None:
    with pytest.raises(FileRefused) as refused:
        parse_evaluation(b"", "two\nlines.json")
    assert str(refused.value) == "two lines.json: it is empty"


def rows(name: str, count: int) -> bytes:
    return b'{"format_version": 2, "%s": [' % name.encode() + b",".join([b"{}"] * count) + b"]}"


MANY = {
    "resins": b'{"format_version": 2, "resins": ['
    + b",".join(b'{"id": "r%d"}' % n for n in range(501))
    + b"]}",
    "jobs": b'{"format_version": 2, "jobs": ['
    + b",".join(b'{"id": "j%d"}' % n for n in range(2001))
    + b"]}",
    "barrels": b'{"format_version": 2, "bids": [{"id": "b", "units": [{"id": "u", "barrels": ['
    + b",".join(b'{"id": "a%d"}' % n for n in range(20_001))
    + b"]}]}]}",
    "title": b'{"format_version": 2, "title": "' + b"x" * 2001 + b'"}',
    "key": b'{"format_version": 2, "' + b"x" * 10**6 + b'": 1}',
    "answers": rows("answers", 20_001),
    "units": b'{"format_version": 2, "bids": [{"units": [' + b"{}," * 20_000 + b"{}]}]}",
    "fields": b'{"format_version": 2' + b"".join(b', "k%d": 1' % n for n in range(1000)) + b"}",
    "text": b'{"format_version": 2, "title": "' + b"x" * 60_001 + b'"}',
    "values": b'{"format_version": 2, "scope_items": [' + b"1," * 3 * 10**6 + b"1]}",
}


@pytest.mark.parametrize("what", MANY)
def test_more_than_any_programme_has_is_refused_in_one_line(what: str) -> None:
    with pytest.raises(FileRefused) as refused:
        parse_evaluation(MANY[what], "all.json")
    assert "\n" not in str(refused.value)
    assert len(str(refused.value)) < 400


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("answers", "answers: there are 20001; a list takes at most 20000"),
        ("units", "bids: there are 20001 units; a file takes at most 20000"),
        ("fields", "it has 1001 fields"),
        ("text", "title: it is a text of 60001 characters"),
        ("key", "a field whose name has 1000000 characters"),
        ("values", "it holds more than 3000000 values"),
    ],
)
def test_what_is_too_much_is_said_with_its_number(what: str, words: str) -> None:
    with pytest.raises(FileRefused, match=words):
        parse_evaluation(MANY[what], "all.json")


def test_what_could_not_be_opened_again_is_not_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "all.evenbarrel.json"
    monkeypatch.setattr(files, "LARGEST", 10**6)
    resins = tuple(Resin(id=f"r{n}", name="x" * 2000) for n in range(500))
    with pytest.raises(FileRefused, match="larger than"):
        write_evaluation(Evaluation(resins=resins), path)
    assert not path.exists()
