"""Colours: what is read, what comes back, and what cloth and dye may never do."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.colour import (
    Lab,
    difference,
    hex_of,
    lab_of,
    linear_of_hex,
    read_hex,
    xyz_of_lab,
    xyz_of_linear,
)
from field_app.core.estimate import Range, exact
from field_app.core.kubelka import colour_of, dyed, k_over_s, reflectance
from field_app.core.materials import MATERIALS
from field_app.core.palette import GROUNDS, palette_of
from field_app.core.preview import BASES, expected
from field_app.core.problems import Refused
from field_app.core.spectrum import BANDS, reflectance_of, xyz_of

HEX = st.integers(0, 2**24 - 1).map(lambda number: f"#{number:06x}")
DEPTH = st.floats(0, 30)
STRENGTH, FALL = st.floats(0, 60), st.floats(20, 900)
LAB = st.builds(Lab, st.floats(0, 100), st.floats(-100, 100), st.floats(-100, 100))


@pytest.mark.parametrize("text", ["", "#12345", "#1234567", "brown", "#ggg", "#1234é6", "٣٣٣"])
def test_what_is_no_colour_is_refused(text):
    """A text that is not three or six hexadecimal digits is refused with what to type."""
    with pytest.raises(Refused, match="Type six digits"):
        read_hex(text)


@given(HEX)
@settings(max_examples=300)
def test_a_colour_comes_back_from_every_step(text):
    """Hexadecimal, linear light, XYZ, CIELAB and the reflectance of its own each give the colour back."""
    xyz = xyz_of_linear(linear_of_hex(text))
    assert hex_of(xyz) == text
    assert xyz_of_lab(lab_of(xyz)) == pytest.approx(xyz, abs=1e-12)
    bands = reflectance_of(text)
    assert all(0 < share < 1 for share in bands)
    assert hex_of(xyz_of(bands)) == text


@given(st.floats(1e-6, 1))
def test_k_over_s_and_reflectance_are_inverse(share):
    """A reflectance comes back from its K/S."""
    assert reflectance(k_over_s(share)) == pytest.approx(share, rel=1e-6)


@pytest.mark.parametrize("share", [0, -0.1, 1.1, float("nan")])
def test_what_is_no_reflectance_has_no_k_over_s(share):
    """Nothing sends back no light at all, or more than it gets."""
    with pytest.raises(ValueError, match="above 0"):
        k_over_s(share)


@given(LAB, LAB)
def test_differences_are_alike_both_ways_and_never_negative(one, other):
    """CIEDE2000 is from 0 on, 0 for the same colour, and the same from either side."""
    assert difference(one, other) == pytest.approx(difference(other, one), abs=1e-9)
    assert difference(one, other) >= 0
    assert difference(one, one) == 0


@given(HEX, STRENGTH, FALL)
@settings(max_examples=200)
def test_coloured_cloth_never_gets_lighter(base, strength, fall):
    """Whatever dye is laid on whatever cloth, every band and the whole get darker or stay."""
    cloth = reflectance_of(base)
    after = dyed(cloth, strength, fall)
    assert all(share <= before for share, before in zip(after, cloth, strict=True))
    assert colour_of(after).lab.lightness <= colour_of(cloth).lab.lightness + 1e-9


@given(HEX, DEPTH, DEPTH, st.sampled_from(sorted(MATERIALS)), st.sampled_from(GROUNDS))
@settings(max_examples=200)
def test_deeper_is_never_lighter(base, one, other, key, ground):
    """With more dye taken up, the lightest, central and darkest colour are each as dark at least."""
    tint = palette_of(MATERIALS[key]).tints[ground]
    shallow, deep = (expected(base, exact(depth, "1"), tint) for depth in sorted((one, other)))
    for member in ("lightest", "central", "darkest"):
        assert getattr(deep, member).lab.lightness <= getattr(shallow, member).lab.lightness + 1e-9
        assert getattr(deep, member).lab.lightness <= deep.base.lab.lightness + 1e-9


@given(HEX, st.floats(0, 5), st.floats(1, 3), st.floats(1, 3), st.sampled_from(sorted(MATERIALS)))
def test_the_range_holds_its_own_colours(base, low, to_central, to_high, key):
    """Lightest, central and darkest are in that order, and inside the spread of L*, a*, b* that is told."""
    depth = Range(low, low * to_central, low * to_central * to_high, "1")
    found = expected(base, depth, palette_of(MATERIALS[key]).tints["none"])
    order = [found.darkest.lab.lightness, found.central.lab.lightness, found.lightest.lab.lightness]
    assert order == sorted(order)
    for one in (found.lightest, found.central, found.darkest):
        assert found.lightness[0] <= one.lab.lightness <= found.lightness[2]
        assert found.a[0] <= one.lab.a <= found.a[2]
        assert found.b[0] <= one.lab.b <= found.b[2]


def test_without_dye_cloth_stays_as_it_was():
    """Depth 0 gives back the colour of the cloth, with no difference at all."""
    for _, _, base in BASES:
        found = expected(base, exact(0, "1"), palette_of(MATERIALS["black-walnut"]).tints["iron"])
        assert (found.central.hex, found.change) == (base, pytest.approx((0, 0, 0), abs=1e-9))


@pytest.mark.parametrize("base", ["#34466b", "#a04a3c", "#7d8f5a", "#e3c875"])
def test_overdyeing_mutes_the_base(base):
    """Under walnut, and more so with iron, a coloured cloth is less far from undyed cloth dyed the same way."""
    tints = palette_of(MATERIALS["black-walnut"]).tints

    def apart(ground, depth):
        one, other = (expected(cloth, exact(depth, "1"), tints[ground]).central for cloth in (base, "#ece1ca"))
        return one.apart(other)

    assert apart("iron", 1) < apart("none", 1) < apart("none", 0.3) < apart("none", 0)


def test_walnut_is_the_brown_that_dyers_know():
    """Common practice, no source: a tan in minutes, a warm mid brown in an hour; alum warmer, iron darker, greyer."""
    tints = palette_of(MATERIALS["black-walnut"]).tints
    tan, hour = (expected("#ece1ca", exact(depth, "1"), tints["none"]).central.lab for depth in (0.11, 0.70))
    assert 60 < tan.lightness < 78
    assert 38 < hour.lightness < 52
    assert 55 < hour.hue < 75
    alum, iron = (expected("#ece1ca", exact(0.70, "1"), tints[ground]).central.lab for ground in ("alum", "iron"))
    assert alum.chroma > hour.chroma + 4
    assert alum.lightness >= hour.lightness
    assert iron.lightness < hour.lightness - 8
    assert iron.chroma < 0.6 * hour.chroma


def test_every_material_gets_warmer_with_alum_and_darker_and_greyer_with_iron():
    """Doty 2013 (abstract): alum is warmer and brighter; common practice, no source: iron darker and greyer."""
    for stuff in MATERIALS.values():
        plain, alum, iron = (expected("#ece1ca", exact(0.7, "1"), palette_of(stuff).tints[ground]).central.lab
                             for ground in GROUNDS)
        assert alum.chroma > plain.chroma, stuff.key
        assert iron.lightness < alum.lightness - 6, stuff.key
        assert iron.chroma < plain.chroma, stuff.key


def test_bands_are_even():
    """Sixteen bands of 20 nm, as many as a reflectance has shares."""
    assert (len(BANDS), BANDS[0], BANDS[-1]) == (16, 400, 700)
    assert len(reflectance_of("#123456")) == 16
