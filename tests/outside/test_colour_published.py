"""Colours against the world: an independent library, published pairs, exact values of Kubelka and Munk.

colour-science 0.4 (colour-science.org) has sRGB, CIELAB, CIEDE2000, the CIE 1931 observer and D65 of its own.
"""

import itertools
import warnings

import numpy as np
import pytest

from field_app.core import spectrum
from field_app.core.colour import (
    WHITE,
    Lab,
    difference,
    hex_of,
    lab_of,
    linear_of_hex,
    xyz_of_lab,
    xyz_of_linear,
)
from field_app.core.kubelka import k_over_s, reflectance

HEXES = [f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in itertools.product((0, 1, 10, 11, 127, 254, 255),
                                                                                         repeat=3)]
# Sharma, Wu & Dalal 2005, Color Res. Appl. 30(1):21-30, doi 10.1002/col.20070, table 1: two colours, their CIEDE2000.
# Taken from the test data of colour-science 0.4.7 (colour/difference/tests/test_delta_e.py), where the 14th pair
# stands as a comment, for its hue is so near to a jump that the last digit of a binary number decides.
SHARMA = (
    ((50.0000, 2.6772, -79.7751), (50.0000, 0.0000, -82.7485), 2.0425),
    ((50.0000, 3.1571, -77.2803), (50.0000, 0.0000, -82.7485), 2.8615),
    ((50.0000, 2.8361, -74.0200), (50.0000, 0.0000, -82.7485), 3.4412),
    ((50.0000, -1.3802, -84.2814), (50.0000, 0.0000, -82.7485), 1.0000),
    ((50.0000, -1.1848, -84.8006), (50.0000, 0.0000, -82.7485), 1.0000),
    ((50.0000, -0.9009, -85.5211), (50.0000, 0.0000, -82.7485), 1.0000),
    ((50.0000, 0.0000, 0.0000), (50.0000, -1.0000, 2.0000), 2.3669),
    ((50.0000, -1.0000, 2.0000), (50.0000, 0.0000, 0.0000), 2.3669),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0009), 7.1792),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0010), 7.1792),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0011), 7.2195),
    ((50.0000, 2.4900, -0.0010), (50.0000, -2.4900, 0.0012), 7.2195),
    ((50.0000, -0.0010, 2.4900), (50.0000, 0.0009, -2.4900), 4.8045),
    ((50.0000, -0.0010, 2.4900), (50.0000, 0.0010, -2.4900), 4.8045),
    ((50.0000, -0.0010, 2.4900), (50.0000, 0.0011, -2.4900), 4.7461),
    ((50.0000, 2.5000, 0.0000), (50.0000, 0.0000, -2.5000), 4.3065),
    ((50.0000, 2.5000, 0.0000), (73.0000, 25.0000, -18.0000), 27.1492),
    ((50.0000, 2.5000, 0.0000), (61.0000, -5.0000, 29.0000), 22.8977),
    ((50.0000, 2.5000, 0.0000), (56.0000, -27.0000, -3.0000), 31.9030),
    ((50.0000, 2.5000, 0.0000), (58.0000, 24.0000, 15.0000), 19.4535),
    ((50.0000, 2.5000, 0.0000), (50.0000, 3.1736, 0.5854), 1.0000),
    ((50.0000, 2.5000, 0.0000), (50.0000, 3.2972, 0.0000), 1.0000),
    ((50.0000, 2.5000, 0.0000), (50.0000, 1.8634, 0.5757), 1.0000),
    ((50.0000, 2.5000, 0.0000), (50.0000, 3.2592, 0.3350), 1.0000),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.2630),
    ((61.2901, 3.7196, -5.3901), (61.4292, 2.2480, -4.9620), 1.8731),
    ((35.0831, -44.1164, 3.7933), (35.0232, -40.0716, 1.5901), 1.8645),
    ((22.7233, 20.0904, -46.6940), (23.0331, 14.9730, -42.5619), 2.0373),
    ((36.4612, 47.8580, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    ((90.8027, -2.0831, 1.4410), (91.1528, -1.6435, 0.0447), 1.4441),
    ((90.9257, -0.5406, -0.9208), (88.6381, -0.8985, -0.7239), 1.5381),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
)


@pytest.fixture(scope="module")
def colour():
    """The independent library; it warns of what else could be installed."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour


def test_there_are_34_published_pairs():
    """All pairs of the table are here."""
    assert len(SHARMA) == 34


@pytest.mark.parametrize(("one", "other", "apart"), SHARMA, ids=[str(number) for number in range(1, 35)])
def test_differences_are_those_published(one, other, apart):
    """CIEDE2000 is that of the table to its four places, both ways round; so too where the hue turns by half a turn."""
    found = [difference(Lab(*one), Lab(*other)), difference(Lab(*other), Lab(*one))]
    assert found == [pytest.approx(apart, abs=5.1e-5)] * 2


def test_xyz_and_lab_are_those_of_the_library(colour):
    """Of sRGB colours, XYZ and CIELAB agree with colour-science, which has the matrix of the standard too."""
    for text in HEXES:
        share = np.array([int(text[at:at + 2], 16) / 255 for at in (1, 3, 5)])
        xyz = colour.sRGB_to_XYZ(share)
        assert xyz_of_linear(linear_of_hex(text)) == pytest.approx(tuple(xyz), abs=2e-7)
        white = colour.XYZ_to_xy(np.array(WHITE))
        lab = lab_of(text)
        assert (lab.lightness, lab.a, lab.b) == pytest.approx(tuple(colour.XYZ_to_Lab(xyz, white)), abs=2e-4)


def test_differences_are_those_of_the_library(colour):
    """CIEDE2000 of colours all over the range agrees with colour-science."""
    labs = [lab_of(text) for text in HEXES[::7]]
    for one, other in itertools.product(labs, labs[::5]):
        told = colour.delta_E(np.array([one.lightness, one.a, one.b]), np.array([other.lightness, other.a, other.b]))
        assert difference(one, other) == pytest.approx(float(told), abs=1e-6)


def test_the_white_of_the_standard_is_white():
    """The white of sRGB is L* 100 without a tint, and black is L* 0."""
    assert lab_of("#ffffff") == Lab(100.0, 0.0, 0.0)
    assert lab_of("#000000") == Lab(pytest.approx(0, abs=1e-9), 0.0, 0.0)
    assert hex_of(xyz_of_lab(Lab(100, 0, 0))) == "#ffffff"


def test_the_weights_are_those_of_observer_and_daylight(colour):
    """The bands' weights are the CIE 1931 observer times D65, summed under reflectance straight from band to band."""
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    daylight = colour.SDS_ILLUMINANTS["D65"]
    weights = np.zeros((len(spectrum.BANDS), 3))
    for wavelength in range(380, 781, 5):
        place = (min(max(wavelength, 400), 700) - 400) / 20
        left = min(int(place), len(spectrum.BANDS) - 2)
        seen = np.array(observer[float(wavelength)]) * float(daylight[float(wavelength)])
        weights[left] += seen * (left + 1 - place)
        weights[left + 1] += seen * (place - left)
    told = weights / weights.sum(axis=0) * np.array(WHITE)
    assert np.array(spectrum.WEIGHTS) == pytest.approx(told, abs=1.6e-6)
    assert tuple(np.array(spectrum.WEIGHTS).sum(axis=0)) == pytest.approx(WHITE, abs=1e-9)


def test_a_spectrum_has_the_colour_that_the_library_sees(colour):
    """A smooth spectrum taken apart into bands has the colour that colour-science integrates from it in 1 nm steps."""
    def brown(wavelength):
        return 0.05 + 0.4 / (1 + np.exp((590 - wavelength) / 40))

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it tells that it interpolates D65
        told = colour.sd_to_XYZ(
            colour.SpectralDistribution({wavelength: brown(wavelength) for wavelength in range(360, 781)}),
            cmfs=colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"],
            illuminant=colour.SDS_ILLUMINANTS["D65"]) / 100
    mine = spectrum.xyz_of([float(brown(band)) for band in spectrum.BANDS])
    assert difference(lab_of(mine), lab_of(tuple(told))) < 0.5


@pytest.mark.parametrize(("share", "taken"), [(0.5, 0.25), (0.2, 1.6), (0.1, 4.05), (0.05, 9.025)])
def test_k_over_s_is_exact(share, taken):
    """K/S = (1 − R)² / 2R, exact arithmetic, and back."""
    assert k_over_s(share) == pytest.approx(taken, rel=1e-12)
    assert reflectance(taken) == pytest.approx(share, rel=1e-12)
