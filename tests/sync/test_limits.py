"""Hostile group files: every limit holds while a file is taken in, what is at it passes, and the rest is kept.

The limits are those of the format: 50 MB packed, 16 members of plain names, 200 MB unpacked, 200 times the packed size,
stored or deflated only; a record of 64 KiB, nested 8 deep, texts of 4,000 characters, a million records.
"""

import io
import json
import struct
import tracemalloc
import zipfile

import pytest
import rfc8785

from field_app.core.problems import Refused
from field_app.core.records import name_of
from field_app.handover.packing import Limits, pack
from field_app.handover.sequence import sequence
from field_app.handover.take import take
from tests.handover.scene import closed, opened
from tests.store.making import feature_of
from tests.sync.make_golden import GROUP

LOT = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb0001"
WHOLE = GROUP.read_bytes()
TEXTS = tuple(part[:-1] for part in opened(WHOLE)["versions.geojsons"].split(b"\x1e")[1:])
NAMES = frozenset(name_of(text) for text in TEXTS)


def record(facts):
    """A version of a kind that nobody knows, with these facts."""
    return rfc8785.dumps(feature_of(LOT, "sundial", facts))


def with_texts(*more):
    """The group file with more versions than it had, its list and its hashes set right for them."""
    files, texts = opened(WHOLE), (*TEXTS, *more)
    names = sorted(name_of(text) for text in texts)
    files["versions.geojsons"] = sequence(texts)
    files["versions.csv"] = "".join(f"{line}\r\n" for line in ("version", *names)).encode()
    return closed(files)


def nested(deep):
    value = "h"
    for _ in range(deep):
        value = {"a": value}
    return value


def sized(length):
    """A record of so many bytes, in texts that are short enough each."""
    texts = ["a" * 3900] * 16
    text = record({"moon": [*texts, "a" * (length - len(record({"moon": [*texts, ""]})))]})
    assert len(text) == length
    return text


# A version's own members stand two deep: the feature and its properties.
@pytest.mark.parametrize(("good", "bad", "words"), [
    (record({"note": "ä" * 4000}), record({"note": "ä" * 4001}), "a text of 4,001 characters"),
    (record({"n" * 4000: 1}), record({"n" * 4001: 1}), "a text of 4,001 characters"),
    (record({"moon": nested(6)}), record({"moon": nested(7)}), "nested more than 8 deep"),
    (sized(65_536), sized(65_537), "is 65,537 bytes long"),
    (record({"moon": 2**53 - 1}), record({"moon": 1}).replace(b'"moon":1', b'"moon":9007199254740993'), "JSON"),
    (record({"moon": "1.5"}), record({"moon": 1.5}), "binary number"),
    (record({"moon": [None, True]}), record({"moon": 1}).replace(b'"moon":1', b'"moon":NaN'), "JSON"),
    (record({"moon": "\n"}), record({"moon": "\x1b[2J"}), "can't be shown"),
], ids=["text", "key", "depth", "length", "whole number", "binary number", "not a number", "control sign"])
def test_a_record_beyond_a_limit_is_set_aside_alone(good, bad, words):
    """One at the limit enters; one beyond it is set aside with its size, and every other of the file enters."""
    taken = take(with_texts(good))
    assert ({version.name for version in taken.versions}, taken.problems) == ({*NAMES, name_of(good)}, ())
    taken = take(with_texts(bad))
    assert {version.name for version in taken.versions} == NAMES
    ((text, problem),) = taken.quarantined
    assert words in problem.what
    assert bad.startswith(text)
    assert problem.where.startswith("versions.geojsons record ")


@pytest.mark.parametrize("junk", [b"[" * 60_000, b'{"a":' * 12_000, b"9" * 60_000, b'"' + b"\\" * 60_000])
def test_a_record_that_would_exhaust_a_reader_is_set_aside(junk):
    """Thousands of brackets, digits or backslashes end in words, not in a crash."""
    taken = take(with_texts(b"{" + junk + b"}"))
    assert {version.name for version in taken.versions} == NAMES
    assert len(taken.quarantined) == 1


def test_more_records_than_a_file_may_hold_are_refused(monkeypatch):
    """A file at the limit enters, one record more and nothing of it does."""
    from field_app.core.intake import Limits as OfVersions
    from field_app.handover import take as module

    assert OfVersions().records == 1_000_000
    monkeypatch.setattr(module, "VERSION_LIMITS", OfVersions(records=len(TEXTS)))
    assert len(take(WHOLE).versions) == len(TEXTS)
    with pytest.raises(Refused, match=f"holds more than {len(TEXTS)} records"):
        take(with_texts(record({"moon": 1})))


def test_the_limits_of_a_zip_are_those_of_the_format():
    """50 MB packed, 200 MB unpacked, 16 members, 200 times its packed size."""
    assert Limits() == Limits(packed=50_000_000, unpacked=200_000_000, entries=16, ratio=200)


def test_a_file_that_is_larger_than_may_be_read_is_refused_unopened():
    """One byte over is told with both figures."""
    assert len(take(WHOLE, limits=Limits(packed=len(WHOLE))).versions) == len(TEXTS)
    with pytest.raises(Refused, match=f"is {len(WHOLE):,} bytes; at most {len(WHOLE) - 1:,} are read"):
        take(WHOLE, limits=Limits(packed=len(WHOLE) - 1))


def test_more_members_than_may_be_read_are_told_and_the_versions_are_kept():
    """Sixteen members are read; of a file with seventeen only what stands plainly in its bytes is taken, and told."""
    files = opened(WHOLE)
    crowd = {f"more-{number}.txt": b"x" for number in range(16 - len(files))}
    assert take(pack({**files, **crowd})).problems == ()
    taken = take(pack({**files, **crowd, "one-more.txt": b"x"}))
    assert {version.name for version in taken.versions} == NAMES
    assert "17 members; at most 16" in taken.problems[0].what


def test_a_bomb_costs_no_memory_and_gives_nothing():
    """200 MB of zeros in 200 kB, in a member of ours, a strange one, or a broken zip: little is unpacked."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("versions.csv", b"version\r\n")
        for name in ("versions.geojsons", "more.txt"):
            with archive.open(name, "w") as member:
                for _ in range(200):
                    member.write(bytes(1_000_000))
        archive.writestr("datapackage.json", b'{"handover":{"profile":"group","format":1}}')
    bomb = out.getvalue()
    assert len(bomb) < 500_000
    tracemalloc.start()
    try:
        for data in (bomb, bomb[:-40], bomb[:len(bomb) // 2]):
            taken = take(data)
            assert taken.versions == ()
            assert taken.problems
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert peak < 150_000_000


def test_a_size_that_the_directory_denies_is_not_believed():
    """A directory that calls a member small, or very large, gets no version in that is not whole and listed."""
    at = WHOLE.index(b"PK\x01\x02")
    for size in (0, 10, 2**32 - 2):
        for field in (20, 24):
            data = bytearray(WHOLE)
            struct.pack_into("<L", data, at + field, size)
            taken = take(bytes(data))
            assert {version.name for version in taken.versions} == NAMES
            assert taken.problems or "packing was touched" in taken.notes[0].what


@pytest.mark.parametrize("name", ["../versions.geojsons", "/versions.geojsons", "a/versions.geojsons",
                                  "versions.geojsons\x00.txt", "VERSIONS.GEOJSONS", "versions.geojsons "])
def test_a_member_of_a_name_that_is_not_plain_is_told(name):
    """Nothing is read under a name that could lead elsewhere or look like another."""
    info = zipfile.ZipInfo("x")
    info.filename = info.orig_filename = name
    out = io.BytesIO(WHOLE)
    with zipfile.ZipFile(out, "a") as archive:
        archive.writestr(info, sequence([record({"moon": 1})]))
    taken = take(out.getvalue())
    assert {version.name for version in taken.versions} == NAMES
    assert any("is not a plain name of a file" in problem.what for problem in taken.problems)


@pytest.mark.parametrize("change", ["link", "encrypted", "method"])
def test_links_secrets_and_odd_packings_are_told_and_cost_no_version(change):
    """What is not a plain member is not unpacked; versions that stand in the bytes are still vouched for by name."""
    data = bytearray(WHOLE)
    at = data.index(b"PK\x01\x02", data.index(b"PK\x01\x02") + 1)  # that of versions.geojsons
    if change == "link":
        struct.pack_into("<L", data, at + 38, 0o120777 << 16)
    elif change == "encrypted":
        data[at + 8] |= 1
    else:
        struct.pack_into("<H", data, at + 10, 12)
    taken = take(bytes(data))
    assert {version.name for version in taken.versions} == NAMES
    assert taken.problems[0].where == "versions.geojsons"


def test_the_same_member_twice_is_told():
    """A second member of the same name is not read in the place of the first."""
    out = io.BytesIO(WHOLE)
    with zipfile.ZipFile(out, "a") as archive, pytest.warns(UserWarning, match="Duplicate"):
        archive.writestr("versions.geojsons", sequence([record({"moon": 1})]))
    taken = take(out.getvalue())
    assert {version.name for version in taken.versions} == NAMES
    assert "is there twice" in taken.problems[0].what


def test_a_description_of_thousands_of_files_is_told_in_bounded_words():
    """What a description invents is told up to two hundred times, and then counted."""
    files = opened(WHOLE)
    package = json.loads(files["datapackage.json"])
    package["resources"] += [{"path": f"f{number}.txt", "hash": "sha256:0"} for number in range(5000)]
    taken = take(pack({**files, "datapackage.json": json.dumps(package).encode()}))
    assert {version.name for version in taken.versions} == NAMES
    assert len(taken.problems) == 201
