"""How own measurements narrow a figure, against worked examples of others."""

import pytest

from field_app.core.learning import Known, Seen, learn, pooled, updated

# A. Gelman et al., Bayesian Data Analysis, 3rd edition, Table 5.2: eight schools (from memory).
SCHOOLS = ((28, 15), (8, 10), (-3, 16), (7, 11), (-1, 9), (1, 11), (18, 10), (12, 18))


def test_five_observations_with_a_known_variance():
    """N(30, 4²) and five observations of variance 7.335 give 31.8320261 and 1.1592201.

    telliott99.blogspot.com 2009, output of normnp of the R package Bolstad.
    """
    told = [Seen(value, 7.335**0.5) for value in (31.1, 28.2, 34.2, 35, 31.5)]
    after = updated(Known(30, 4), told)
    assert (after.mean, after.sd) == pytest.approx((31.8320261, 1.1592201), abs=5e-8)


def test_twelve_observations_by_their_mean():
    """N(30, 4²), deviation 2, twelve observations of mean 32: 31.9592 and 0.5714.

    Set-up as in the same place (W. M. Bolstad's exercise); the result is worked out.
    """
    after = updated(Known(30, 4), [Seen(32, 2)] * 12)
    assert (after.mean, after.sd) == pytest.approx((31.9592, 0.5714), abs=5e-5)


@pytest.mark.parametrize(("mean", "sd", "after"), [(900, 20, (890, 17.89)), (800, 80, (840, 35.78))])
def test_two_people_weigh_one_constant(mean, sd, after):
    """Priors of 900 ± 20 and 800 ± 80 and a reading of 850 ± 40: 890 ± 17.89 and 840 ± 35.78.

    From memory: G. E. P. Box and G. C. Tiao, Bayesian Inference in Statistical Analysis, 1973, section 1.2.
    """
    found = updated(Known(mean, sd), [Seen(850, 40)])
    assert (found.mean, found.sd) == pytest.approx(after, abs=0.005)


def test_eight_schools_as_one():
    """Complete pooling of the eight schools gives 7.7 and 4.1 (from memory: Bayesian Data Analysis, section 5.5)."""
    one = pooled([Seen(value, sd) for value, sd in SCHOOLS])
    assert one is not None
    assert (round(one.value, 1), round(one.sd, 1)) == (7.7, 4.1)
    assert (one.value, one.sd) == pytest.approx((7.686, 4.072), abs=0.0005)


def test_eight_schools_with_a_spread_between_them():
    """With a spread of 10 between schools each is drawn to a common mean of 8.126 ± 5.520, by these amounts.

    The formulas of Bayesian Data Analysis, section 5.4 (from memory), worked out for a fixed spread.
    """
    common = pooled([Seen(value, (sd**2 + 100) ** 0.5) for value, sd in SCHOOLS])
    assert common is not None
    assert (common.value, common.sd) == pytest.approx((8.126, 5.520), abs=0.0005)
    drawn = [updated(Known(common.value, 10), [Seen(value, sd)]).mean for value, sd in SCHOOLS]
    assert drawn == pytest.approx([14.24, 8.06, 5.00, 7.62, 3.08, 4.90, 13.06, 9.04], abs=0.006)


def test_eight_schools_as_lots_of_one_site():
    """Our levels give the same, once the prior is so wide that the schools alone speak.

    Lots differ by 10 if a quarter of the prior's variance is theirs, so the prior has a deviation of 20; its mean is
    told to be that of the schools, which then changes nothing.
    """
    common = pooled([Seen(value, (sd**2 + 100) ** 0.5) for value, sd in SCHOOLS])
    assert common is not None
    told = [Seen(value, sd, "island", f"school {number}") for number, (value, sd) in enumerate(SCHOOLS)]
    prior = Known(common.value, 20)
    drawn = [learn(prior, told, site="island", lot=f"school {number}").mean for number in range(8)]
    assert drawn == pytest.approx([14.24, 8.06, 5.00, 7.62, 3.08, 4.90, 13.06, 9.04], abs=0.006)


def test_a_date_of_ripeness_from_three_years():
    """N(267, 10²), deviation 6, dates 260, 264, 257: 261.048, 3.273, and 6.835 for the year to come (worked out)."""
    after = updated(Known(267, 10), [Seen(day, 6) for day in (260, 264, 257)])
    assert (after.mean, after.sd) == pytest.approx((261.048, 3.273), abs=0.0005)
    assert (after.sd**2 + 6**2) ** 0.5 == pytest.approx(6.835, abs=0.0005)


def test_three_students_measure_a_resistance():
    """11 ± 1, 12 ± 1 and 10 ± 3 ohm weigh to 11.4 ± 0.7.

    From memory: J. R. Taylor, An Introduction to Error Analysis, section 7.3, weighted averages.
    """
    one = pooled([Seen(11, 1), Seen(12, 1), Seen(10, 3)])
    assert one is not None
    assert (round(one.value, 1), round(one.sd, 1)) == (11.4, 0.7)
    assert (one.value, one.sd) == pytest.approx((11.42, 0.69), abs=0.006)
