"""The short cut by which versions are read says what the law says, only faster."""

import json
import random

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.intake import Reader, facts_of, position_of, row_of
from field_app.core.problems import Refused
from field_app.core.records import name_of, read_version
from field_app.core.trust import LIMITS, Limits
from tests.store.making import Devices, feature_of, text_of

THING = "urn:uuid:01890000-0000-7000-8000-000000000001"
NAME = name_of(b"Hello World!")


def verdict(text, limits=LIMITS):
    """The row of the bytes, or the words with which they are refused."""
    try:
        return Reader(limits).read(text, name_of(text), where="record 1")
    except Refused as refused:
        return refused.problems


def law(text):
    """What the law says of the bytes."""
    try:
        return read_version(text, where="record 1")
    except Refused as refused:
        return refused.problems


def same_verdict(text):
    ours, due = verdict(text), law(text)
    if isinstance(due, tuple):
        assert ours == due
        return False
    assert ours == row_of(due.text, due.name)
    assert (ours.thing, ours.kind, ours.hlc, ours.device, ours.seq, ours.deleted, ours.parents, ours.text) == (
        due.thing, due.kind, due.hlc, due.device, due.seq, due.deleted, due.parents, due.text)
    assert (facts_of(ours.feature), position_of(ours.feature)) == (dict(due.facts), due.position)
    return True


def lot(**more):
    return feature_of(THING, "lot", {"material": "black-walnut", "note": "", **more.pop("facts", {})}, **more)


TEXTS = st.text(st.characters(codec="utf-8"), max_size=6)
FACTS = st.recursive(st.none() | st.booleans() | st.integers() | TEXTS,
                     lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
                     max_leaves=8)
NUMBERS = st.one_of(
    st.integers(-200, 200), st.floats(-200, 200), st.sampled_from([0.000001, 1e-7, 44.0, -0.0, 1e16, 180, -90, 5e-324]),
    st.integers(-180_000_000, 180_000_000).map(lambda millionths: millionths / 1_000_000))


@given(st.dictionaries(TEXTS, FACTS, max_size=4), st.none() | st.tuples(NUMBERS, NUMBERS),
       st.integers(0, 2**53 - 1), st.booleans(), st.lists(st.sampled_from([NAME, "ni:///x", THING]), max_size=2))
def test_what_is_written_by_the_rules_is_judged_alike(facts, position, seq, deleted, parents):
    """Whatever the facts, a version in the form of RFC 8785 is taken or refused as the law does, and read alike."""
    try:
        text = rfc8785.dumps(lot(facts=facts, position=position, seq=seq, deleted=deleted, parents=parents))
    except rfc8785.CanonicalizationError:
        return
    same_verdict(text)


@given(st.integers(0, 2**32), st.integers(0, 3), st.data())
def test_bytes_with_errors_are_judged_alike(seed, edits, data):
    """A version with bytes changed, lost, moved or added is refused with the words of the law, or is one still."""
    rng = random.Random(seed)
    text = bytearray(Devices(2, seed=seed).many(rng.randrange(1, 4))[-1])
    for _ in range(edits):
        at = rng.randrange(len(text))
        piece = data.draw(st.sampled_from([b"", b" ", b"0", b"-", b".0", b"e1", b'"', b"\\n", b"\\u0041", b"\xff",
                                           b"{}", b"null", b"true",
                                           b"1", b"NaN", b"\xef\xbb\xbf", b"\xf0\x9f\x8c\xb0"]))
        text[at:at + rng.randrange(3)] = piece
    same_verdict(bytes(text))


ODD = {
    "a binary number in a fact": (lot(facts={"share": 0.5}), False),
    "a binary number beside a whole position": (lot(facts={"share": 0.5}, position=(44, -28)), False),
    "a number that Python writes otherwise": (lot(position=(0.00001, -28.5)), True),
    "a whole position": (lot(position=(44, -28)), True),
    "seven places": (lot(position=(44.1234567, -28.5)), False),
    "beyond the pole": (lot(position=(90.5, -28.5)), False),
    "a key beyond the basic plane": (lot(facts={"\U0001f330": "nut", "\ue000": "private"}), True),
    "a large whole number": (lot(facts={"count": 2**53 - 1}), True),
    "a word of newer programs": (lot(facts={"smell": {"of": ["nuts"]}}), True),
    "number 0": (lot(seq=0), False),
    "an unknown member": (lot() | {"bbox": [1, 2, 3, 4]}, False),
    "a parent that is no name": (lot(parents=("ni:///sha-256;short",)), False),
}


@pytest.mark.parametrize("case", ODD)
def test_odd_versions_are_judged_alike(case):
    """What is odd in a version is taken or refused as the law says."""
    feature, is_one = ODD[case]
    assert same_verdict(rfc8785.dumps(feature)) is is_one


@pytest.mark.parametrize("text", [
    text_of(lot()).replace(b'"v":1', b'"v":true'), text_of(lot()).replace(b'"v":1', b'"v":1.0'),
    text_of(lot()).replace(b'"seq":1', b'"seq":1,"seq":1'), text_of(lot()).replace(b'"seq":1', b'"seq":true'),
    text_of(lot()).replace(b'"note":""', b'"note":"\\ud800"'), text_of(lot()).replace(b'"note":""', b'"note":NaN'),
    text_of(lot()).replace(b'"note":""', b'"note":9007199254740993'), b"\xef\xbb\xbf" + text_of(lot()),
    text_of(lot()) + b"\n", b"", b"null", b"[]", b"{}", b'{"properties":[]}', b"[" * 60_000, b'{"a":' * 12_000,
    json.dumps(lot()).encode(), text_of(lot()).replace(b'"parents":[]', b'"parents":["1",2]'),
    text_of(lot()).replace(b'"parents":[]', b'"parents":null'),
    text_of(lot()).replace(b'"geometry":null', b'"geometry":{}'),
    text_of(lot()).replace(b'"geometry":null', b'"geometry":{"coordinates":[1,2,3],"type":"Point"}'),
    text_of(lot()).replace(b'"geometry":null', b'"geometry":{"coordinates":[true,2],"type":"Point"}'),
], ids=lambda text: text[:40].decode("utf-8", "replace"))
def test_hostile_bytes_are_refused_alike(text):
    """Double keys, odd numbers, byte-order marks, half characters and deep nests are refused, naming the record."""
    assert not same_verdict(text)
    assert all(problem.where.startswith("record 1") for problem in verdict(text))


def refusal(facts, limits=LIMITS):
    problems = verdict(rfc8785.dumps(lot(facts=facts)), limits)
    return problems[0].what if not hasattr(problems, "name") else ""


def nest(depth):
    return [nest(depth - 1)] if depth else []


def test_a_version_is_limited_in_length_depth_and_texts():
    """At the limit a version is taken; beyond it, it is refused with the length that was met."""
    assert refusal({"note": "x" * 4_000}) == ""
    assert "4,001 characters" in refusal({"note": "x" * 4_001})
    assert "4,001 characters" in refusal({"x" * 4_001: 1})
    assert "4,001 characters" in refusal({"list": [{"deep": "x" * 4_001}]})
    assert refusal({"a": nest(5)}) == ""
    assert "more than 8 deep" in refusal({"a": nest(6)})
    assert refusal({"note": "{[{[{[{[{["}) == ""
    many = {f"note {number}": "x" * 1_000 for number in range(70)}
    assert "at most 65,536" in refusal(many)
    assert refusal(many, Limits(record=100_000)) == ""


def test_what_devices_write_needs_no_long_way():
    """The short cut takes all that the app itself writes, so that it is fast where it matters."""
    reader = Reader()
    texts = Devices(3).many(500)
    assert [reader._plain(text) for text in texts] == [json.loads(text) for text in texts]
