"""Degree days against published tables, row by row."""

import math

import pytest

from field_app.core.warmth import average, degree_days, degree_days_double, modified_average

#: UC IPM calculator output for Esparto 2020, thresholds 50 and 70 °F, as published with UCANR-IGIS/degree-day-challenge
#: (data/ucipm_results/ucipm_low50_high70_all.csv): min, max, next min; sine horizontal, sine vertical, triangle
#: horizontal, triangle vertical, double sine horizontal, double triangle horizontal. Its intermediate cutoff, which
#: follows no published formula on very hot days, is left out.
UC_IPM = [
    (41, 50, None, 0, None, 0, None, None, None),
    (38, 55, 36, 1.19, None, 0.74, None, 1.15, 0.70),
    (36, 67, 33, 5.71, None, 4.66, None, 5.56, 4.46),
    (54, 67, 50, 10.5, None, 10.5, None, 9.5, 9.5),
    (44, 76, 35, 10.00, 4.30, 10.00, 6.25, 9.26, 8.90),
    (52, 73, 44, 12.01, 7.08, 12.29, 9.43, 10.64, 10.63),
]
#: Zalom et al. 1983, Univ. California leaflet 21373, Table 7, thresholds 55 and 90 °F, horizontal, as carried in the
#: test data of UCANR-IGIS/degday: min, max, next min; single triangle, double triangle, single sine, double sine.
#: The double triangle of (60, 100, 75) is printed as 24.88, a misprint of the table: by its own formula it is 27.125.
ZALOM = [
    (96, 110, 91, 35, 35, 35, 35), (45, 54, 38, 0, 0, 0, 0), (60, 80, 75, 15, 18.75, 15, 18.75),
    (75, 88, 60, 26.5, 22.75, 26.5, 22.75), (45, 70, 50, 4.50, 5.06, 5.31, 5.70),
    (60, 100, 75, 23.75, 27.125, 22.82, 26.26), (75, 95, 60, 29.38, 25.76, 28.91, 25.30),
]
#: McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291, Table 1, base 0 °C: max, min; method 1, method 2.
MCMASTER = [(20, 10, 15, 15), (10, 1, 5.5, 5.5), (8, -2, 3, 4), (6, 0, 3, 3), (10, 5, 7.5, 7.5), (5, -5, 0, 2.5),
            (-2, -7, 0, 0), (10, -2, 4, 5), (15, 2, 8.5, 8.5)]


@pytest.mark.parametrize("row", UC_IPM)
def test_uc_ipm(row):
    """Single and double sine and triangle, horizontal and vertical, to the two decimals that are printed."""
    low, high, after, *expected = row
    found = [degree_days(low, high, 50, 70, method=method, cutoff=cutoff)
             for method in ("sine", "triangle") for cutoff in ("horizontal", "vertical")]
    if after is not None:
        found += [degree_days_double(low, high, after, 50, 70, method=method) for method in ("sine", "triangle")]
    for got, printed in zip(found, expected, strict=False):
        if printed is not None:
            assert got == pytest.approx(printed, abs=0.00501)


@pytest.mark.parametrize("row", ZALOM)
def test_zalom(row):
    """Triangle and sine, single and double, as printed but for the one misprint."""
    low, high, after, *expected = row
    found = [degree_days(low, high, 55, 90, method="triangle"),
             degree_days_double(low, high, after, 55, 90, method="triangle"),
             degree_days(low, high, 55, 90), degree_days_double(low, high, after, 55, 90)]
    # The table rounds its single values first and takes the mean of those, so the double ones are off by a digit.
    assert found == pytest.approx(expected, abs=0.0151)


@pytest.mark.parametrize(("high", "low", "first", "second"), MCMASTER)
def test_mcmaster_and_wilhelm(high, low, first, second):
    """The two ways of the average: cut off after it, or before it."""
    assert (average(low, high, 0), modified_average(low, high, 0)) == (first, second)


@pytest.mark.parametrize(("high", "low", "expected"), [(80, 60, 20), (60, 40, 5), (90, 70, 28)])
def test_ohio_state(high, low, expected):
    """Ohio State University Extension AGF-101 (2017), modified 86/50 °F."""
    assert modified_average(low, high, 50, 86) == expected


@pytest.mark.parametrize(("high", "low", "base", "expected"), [
    (95, 51, 60, 13),  # Western Regional Climate Center
    (65, 40, 50, 2.5), (60, 35, 50, 0),  # Nugent, Michigan State University
    (67, 46, 50, 6.5),  # Cornell University
])
def test_simple_averages(high, low, base, expected):
    """The plain average as extension pages print it."""
    assert average(low, high, base) == expected


@pytest.mark.parametrize(("high", "low", "expected"), [(65, 40, 5.309), (60, 35, 2.809)])
def test_the_sine_sees_warmth_that_the_average_misses(high, low, expected):
    """The days of Michigan State's page by the sine; worked out."""
    assert degree_days(low, high, 50) == pytest.approx(expected, abs=5e-4)


def test_fahrenheit_days_are_celsius_days_times_nine_fifths():
    """Worked out: 7.5 °C d are 13.5 °F d; and so for any day."""
    assert degree_days(10, 25, 10, 30) == 7.5
    assert degree_days(50, 77, 50, 86) == 13.5
    for low in range(-5, 30, 3):
        celsius = degree_days(low, low + 14.5, 10, 30)
        assert degree_days(32 + 1.8 * low, 32 + 1.8 * (low + 14.5), 50, 86) == pytest.approx(1.8 * celsius)


def test_the_sine_by_summing_up_a_day():
    """By a second route: a day of a hundred thousand moments, warmth between the thresholds added up."""
    low, high, lower, upper = 4.0, 33.0, 10.0, 30.0
    moments = 100_000
    total = 0.0
    for at in range(moments):
        warm = (low + high) / 2 + (high - low) / 2 * math.sin(2 * math.pi * (at + 0.5) / moments)
        total += min(max(warm, lower), upper) - lower
    assert degree_days(low, high, lower, upper) == pytest.approx(total / moments, abs=1e-6)


@pytest.mark.parametrize("wrong", [(20, 10, 5, 30), (10, 20, 30, 30)])
def test_days_that_can_not_be(wrong):
    """A highest below the lowest, or thresholds in the wrong order, are a fault of the caller."""
    with pytest.raises(ValueError, match="no day"):
        degree_days(*wrong)
