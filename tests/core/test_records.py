"""Versions, their names, and what holds among several."""

import itertools
import json

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.problems import Refused
from field_app.core.records import Version, code_of, name_of, read_version, settle, sort_of

THING = "urn:uuid:017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
DEVICE = "00000000000000aa"


def version(ms=10, count=0, device=DEVICE, parents=(), deleted=False, facts=None, position=None, seq=1):
    return Version(thing=THING, kind="site", facts=facts or {"name": "Weir"}, hlc=f"{ms:013d}-{count:04x}-{device}",
                   device=device, seq=seq, parents=parents, deleted=deleted, position=position)


def test_same_content_same_name():
    """Two versions of the same content have the same bytes and the same name."""
    assert version().name == version().name
    assert version().name != version(ms=11).name


json_facts = st.dictionaries(
    st.text(min_size=1, max_size=8).filter(lambda key: key not in (
        "v", "kind", "deleted", "hlc", "device", "seq", "prev", "parents")),
    st.recursive(st.none() | st.booleans() | st.integers(-2**53 + 1, 2**53 - 1) | st.text(max_size=12),
                 lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
                 max_leaves=6), max_size=5)
places = st.none() | st.tuples(st.integers(-90_000_000, 90_000_000), st.integers(-180_000_000, 180_000_000)).map(
    lambda pair: (pair[0] / 1e6, pair[1] / 1e6))


@given(facts=json_facts, position=places, deleted=st.booleans())
def test_bytes_round_trip(facts, position, deleted):
    """Any version is read back from its bytes as itself, with members this program doesn't know."""
    made = version(facts={"name": "Weir", **facts}, position=position, deleted=deleted)
    assert read_version(made.text) == made
    assert read_version(made.text).name == made.name


@pytest.mark.parametrize(("change", "place"), [
    (lambda f: f["properties"].pop("hlc"), "properties.hlc"),
    (lambda f: f["properties"].update(hlc="٠" * 13 + "-0000-00000000000000aa"), "properties.hlc"),
    (lambda f: f["properties"].update(seq=0), "properties.seq"),
    (lambda f: f["properties"].update(seq=True), "properties.seq"),
    (lambda f: f["properties"].update(v=2), "properties.v"),
    (lambda f: f["properties"].update(device="AA"), "properties.device"),
    (lambda f: f["properties"].update(parents=["x"]), "properties.parents"),
    (lambda f: f["properties"].update(gross={"value": 1.5}), "properties"),
    (lambda f: f.update(id="urn:uuid:17"), "id"),
    (lambda f: f.update(type="Thing"), "type"),
    (lambda f: f.update(geometry={"type": "Point", "coordinates": [0, 95]}), "geometry"),
    (lambda f: f.update(geometry={"type": "Point", "coordinates": [0.1234567, 5]}), "geometry"),
    (lambda f: f.update(geometry={"type": "Point", "coordinates": [True, 5]}), "geometry"),
    (lambda f: f.update(extra=1), "members"),
    (lambda f: f.pop("geometry"), "geometry"),
])
def test_faults_are_named_by_their_place(change, place):
    """A version with a fault is refused, and the message names where the fault is."""
    feature = version().as_feature()
    change(feature)
    with pytest.raises(Refused) as refused:
        read_version(rfc8785.dumps(feature), where="line 7")
    assert "line 7" in str(refused.value)
    assert place in str(refused.value)


@pytest.mark.parametrize("text", [
    b"", b"{", b"\xef\xbb\xbf{}", b"[]", b"null", b"NaN", b'{"a":1,"a":1}', b'{"a": 1}', b"\xff", b'"\\ud800"',
    b"[" * 5000, b"1e400", json.dumps(version().as_feature()).encode()])
def test_foreign_bytes_are_refused(text):
    """Bytes that are not the canonical form of a version are refused, never a traceback."""
    with pytest.raises(Refused):
        read_version(text)


@given(st.binary(max_size=60))
def test_arbitrary_bytes_are_refused(text):
    """No bytes make the reader fail in any other way than by refusing."""
    with pytest.raises(Refused):
        read_version(text)


def test_a_correction_replaces():
    """A version that names another as its parent takes its place, whatever their clocks say."""
    first = version(ms=1000)
    second = version(ms=5, parents=(first.name,), facts={"name": "Weir foot"})
    assert settle([second, first]).facts["name"] == "Weir foot"
    assert settle([second, first]).heads == (second.name,)


def test_rivals_settle_the_same_in_any_order():
    """Of versions made apart, the one with the later stamp holds, in every order of arrival."""
    base = version(ms=1)
    rivals = [version(ms=n, device=f"{n:016x}", parents=(base.name,), facts={"name": f"N{n}"}) for n in (7, 9, 8)]
    results = {settle(order).heads for order in itertools.permutations([base, *rivals])}
    assert results == {(rivals[1].name, rivals[2].name, rivals[0].name)}


def test_a_live_head_beats_a_deleted_one():
    """Deleted here and edited there: the edit stays, even if the deletion came later."""
    base = version(ms=1)
    gone = version(ms=99, parents=(base.name,), deleted=True)
    edit = version(ms=5, device="00000000000000bb", parents=(base.name,), facts={"name": "Kept"})
    held = settle([gone, base, edit])
    assert not held.deleted
    assert held.facts["name"] == "Kept"


def test_equal_stamps_are_told_apart_by_name():
    """Two versions with one stamp (a copied device) are told apart by their names, the same everywhere."""
    one, two = version(facts={"name": "A"}), version(facts={"name": "B"})
    assert settle([one, two]).heads == settle([two, one]).heads == tuple(
        v.name for v in sorted([one, two], key=lambda v: v.name, reverse=True))


def test_settle_takes_one_thing():
    """Versions of no thing, or of two, are a broken promise."""
    other = Version(thing=THING.replace("0", "1"), kind="site", facts={}, hlc=version().hlc, device=DEVICE, seq=1)
    for group in ([], [version(), other]):
        with pytest.raises(ValueError, match="one thing"):
            settle(group)


@given(st.uuids())
def test_codes_extend_each_other(key):
    """A longer code starts with the shorter one and uses no sign that is easily misread."""
    thing = f"urn:uuid:{key}"
    assert code_of(thing, 12).startswith(code_of(thing))
    assert not set(code_of(thing, 12)) & set("ILOU")


def test_name_is_the_hash_of_the_canonical_bytes():
    """The name is the RFC 6920 form of the SHA-256 of the RFC 8785 bytes."""
    made = version()
    assert made.text == rfc8785.dumps(made.as_feature())
    assert made.name == name_of(made.text)


@pytest.mark.parametrize("gathered", ["2026-10-08T15:00:00", "yesterday", 7, None])
def test_a_time_that_no_two_machines_read_alike_does_not_sort(gathered):
    """A lot whose time has no offset, or is none, is listed by its first version: the same on every machine."""
    lot = Version(thing=THING, kind="lot", facts={"gathered": gathered}, hlc=version().hlc, device=DEVICE, seq=1)
    assert sort_of(settle([lot])) == lot.hlc
