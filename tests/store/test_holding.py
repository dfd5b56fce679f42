"""The short way to what holds gives what the law of records gives."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.intake import row_of
from field_app.core.records import Version, code_of, settle, sort_of
from field_app.store.holding import CODE_LENGTH, Said, row_of_thing, standing, thing_of_row
from tests.store.making import NOW_MS

THING = "urn:uuid:01890000-0000-7000-8000-000000000001"
KINDS = st.sampled_from(["lot", "site", "leave", "draw", "smell"])
FACTS = st.fixed_dictionaries({}, optional={
    "name": st.sampled_from(["Mill  lane", "Ford bend", 7]), "note": st.text(max_size=3),
    "site": st.sampled_from([THING, 5, None, {"a": "b"}]), "lot": st.just(THING),
    "gathered": st.sampled_from(["2026-10-08T15:24:00-02:00", "2026-10-08T23:59:59+14:00", "soon", 3, None])})


@st.composite
def histories(draw):
    """Versions of one thing, each naming some of the earlier ones, or of unknown ones, as its parents."""
    versions = []
    for number in range(draw(st.integers(1, 8))):
        known = [version.name for version in versions] + ["ni:///sha-256;" + "A" * 43]
        versions.append(Version(
            thing=THING, kind=draw(KINDS), facts=draw(FACTS), seq=number + 1, deleted=draw(st.booleans()),
            hlc=f"{NOW_MS + draw(st.integers(0, 2)):013d}-0000-{'a' * 16}", device="a" * 16,
            position=draw(st.sampled_from([None, (44.5, -28.25), (44, -28)])),
            parents=tuple(draw(st.lists(st.sampled_from(known), max_size=3, unique=True)))))
    return draw(st.permutations(versions))


@given(histories())
def test_what_holds_is_what_the_law_says(versions):
    """Of any versions in any order the short way names the same heads, and its row gives the same thing."""
    due = settle(versions)
    rows = [row_of(version.text, version.name) for version in versions]
    stands = standing([Said(number, row.name, row.hlc, row.deleted, row.parents) for number, row in enumerate(rows)])
    assert (stands.heads, stands.first_hlc) == (due.heads, due.first_hlc)
    held = rows[stands.held.number]
    key, kind, of, sort, code, deleted, heads, first, number = row_of_thing(held.feature, stands)
    assert (sort, code, number) == (sort_of(due), code_of(THING, CODE_LENGTH), stands.held.number)
    assert of == (due.of if isinstance(due.of, str) else None)
    thing = thing_of_row((key, kind, deleted, heads, first, held.hlc, held.device, held.text))
    assert thing == due


@pytest.mark.parametrize("versions", [3, 4])
def test_the_order_in_which_versions_come_decides_nothing(versions):
    """Every order of a few concurrent versions gives the same standing."""
    said = [Said(number, f"name {number}", f"stamp {number % 2}", number == 1, ("name 0",) if number == 3 else ())
            for number in range(versions)]
    assert len({standing(order) for order in itertools.permutations(said)}) == 1
