"""Colours over time, load after load and dip after dip."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.colour_course import TIMES, after_times, dip_after_dip, load_after_load, pot_for
from field_app.core.materials import MATERIALS, material
from field_app.core.palette import GROUNDS, palette_of
from field_app.core.preview import BASES, ILLUSTRATION, label_of
from field_app.core.problems import Refused

WALNUT = material("black-walnut")
PALETTE = palette_of(WALNUT)
BASE = st.sampled_from([colour for _, _, colour in BASES])
WOF = st.floats(0.02, 4)


def lightness(columns, ground, member="central"):
    return [getattr(column.colours[ground], member).lab.lightness for column in columns]


@given(BASE, WOF, st.sampled_from(sorted(MATERIALS)), st.lists(st.floats(0.02, 48), min_size=2, max_size=4))
@settings(max_examples=40, deadline=None)
def test_longer_is_never_lighter(base, wof, key, times):
    """After a longer time the colour is as dark at least, on every ground, and never lighter than the cloth."""
    stuff = MATERIALS[key]
    columns = after_times(base, pot_for(stuff, wof=wof), palette_of(stuff), sorted(times))
    for ground in GROUNDS:
        told = lightness(columns, ground)
        assert all(later <= before + 1e-9 for before, later in itertools.pairwise(told))
        assert told[0] <= columns[0].colours[ground].base.lab.lightness + 1e-9


@given(BASE, WOF, st.floats(0.05, 12))
@settings(max_examples=25, deadline=None)
def test_a_later_load_is_never_darker_and_a_further_dip_never_lighter(base, wof, hours):
    """One bath gives each load less; the same cloth dipped again gets more."""
    pot = pot_for(WALNUT, wof=wof)
    loads, dips = load_after_load(base, pot, PALETTE, hours), dip_after_dip(base, pot, PALETTE, hours)
    for ground in GROUNDS:
        one, other = lightness(loads, ground), lightness(dips, ground)
        assert all(later >= before - 1e-9 for before, later in itertools.pairwise(one))
        assert all(later <= before + 1e-9 for before, later in itertools.pairwise(other))


def test_more_stuff_is_never_lighter():
    """With twice the stuff on the weight of cloth every column is darker."""
    one, two = (after_times("#ece1ca", pot_for(WALNUT, wof=wof), PALETTE) for wof in (0.5, 1.0))
    for ground in GROUNDS:
        assert all(dark < light for light, dark in zip(lightness(one, ground), lightness(two, ground), strict=True))


def test_a_tan_comes_within_three_minutes():
    """Common practice, no source: cloth in walnut is a tan within 2 to 3 minutes, and brown in an hour."""
    columns = after_times("#ece1ca", pot_for(WALNUT, shade="medium"), PALETTE, TIMES)
    assert [column.words for column in columns] == ["3 min", "15 min", "1 h", "6 h"]
    assert columns[0].colours["none"].change[1] > 10
    told = lightness(columns, "none")
    assert 62 < told[0] < 80
    assert 36 < told[3] < 46


def test_three_ways_to_say_how_strong_agree():
    """Medium of walnut is 50 % on the weight of cloth, which is depth 1 at rest."""
    strengths = [pot_for(WALNUT, **how).strength for how in ({"shade": "medium"}, {"wof": 0.5}, {"depth": 1.0})]
    assert strengths == pytest.approx([3.8] * 3)


@pytest.mark.parametrize("how", [{}, {"wof": 0.5, "depth": 1.0}, {"wof": 0.0}, {"wof": 51.0}, {"depth": -1.0},
                                 {"depth": 21.0}])
def test_a_bath_that_nobody_makes_is_refused(how):
    """No way to say it, two ways, nothing in it, or beyond all reach: refused with what to give."""
    with pytest.raises(Refused, match="Give"):
        pot_for(WALNUT, **how)


@pytest.mark.parametrize("count", [0, 11])
def test_a_number_of_baths_out_of_reach_is_refused(count):
    """One to ten loads or dips are looked at."""
    for made in (load_after_load, dip_after_dip):
        with pytest.raises(Refused, match="no number of baths"):
            made("#ece1ca", pot_for(WALNUT, wof=0.5), PALETTE, 1.0, count)


def test_every_cell_says_what_it_stands_on():
    """The reasons name the assumptions of the bath and of the colour, each with a source or that there is none."""
    (column,) = after_times("#ece1ca", pot_for(WALNUT, wof=0.5), PALETTE, [1.0])
    reasons = column.colours["iron"].reasons
    assert "how much darker iron makes it than alum" in {reason.name for reason in reasons}
    assert any("Raja & Thilagavathi 2008" in reason.source for reason in reasons)
    assert all(reason.source and reason.mark for reason in reasons)
    assert label_of(PALETTE) == ILLUSTRATION
