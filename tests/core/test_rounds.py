"""A round over the trees of a day: leave and caps are kept, what is left out is named, and the times add up."""

import datetime as dt
import json
import random
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.estimate import Range
from field_app.core.positions import Position, distance_m, from_here
from field_app.core.rounds import NOT_PATHS, PACES, Candidate, Pace, Wish, plan_round

HOME = Position(44.01, -28.005)
NOON = dt.datetime.fromisoformat("2026-10-08T12:00:00-02:00")


def tree(name, metres, bearing, kg=8.0, **how):
    worth = how.pop("worth", kg)
    position = how.pop("position", from_here(HOME, bearing, metres))
    return Candidate(name, name, position, Range(kg / 2, kg, kg * 2, "kg"), worth, **how)


LEAVE = ("given", "refused", "expired", "not-asked")


def random_trees(seed, count):
    rng = random.Random(seed)
    return [tree(f"tree {at}", rng.uniform(5, 4000), rng.uniform(0, 360), rng.choice([0.0, rng.uniform(0.2, 20)]),
                 lost=rng.choice([0.0, 2.0]), due=rng.random() < 0.7, leave=rng.choice(LEAVE),
                 cap=rng.choice([None, None, 0.0, rng.uniform(0.5, 10)])) for at in range(count)]


wishes = st.builds(
    Wish, end=st.sampled_from(["start", "open", Position(44.02, -28.0)]),
    until=st.sampled_from([None, NOON + dt.timedelta(hours=2), NOON + dt.timedelta(hours=5)]),
    carry=st.sampled_from([None, 5.0, 25.0]), need=st.sampled_from([None, 12.0]),
    pace=st.sampled_from(list(PACES.values())))


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10**6), count=st.sampled_from([0, 1, 4, 9, 16]), wish=wishes)
def test_leave_caps_and_limits_are_always_kept(seed, count, wish):
    """No stop without leave, never more than was agreed or can be carried, back in time, and every tree is told of."""
    trees = random_trees(seed, count)
    planned = plan_round(trees, HOME, NOON, wish)
    for stop in planned.stops:
        one = stop.candidate
        assert one.leave == "given"
        assert one.cap is None or stop.expected.high <= one.cap + 1e-9
        assert stop.expected.central <= one.expected.central + 1e-9
    if planned.stops:
        if wish.until is not None:
            assert planned.ends <= wish.until + dt.timedelta(seconds=1)
        if wish.carry is not None:
            assert planned.total.central <= wish.carry + 1e-6
        assert planned.cautions[-1] == NOT_PATHS
    told = [stop.candidate.site for stop in planned.stops] + [one.candidate.site for one in planned.left_out]
    assert sorted(told) == sorted(one.site for one in trees)
    assert all(one.words for one in planned.left_out)
    json.dumps(planned.as_json(), allow_nan=False)


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6), wish=wishes)
def test_the_times_and_legs_add_up(seed, wish):
    """Each stop is reached from the one before, after its leg and the time spent there; the end after the last leg."""
    planned = plan_round(random_trees(seed, 6), HOME, NOON, wish)
    at, now, way = HOME, NOON, 0.0
    for stop in planned.stops:
        assert stop.leg.straight_m == pytest.approx(distance_m(at, stop.candidate.position))
        assert stop.leg.way_m == pytest.approx(stop.leg.straight_m * wish.pace.detour)
        minutes = stop.leg.way_m / 1000 / wish.pace.speed * 60
        assert stop.arrive == now + dt.timedelta(minutes=stop.leg.minutes)
        assert stop.leg.minutes == pytest.approx(minutes)
        assert stop.leave == stop.arrive + dt.timedelta(minutes=wish.pace.stop)
        at, now, way = stop.candidate.position, stop.leave, way + stop.leg.way_m
    if planned.home is not None:
        now += dt.timedelta(minutes=planned.home.minutes)
        way += planned.home.way_m
    assert planned.ends == now
    assert planned.way_m == pytest.approx(way)
    if wish.end == "open":
        assert planned.home is None


@pytest.mark.parametrize(("how", "why"), [
    ({"leave": "refused"}, "refused"), ({"leave": "expired"}, "expired"), ({"leave": "not-asked"}, "not-asked"),
    ({"cap": 0.0}, "taken"), ({"position": None}, "nowhere"), ({"kg": 0.0}, "nothing")])
def test_where_one_may_not_or_can_not_gather_is_no_stop(how, why):
    """Such a site is left out, for a reason with words."""
    how = {"kg": 8.0, **how}
    planned = plan_round([tree("Mill lane", 300, 0, **how)], HOME, NOON)
    assert planned.stops == ()
    assert [(one.why, bool(one.words)) for one in planned.left_out] == [(why, True)]
    assert planned.cautions == ()


def test_nothing_known_is_nothing_to_walk_for():
    """A site of which nothing is known brings nothing."""
    planned = plan_round([Candidate("a", "A", HOME, None, why="its season is over")], HOME, NOON)
    assert [(one.why, one.words) for one in planned.left_out] == [("nothing", "its season is over")]


def test_what_is_left_out_says_why():
    """Time, load, need, and what is not worth the way each have their words."""
    near, far = tree("Near", 300, 0), tree("Far", 9000, 90)
    two_hours = NOON + dt.timedelta(hours=2)
    assert plan_round([near, far], HOME, NOON, Wish(until=two_hours)).left_out[0].words == (
        "too far to be back by 14:00")
    later = [tree("First", 2000, 0), tree("Second", 2000, 180)]
    assert plan_round(later, HOME, NOON, Wish(until=two_hours)).left_out[0].words == "no time for it by 14:00"
    light, heavy = tree("Light", 300, 0, 10, worth=9), tree("Heavy", 320, 0, 10, worth=5)
    assert plan_round([light, heavy], HOME, NOON, Wish(carry=10)).left_out[0].words == (
        "no more than 10 kg can be carried")
    assert plan_round([light, heavy], HOME, NOON, Wish(need=10)).left_out[0].why == "enough"
    idle = plan_round([near, tree("Idle", 4000, 90, 0.5, due=False)], HOME, NOON).left_out[0]
    assert (idle.why, idle.words.startswith("not due, and not worth the way: ")) == ("not-worth", True)


def test_what_was_agreed_is_a_cap_that_is_told():
    """Of 8 kg with 5 kg agreed, 5 kg are on the round, and the stop says so."""
    (stop,) = plan_round([tree("Mill lane", 300, 0, cap=5.0)], HOME, NOON).stops
    assert (stop.expected.low, stop.expected.central, stop.expected.high) == (4.0, 5.0, 5.0)
    assert stop.notes == ("5 kg at most, as agreed.",)


def test_what_can_be_carried_is_told_at_the_stop_where_it_is_full():
    """The last kilograms are shared out, and the range never promises more than goes into the bag."""
    planned = plan_round([tree("A", 300, 0, 10, worth=9), tree("B", 320, 0, 10)], HOME, NOON, Wish(carry=15))
    notes = {stop.candidate.name: stop.notes for stop in planned.stops}
    assert notes == {"B": (), "A": ("Take 5 kg: more can't be carried.",)}
    assert planned.total.central == pytest.approx(15)
    assert planned.cautions[0] == "There may be more than 15 kg: take what would be lost first."


def test_what_would_be_lost_makes_a_tree_due():
    """A tree that the forecast doesn't call due is visited if a good part would be gone by the next possible day."""
    rotting = tree("Rotting", 6000, 0, 2.0, due=False, lost=1.0)
    assert len(plan_round([rotting], HOME, NOON).stops) == 1
    assert plan_round([tree("Idle", 6000, 0, 2.0, due=False, lost=0.1)], HOME, NOON).stops == ()


def test_a_late_round_warns_and_tells_when_to_be_out():
    """On 8 October at 44 N the sun sets at 17:20; a round that begins at 16:30 runs into the dark."""
    late = NOON.replace(hour=16, minute=30)
    planned = plan_round([tree("Mill lane", 1500, 0)], HOME, late)
    assert f"{planned.out_by:%H:%M}" == "16:50"
    assert "after sunset" in planned.cautions[0]
    assert plan_round([tree("Mill lane", 1500, 0)], HOME, NOON).cautions == (NOT_PATHS,)


def test_a_round_across_the_date_line():
    """Trees on both sides of 180° are as near as they are on the ground."""
    home = Position(-17.0, 179.999)
    trees = [Candidate("w", "West", Position(-17.0, 179.995), Range(1, 5, 9, "kg"), 5.0),
             Candidate("e", "East", Position(-17.0, -179.997), Range(1, 5, 9, "kg"), 5.0)]
    now = dt.datetime(2026, 3, 8, 9, tzinfo=dt.timezone(dt.timedelta(hours=12)))
    planned = plan_round(trees, home, now)
    assert len(planned.stops) == 2
    assert planned.way_m < 2000 * PACES["foot"].detour
    assert planned.light.sunset.date() == now.date()


def test_one_way_ends_at_the_last_tree_and_another_end_is_reached():
    """Along a lane the far tree comes last one way; to the far end and back they are the same stops."""
    lane = [tree("Far", 900, 90), tree("Near", 300, 90)]
    one_way = plan_round(lane, HOME, NOON, Wish(end="open"))
    assert [stop.candidate.name for stop in one_way.stops] == ["Near", "Far"]
    assert one_way.home is None
    beyond = from_here(HOME, 90, 1000)
    through = plan_round(lane, HOME, NOON, Wish(end=beyond))
    assert [stop.candidate.name for stop in through.stops] == ["Near", "Far"]
    assert through.home.straight_m == pytest.approx(100, abs=0.5)


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6), count=st.sampled_from([2, 5, 14]))
def test_less_is_carried_far(seed, count):
    """Walked the other way round, no round would carry less over its legs."""
    planned = plan_round(random_trees(seed, count), HOME, NOON)
    stops = planned.stops

    def carried(order):
        places = [HOME, *(stop.candidate.position for stop in order), HOME]
        loads = [0.0, *(stop.expected.central * (distance_m(HOME, stop.candidate.position) > 100) for stop in order)]
        return sum(sum(loads[:at + 1]) * distance_m(a, b) for at, (a, b) in enumerate(pairwise(places)))

    assert carried(stops) <= carried(stops[::-1]) + 1


def test_a_heavy_tree_on_the_way_comes_last():
    """The light one is fetched first, so that the sack of 30 kg is carried a short way; beside the door it can wait."""
    light = tree("Light", 1500, 90, 2)
    for metres, first in ((300, "Light"), (40, "Heavy")):
        stops = plan_round([tree("Heavy", metres, 90, 30), light], HOME, NOON).stops
        assert stops[0].candidate.name == first


def test_the_pace_is_the_persons_own():
    """Half the speed, twice the time; the factor makes the way longer, never the straight line."""
    slow, wide = Pace(speed=2.0), Pace(detour=2.6)
    assert slow.minutes(1000) == pytest.approx(2 * PACES["foot"].minutes(1000))
    assert wide.minutes(1000) == pytest.approx(2 * PACES["foot"].minutes(1000))
