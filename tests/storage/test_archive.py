"""Archives: opened again they are equal, and what was changed in one is named; bad ones refused."""

from __future__ import annotations

import json
from contextlib import suppress
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

import pytest
from hypothesis import given
from hypothesis import strategies as some

from evenbarrel.storage.archive import (
    CONTENTS,
    EVALUATION,
    MOST_MEMBERS,
    MOST_UNPACKED,
    archive_bytes,
    parse_archive,
)
from evenbarrel.storage.file_errors import FileRefused

NAME = "kept.zip"
MADE = {"evaluation.pdf": b"%PDF words", "results.json": b"{}\n"}


@pytest.fixture(scope="module")
def archive(sample_evaluation) -> bytes:
    return archive_bytes(sample_evaluation, MADE, "1.0", "0" * 64)


def _members(data: bytes) -> dict[str, bytes]:
    with ZipFile(BytesIO(data)) as read:
        return {name: read.read(name) for name in read.namelist()}


def _zip(members, compression: int = ZIP_DEFLATED) -> bytes:
    out = BytesIO()
    with ZipFile(out, "w", compression) as written:
        for name, content in members:
            written.writestr(ZipInfo(name), content, compression)
    return out.getvalue()


def _refused(data: bytes) -> str:
    with pytest.raises(FileRefused) as refused:
        parse_archive(data, NAME)
    text = str(refused.value)
    assert text.startswith(NAME)
    assert "\n" not in text
    return text


def test_an_archive_opens_again_equal_and_equal_data_give_equal_bytes(
    sample_evaluation, archive
) -> None:
    assert parse_archive(archive, NAME) == sample_evaluation
    assert archive == archive_bytes(sample_evaluation, MADE, "1.0", "0" * 64)
    contents = json.loads(_members(archive)[CONTENTS])
    assert set(contents["members"]) == {EVALUATION, *MADE}


@pytest.mark.parametrize("member", [EVALUATION, *MADE])
def test_a_changed_member_is_named(archive, member) -> None:
    members = _members(archive)
    members[member] += b" "
    assert f"{member}: its digest fails" in _refused(_zip(members.items()))


@pytest.mark.parametrize("member", [EVALUATION, CONTENTS, *MADE])
def test_a_missing_member_is_named(archive, member) -> None:
    members = {name: data for name, data in _members(archive).items() if name != member}
    assert f"{member}: it is missing" in _refused(_zip(members.items()))


def test_what_the_list_does_not_name_is_refused(archive) -> None:
    members = {**_members(archive), "more.txt": b"x"}
    assert "more.txt" in _refused(_zip(members.items()))


@pytest.mark.parametrize(
    "path", ["../out.json", "/etc/out.json", "a/../../b", "C:\\out.json", "..\\out.json"]
)
def test_paths_that_lead_out_are_refused(archive, path) -> None:
    members = {**_members(archive), path: b"x"}
    assert "leads out of the archive" in _refused(_zip(members.items()))


def test_bombs_are_refused_before_they_are_unpacked(archive) -> None:
    many = _zip(((f"m{number}", b"") for number in range(5_000)), ZIP_STORED)
    assert f"more than {MOST_MEMBERS} files" in _refused(many)
    few_more = _zip((f"m{number}", b"") for number in range(MOST_MEMBERS + 1))
    assert f"more than {MOST_MEMBERS} files" in _refused(few_more)
    members = {**_members(archive), "large": bytes(MOST_UNPACKED + 1)}
    assert "unpacks to more than" in _refused(_zip(members.items()))


def test_a_member_that_unpacks_to_more_than_it_says_is_refused(archive) -> None:
    data = bytearray(_zip({**_members(archive), "liar": bytes(500_000)}.items()))
    said = (500_000).to_bytes(4, "little")
    while (at := data.find(said)) >= 0:
        data[at : at + 4] = (5).to_bytes(4, "little")
    _refused(bytes(data))


@given(some.binary(max_size=200))
def test_anything_else_is_one_sentence(data: bytes) -> None:
    _refused(data)
    _refused(b"PK\x03\x04" + data)


@given(some.integers(0, 2**32), some.binary(min_size=1, max_size=8))
def test_a_damaged_archive_is_equal_or_refused(sample_evaluation, archive, at, garbage) -> None:
    place = at % len(archive)
    damaged = archive[:place] + garbage + archive[place + len(garbage) :]
    with suppress(FileRefused):
        assert parse_archive(damaged, NAME) == sample_evaluation


@pytest.mark.parametrize("listed", [b"", b"[]", b"{}", b'{"archive": 2, "members": {}}', b"\xff"])
def test_a_list_that_is_none_is_refused(archive, listed) -> None:
    members = {**_members(archive), CONTENTS: listed}
    assert CONTENTS in _refused(_zip(members.items()))
