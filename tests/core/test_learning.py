"""Own measurements narrow a factor: exactly, in any order, for a lot, a site and a material."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.estimate import Range
from field_app.core.learning import (
    LOT_SHARE,
    SITE_SHARE,
    Known,
    Seen,
    known_of,
    learn,
    pooled,
    range_of,
    spread_of,
    updated,
)

_SMALL = st.floats(-3, 3, allow_nan=False)
_SD = st.floats(0.01, 3)
_PRIOR = st.builds(Known, _SMALL, _SD, _SMALL)


@st.composite
def _seen(draw):
    site = draw(st.sampled_from(["", "a", "b", "c"]))
    lot = draw(st.sampled_from(["", f"{site}1", f"{site}2"])) if site else draw(st.sampled_from(["", "x", "y"]))
    return Seen(draw(_SMALL), draw(_SD), site, lot)


_ALL = st.lists(_seen(), max_size=8)
_ASKED = st.sampled_from([("", ""), ("a", ""), ("a", "a1"), ("b", "b9"), ("d", "")])


def by_conditioning(prior, seen, site, lot):
    """The same by the joint normal distribution of all lots, conditioned on what was seen: one linear system."""
    places = [(one.site or f"S{one.lot or number}", one.lot or f"L{number}") for number, one in enumerate(seen)]
    asked = (site or "S?", lot or "L?")

    def covariance(one, other):
        same = one[0] == other[0]
        return prior.sd**2 * (1 - LOT_SHARE - SITE_SHARE + SITE_SHARE * same + LOT_SHARE * (same and one == other))

    matrix = np.array([[covariance(one, other) for other in places] for one in places])
    matrix = matrix + np.diag([one.sd**2 for one in seen])
    with_asked = np.array([covariance(asked, place) for place in places])
    weights = np.linalg.solve(matrix, with_asked)
    values = np.array([one.value for one in seen])
    return (prior.mean + weights @ (values - prior.mean), math.sqrt(prior.sd**2 - weights @ with_asked),
            prior.mid + weights @ (values - prior.mid))


@given(_PRIOR, st.lists(_seen(), min_size=1, max_size=8), _ASKED)
def test_levels_passed_up_and_down_are_the_joint_distribution(prior, seen, asked):
    """Lot, site and material, level by level, give what conditioning the joint normal distribution gives."""
    site, lot = asked
    after = learn(prior, seen, site=site, lot=lot)
    assert (after.mean, after.sd, after.mid) == pytest.approx(by_conditioning(prior, seen, site, lot), rel=1e-6,
                                                              abs=1e-7)


@given(_PRIOR, _ALL, _ASKED)
def test_the_posterior_is_never_wider(prior, seen, asked):
    """Whatever was observed, and of whatever it is asked, one is never less sure than before."""
    after = learn(prior, seen, site=asked[0], lot=asked[1])
    assert after.sd <= prior.sd
    assert updated(prior, seen).sd <= prior.sd


@given(_PRIOR, _ALL, st.randoms(), _ASKED)
def test_the_order_plays_no_part(prior, seen, chance, asked):
    """The same observations in another order give the same, to the last digit."""
    other = list(seen)
    chance.shuffle(other)
    assert updated(prior, other) == updated(prior, seen)
    assert pooled(other) is None or pooled(other).value == pooled(seen).value
    one, two = (learn(prior, told, site=asked[0], lot=asked[1]) for told in (seen, other))
    assert (one.mean, one.sd, one.mid) == pytest.approx((two.mean, two.sd, two.mid), rel=1e-12, abs=1e-12)


@given(_PRIOR, _ALL, _seen(), _ASKED)
def test_one_more_observation_never_makes_less_sure(prior, seen, more, asked):
    """Each further observation narrows, or changes nothing."""
    before, after = (learn(prior, told, site=asked[0], lot=asked[1]) for told in (seen, [*seen, more]))
    assert after.sd <= before.sd * (1 + 1e-12)


@given(_PRIOR, _ALL, _ALL, _ASKED)
def test_one_after_the_other_or_all_at_once(prior, first, then, asked):
    """Learning in two goes comes to the same as in one: the conjugate law."""
    in_two, in_one = updated(updated(prior, first), then), updated(prior, [*first, *then])
    assert (in_two.mean, in_two.sd, in_two.mid) == pytest.approx((in_one.mean, in_one.sd, in_one.mid), rel=1e-9,
                                                                 abs=1e-9)


def test_nearer_teaches_more():
    """A test tells most of its own lot, less of another lot of the site, least of another site."""
    prior, told = Known(0.0, 0.3), [Seen(0.4, 0.05, "mill", "lot-1")]
    lot, site, elsewhere = (learn(prior, told, site=where, lot=which)
                            for where, which in (("mill", "lot-1"), ("mill", ""), ("ford", "")))
    assert lot.mean > site.mean > elsewhere.mean > prior.mean
    assert lot.sd < site.sd < elsewhere.sd < prior.sd


def test_many_tests_leave_the_spread_between_lots():
    """However many lots were tested, the next one still differs from them as lots do."""
    prior = Known(0.0, 0.3)
    told = [Seen(0.1, 0.01, "mill", f"lot-{number}") for number in range(2000)]
    assert learn(prior, told, site="mill").sd == pytest.approx(0.3 * LOT_SHARE**0.5, rel=0.01)


def test_nothing_seen_leaves_everything_as_it_was():
    """Without observations the prior is handed back, and what is certain can't be taught."""
    prior = Known(0.2, 0.3, 0.1)
    assert learn(prior, [], site="mill") is prior
    assert updated(prior, []) is prior
    certain = Known(1.0, 0.0)
    assert learn(certain, [Seen(5.0, 0.1)]) is certain
    assert updated(certain, [Seen(5.0, 0.1)]) is certain
    assert pooled([]) is None


@given(st.floats(0.001, 0.3), st.floats(1.0, 3.0), st.floats(1.0, 3.0), _ALL)
def test_a_taught_factor_stays_in_order(low, up, further, seen):
    """The usual value stays between low and high, whatever was seen, and no share rises above 1."""
    factor = Range(low, low * up, low * up * further, "1")
    after = range_of(learn(known_of(factor), seen), "1", most=1.0)
    assert 0 < after.low <= after.central <= after.high <= 1


def test_a_factor_comes_back_as_it_went():
    """Low, central and high of a factor survive the way through its logarithm."""
    factor = Range(0.12, 0.15, 0.25, "1")
    back = range_of(known_of(factor), "1")
    assert (back.low, back.central, back.high) == pytest.approx((0.12, 0.15, 0.25))


@pytest.mark.parametrize("make", [
    lambda: Known(0.0, -0.1), lambda: Known(math.nan, 1.0), lambda: Known(0.0, math.inf),
    lambda: Seen(0.0, 0.0), lambda: Seen(0.0, -1.0), lambda: Seen(math.inf, 1.0), lambda: Seen(0.0, math.nan),
    lambda: known_of(Range(0.0, 1.0, 2.0, "1"))])
def test_what_can_not_be_is_refused(make):
    """A spread below zero, an observation that is certain, and a factor that reaches zero are refused."""
    with pytest.raises(ValueError, match=r"must be|needs|above zero"):
        make()


def test_the_spread_of_a_factor():
    """A factor of 1.25 either way at 10 % and 90 % has this spread of its logarithm."""
    assert spread_of(1.25) == pytest.approx(math.log(1.25) / 1.2815515655446004)
