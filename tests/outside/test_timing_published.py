"""Ripeness against the world: published harvest dates, textbook normal-normal rows, Hopkins' law."""

import datetime as dt
import statistics

import pytest

from field_app.core.belief import Belief, Observed, updated
from field_app.core.season import Season, calendar_row, hopkins_shift

#: University of Missouri Extension XM1001 (page 2), New Franklin: season length from bloom [d], and harvest date.
MISSOURI = {"Davidson": (132, (9, 4)), "Emma K": (148, (9, 23)), "Beck": (128, (9, 25)), "Football": (156, (9, 30)),
            "Kwik Krop": (148, (10, 3)), "Ogden": (168, (10, 18))}
#: UC Davis walnut cultivar table: leafing and harvest.
DAVIS = {"Gillet": ((3, 25), (9, 27)), "Eureka": ((3, 28), (9, 29)), "Forde": ((3, 30), (10, 8)),
         "Chandler": ((4, 4), (10, 8)), "Cisco": ((4, 14), (10, 12)), "Fernette": ((4, 15), (10, 13)),
         "Franquette": ((4, 23), (10, 17))}


def number(day):
    return Season(2001).day_of(dt.date(2001, *day))


def test_the_calendar_of_english_walnut_is_the_davis_table():
    """Mean and standard deviation of the seven harvest dates are the row of the calendar; leaf to harvest is 184 d."""
    dates = [number(harvest) for _, harvest in DAVIS.values()]
    row = calendar_row("english-walnut")
    assert row.day == round(statistics.mean(dates)) == number((10, 8))
    assert row.spread == pytest.approx(statistics.stdev(dates), abs=0.05)
    lengths = [number(harvest) - number(leaf) for leaf, harvest in DAVIS.values()]
    assert (statistics.mean(lengths), statistics.stdev(lengths)) == (pytest.approx(184.1, abs=0.05),
                                                                    pytest.approx(4.9, abs=0.05))


@pytest.mark.parametrize("name", MISSOURI)
def test_the_calendar_of_black_walnut_holds_the_rows_of_missouri(name):
    """Each published cultivar lies within two and a half spreads of the calendar, whose mean is 26 September."""
    row = calendar_row("black-walnut")
    assert (row.day, row.spread) == (number((9, 26)), 10.1)
    assert abs(number(MISSOURI[name][1]) - row.day) <= 2.5 * row.spread


def test_season_lengths_lead_from_the_same_bloom():
    """Length and harvest of the rows of XM1001 put every bloom into April or May, as its table of bloom does."""
    blooms = [Season(2001).date_of(number(harvest) - length) for length, harvest in MISSOURI.values()]
    assert {bloom.month for bloom in blooms} <= {4, 5}


@pytest.mark.parametrize(("mean", "sd", "observed", "yearly", "expected", "spread"), [
    # R, Bolstad::normnp with s² = 7.335, output printed at telliott99.blogspot.com, 2009.
    (30, 4, (31.1, 28.2, 34.2, 35, 31.5), 7.335**0.5, 31.8320261, 1.1592201),
    # the same page's set-up with sigma 2, n 12, mean 32; the result is worked out
    (30, 4, (32,) * 12, 2, 31.9592, 0.5714),
    # from memory: Box & Tiao 1973, Bayesian Inference in Statistical Analysis, the two physicists
    (900, 20, (850,), 40, 890, 17.89), (800, 80, (850,), 40, 840, 35.78),
    # worked out: three years of one tree against a calendar
    (267, 10, (260, 264, 257), 6, 261.048, 3.273),
])
def test_normal_normal(mean, sd, observed, yearly, expected, spread):
    """Mean and standard deviation as published."""
    found, width = updated(mean, sd, [Observed(one) for one in observed], yearly)
    assert found == pytest.approx(expected, abs=5e-5 if expected < 100 else 6e-3)
    assert width == pytest.approx(spread, abs=6e-3 if spread > 4 else 1e-3)


def test_normal_normal_with_unequal_variances():
    """From memory: Gelman et al., Bayesian Data Analysis, 3rd ed., eight schools: pooled 7.7, standard error 4.1."""
    effects = {28: 15, 8: 10, -3: 16, 7: 11, -1: 9, 1: 11, 18: 10, 12: 18}
    found, width = updated(0, 1e6, [Observed(effect, error**2) for effect, error in effects.items()], 0)
    assert (found, width) == (pytest.approx(7.686, abs=1e-3), pytest.approx(4.072, abs=1e-3))


def test_the_predictive_date_of_three_years():
    """Worked out: predictive sd 6.835, P(ripe by 256) 0.2301, and the 10, 50, 90 % dates."""
    mean, known = updated(267, 10, [Observed(one) for one in (260, 264, 257)], 6)
    one = Belief(mean, (known**2 + 36) ** 0.5)
    assert one.sd == pytest.approx(6.835, abs=5e-4)
    assert one.chance(256) == pytest.approx(0.2301, abs=5e-5)
    assert [one.quantile(share) for share in (0.1, 0.5, 0.9)] == pytest.approx([252.29, 261.05, 269.81], abs=6e-3)
    assert one.quantile(0.15) == pytest.approx(253.96, abs=6e-3)


def test_truncation_by_a_not_yet():
    """Worked out from the formula of a truncated normal: P(by 264 | not by 256) and the conditional median."""
    mean, known = updated(267, 10, [Observed(one) for one in (260, 264, 257)], 6)
    one = Belief(mean, (known**2 + 36) ** 0.5, after=256)
    assert one.chance(264) == pytest.approx(0.5676, abs=5e-5)
    assert one.quantile(0.5) == pytest.approx(263.05, abs=6e-3)


@pytest.mark.parametrize(("north", "east", "up_m", "spring", "expected"), [
    # Hopkins 1918, as quoted in the Aldo Leopold papers: 4 d for 1 degree north, 5 degrees east, 400 ft up.
    (1, 0, 0, True, 4), (0, 5, 0, True, 4), (0, 0, 121.92, True, 4),
    # worked out from these
    (2, 0, 60.96, True, 10), (2, 0, 60.96, False, -10), (1, -5, 121.92, True, 4), (0.5, 0, 121.92, True, 6),
    (2.5, 0, 0, True, 10), (-2.5, 0, 0, True, -10),
])
def test_hopkins_law(north, east, up_m, spring, expected):
    """Days later in spring, earlier in autumn."""
    assert hopkins_shift(north, east, up_m, spring=spring) == pytest.approx(expected)
