"""Every figure of the table has words and a place, and says where it comes from."""

import pytest

from field_app.core.figures import MARK_WORDS, SECTIONS, figure_words, sections_of, sourced
from field_app.core.materials import MATERIALS, material
from field_app.core.own import in_force
from tests.core.own_for_tests import records, value


@pytest.mark.parametrize("key", MATERIALS)
def test_every_figure_stands_once_under_a_heading_with_words_of_its_own(key):
    """No figure is left over, none stands twice, and no two are called the same."""
    stuff = MATERIALS[key]
    sections = sections_of(stuff)
    names = [name for _, under in sections for name in under]
    assert sorted(names) == sorted(stuff.parameters)
    assert {heading for heading, _ in sections} <= set(SECTIONS)
    words = [figure_words(name, stuff) for name in names]
    assert len(set(words)) == len(words)
    # The name of a figure in the file is no word for a person.
    bare = [name for name, said in zip(names, words, strict=True) if "-" in name and said == name.replace("-", " ")]
    assert bare == []


def test_shades_run_from_pale_to_dark():
    """What a shade takes is read from pale to dark."""
    (_, names) = next(one for one in sections_of(material("black-walnut")) if one[0] == "How much for a shade")
    assert names[:4] == ("wof-pale", "wof-light", "wof-medium", "wof-dark")


def test_a_source_says_how_far_it_is_to_be_trusted_once():
    """The mark is said in words, unless the source says it, and what is one's own says so alone."""
    rows = material("black-walnut").parameters
    assert sourced(rows["hull-share"]).startswith("rule of thumb; 5 lb")
    assert sourced(rows["pour-hull"]) == "common practice, no source"
    own = in_force("black-walnut", "", records(value())).parameters["dry-fresh"]
    assert sourced(own) == own.source
    assert set(MARK_WORDS) >= {row.mark for row in rows.values()}
