"""What falls and rots, and the visits that save most of it."""

import datetime as dt
import math
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.belief import Belief
from field_app.core.estimate import exact
from field_app.core.fall import (
    Curve,
    Rot,
    crop_of,
    curve_of,
    falls,
    ground_on,
    ground_range,
    plans,
    rot_of,
    spread_evenly,
    warm_factor,
)
from field_app.core.materials import MATERIALS, material
from field_app.core.positions import Position
from field_app.core.ripeness import Seen, forecast

WALNUT = material("black-walnut")
ISLAND = Position(44.01, -28.0)
SEPT_1 = dt.date(2026, 9, 1)
CROP = crop_of(WALNUT, [60.0, 60.0])


def tree(seen=(), today=SEPT_1):
    one = forecast(ISLAND, WALNUT, seen, today)
    return one, curve_of(one.belief, WALNUT), rot_of(WALNUT)


def test_only_hulls_fall():
    """Walnuts fall and rot; cones, galls and bark have no days of that."""
    assert {key for key, stuff in MATERIALS.items() if falls(stuff)} == {
        key for key, stuff in MATERIALS.items() if stuff.group == "walnut hull"}
    with pytest.raises(ValueError, match="rotting"):
        rot_of(material("alder-cones"))
    with pytest.raises(ValueError, match="fall"):
        curve_of(Belief(200, 5), material("alder-cones"))


def test_the_whole_crop_falls_and_half_of_it_by_the_date_and_the_lag():
    """The shares of all days make one; half has fallen four days after the date, by a second route: the convolution."""
    one, curve, _ = tree()
    assert math.fsum(curve.shares) == pytest.approx(1)
    spread = math.hypot(one.belief.sd, 8.9)
    for number in (190, 205, 213, 225):
        fallen = math.fsum(curve.on(at) for at in range(curve.first, number + 1))
        expected = 0.5 * math.erfc(-(number + 0.5 - one.belief.mean - 4) / spread / math.sqrt(2))
        assert fallen == pytest.approx(expected, abs=0.012)


def test_a_hull_on_the_ground_goes_from_sound_through_browned_to_black():
    """The shares make one at each age, sound only falls, black only rises, and worth never comes back."""
    rot = rot_of(WALNUT)
    ages = [age / 4 for age in range(200)]
    shares = [rot.shares(age) for age in ages]
    assert all(sum(one) == pytest.approx(1) and min(one) >= 0 for one in shares)
    assert [one[0] for one in shares] == sorted((one[0] for one in shares), reverse=True)
    assert [one[2] for one in shares] == sorted(one[2] for one in shares)
    for end in ("low", "central", "high"):
        worths = [rot.worth(age, end) for age in ages]
        assert worths == sorted(worths, reverse=True)
    assert rot.worth(0) == pytest.approx(0.95)
    assert rot.worth(40) == pytest.approx(0.3)
    assert rot.worth(40, "high") == pytest.approx(0.8)


def test_warmth_shortens_the_days():
    """Ten degrees warmer halve the days, ten colder double them, and no more than that."""
    assert [warm_factor(mean) for mean in (None, 15, 25, 5, 45, -20)] == [1, 1, 0.5, 2, 0.5, 2]
    cold, warm = rot_of(WALNUT, 2.0), rot_of(WALNUT, 0.5)
    assert cold.worth(5) > rot_of(WALNUT).worth(5) > warm.worth(5)


def test_what_lies_there_grows_and_its_worth_turns():
    """While it falls there is more each day; later the mass stays and the worth goes."""
    one, curve, rot = tree()
    days = [SEPT_1 + dt.timedelta(days=count) for count in (0, 20, 40, 60, 80)]
    grounds = [ground_on(one, curve, rot, WALNUT, CROP, day) for day in days]
    kgs = [ground.kg.central for ground in grounds]
    assert kgs == sorted(kgs)
    assert kgs[-1] == pytest.approx(60, rel=0.02)
    assert grounds[3].worth.central > grounds[4].worth.central
    assert all(ground.kg.low <= ground.kg.central <= ground.kg.high for ground in grounds)
    assert all(0 <= ground.lost_by_next_day < 0.2 for ground in grounds)


def test_gathering_clears_the_ground():
    """What one took is gone: a day later only a day's fall lies there."""
    seen = [Seen(dt.date(2026, 10, 1), "fallen", kg=12.0)]
    one, curve, rot = tree(seen, dt.date(2026, 10, 2))
    taken = ground_on(one, curve, rot, WALNUT, CROP, dt.date(2026, 10, 2), last_taken=dt.date(2026, 10, 1))
    left = ground_on(one, curve, rot, WALNUT, CROP, dt.date(2026, 10, 2))
    assert 0 < taken.kg.central < 0.15 * left.kg.central


def test_what_was_counted_there_beats_the_model():
    """Two hundred counted weigh what two hundred fruits weigh, whatever the curve would say."""
    one, curve, rot = tree(today=dt.date(2026, 10, 1))
    ground = ground_on(one, curve, rot, WALNUT, CROP, dt.date(2026, 10, 1),
                       lay=(dt.date(2026, 10, 1), ground_range(200, None)))
    assert ground.kg.central == pytest.approx(200 * 0.070)
    assert ground.worth.central > 0
    assert [reason.basis for reason in ground.kg.reasons if reason.name == "on the ground"] == ["counted"]


def test_words_for_the_ground_are_ranges():
    """A handful is three to ten, none is none, and no word is nothing known."""
    handful = ground_range(None, "a-handful")
    assert (handful.low, round(handful.central, 2), handful.high) == (3, 5.48, 10)
    assert ground_range(None, "none").high == 0
    assert ground_range(None, None) is None


def test_the_crop_is_by_own_records_or_a_wide_default():
    """Thirty pounds of nuts are 75.6 kg of fruit; own seasons are narrower, and more of them narrower still."""
    default = crop_of(WALNUT, [])
    assert (default.central, default.high) == (75.6, 164)
    one, three = crop_of(WALNUT, [40.0]), crop_of(WALNUT, [40.0, 50.0, 30.0])
    assert one.central == three.central == 40
    assert default.high / default.low > one.high / one.low > three.high / three.low
    assert crop_of(material("alder-cones"), []) is None


@pytest.mark.parametrize("visits", [1, 2, 3])
def test_the_plan_is_the_best_of_all(visits):
    """By a second route: of all choices of days, tried one by one, none saves more."""
    one, curve, rot = tree(today=dt.date(2026, 10, 10))
    short = Curve(curve.first, curve.shares[:90])
    today = dt.date(2026, 10, 10)
    season, fresh = one.season, rot.worth(0)
    start, end = season.day_of(today), min(season.day_of(one.ends), short.last + 1)

    def saved(days):
        since, total = short.first - 1, 0.0
        for day in days:
            total += sum(short.on(at) * rot.worth(day - at) for at in range(since + 1, day + 1)) / fresh
            since = day
        return total

    best = max(saved(days) for days in combinations(range(start, end + 1), visits))
    found = plans(one, short, rot, today, visits)[visits - 1]
    assert sum(visit.saves for visit in found) == pytest.approx(best)
    assert saved([season.day_of(visit.date) for visit in found]) == pytest.approx(best)


SEEN = st.lists(st.builds(lambda offset, stage: Seen(dt.date(2026, 8, 20) + dt.timedelta(days=offset), stage),
                          st.integers(0, 40), st.sampled_from(["green", "dented", "fallen"])), max_size=3)


@settings(max_examples=60, deadline=None)
@given(SEEN, st.integers(0, 60), st.integers(1, 4), st.floats(0.5, 2), st.one_of(st.none(), st.integers(0, 40)))
def test_planned_visits_save_no_less_than_as_many_spread_evenly(seen, offset, visits, factor, taken):
    """Whatever was seen and whenever it is asked, the plan is at least as good, and more visits save no less."""
    today = dt.date(2026, 9, 1) + dt.timedelta(days=offset)
    one = forecast(ISLAND, WALNUT, seen, today)
    curve, rot = curve_of(one.belief, WALNUT), rot_of(WALNUT, factor)
    last = None if taken is None else dt.date(2026, 8, 25) + dt.timedelta(days=taken)
    found = plans(one, curve, rot, today, visits, last)
    totals = [sum(visit.saves for visit in some) for some in found]
    even = sum(visit.saves for visit in spread_evenly(one, curve, rot, today, visits, last))
    assert totals[-1] >= even - 1e-9
    assert all(later >= earlier - 1e-9 for earlier, later in pairwise(totals))
    assert totals[-1] <= 1 + 1e-9
    for some in found:
        dates = [visit.date for visit in some]
        assert dates == sorted(set(dates))
        assert dates[0] >= today
        assert all(visit.saves >= 0 for visit in some)


def test_nothing_on_the_ground_is_worth_nothing():
    """Long before the first fruit falls there is nothing, and nothing to lose."""
    one, curve, rot = tree(today=dt.date(2026, 5, 1))
    ground = ground_on(one, curve, rot, WALNUT, exact(60, "kg"), dt.date(2026, 5, 1))
    assert (ground.kg.central, ground.worth.high, ground.lost_by_next_day) == (0, 0, 0)
    assert Rot((1, 5), (3, 10)).shares(0) == (1, 0, 0)
