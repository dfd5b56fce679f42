"""Which stops, when not all of them fit: the best there is for few, within every limit for many."""

import itertools
import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.choosing import Limits, Offer, choose
from field_app.core.tours import EXACT, exact_path, length, matrix


def flat(a, b):
    return math.hypot(a[0] - b[0], a[1] - b[1])


def scene(seed, count, *, due=0.7, end="start"):
    rng = random.Random(seed)
    places = [(rng.uniform(0, 60), rng.uniform(0, 60)) for _ in range(count + 1 + (end == "other"))]
    offers = []
    for _ in range(count):
        kg = rng.choice([0.0, *(rng.uniform(0.3, 15) for _ in range(9))])
        worth = kg * rng.uniform(0.3, 1)
        offers.append(Offer(kg, worth, worth * rng.choice([0, 0, 0.3]), rng.random() < due))
    return offers, matrix(places, flat, end=end)


limits = st.builds(Limits, minutes=st.one_of(st.none(), st.floats(0, 300)),
                   carry=st.one_of(st.none(), st.floats(1, 40)), need=st.one_of(st.none(), st.floats(1, 40)),
                   stop=st.sampled_from([0.0, 10.0]),
                   hour=st.sampled_from([0.0, 2.0]))


@settings(max_examples=80, deadline=None)
@given(seed=st.integers(0, 10**6), count=st.one_of(st.integers(0, 7), st.integers(EXACT + 1, 24)), limit=limits,
       end=st.sampled_from(("start", "open", "other")))
def test_every_limit_is_kept(seed, count, limit, end):
    """Time and load are never overrun; nothing is taken that is not there; the path visits nothing twice."""
    offers, legs = scene(seed, count, end=end)
    choice = choose(offers, legs, limit)
    stops = choice.path[1:-1]
    assert (choice.path[0], choice.path[-1]) == (0, len(legs) - 1)
    assert len(set(stops)) == len(stops) == len(choice.kg)
    assert sum(choice.kg) <= limit.room + 1e-6
    assert all(0 < kg <= offers[node - 1].kg + 1e-9 for node, kg in zip(stops, choice.kg, strict=True))
    spent = length(choice.path, legs) + limit.stop * len(stops)
    assert choice.minutes == pytest.approx(spent)
    # A way to another end takes its time even without a stop on it.
    if limit.minutes is not None and stops:
        assert spent <= limit.minutes + 1e-6
    assert set(choice.extra) == set(range(count)) - {node - 1 for node in stops}


def value(offers, limit, chosen, minutes):
    room, lost, worth = limit.room, 0.0, 0.0
    usual = sum(one.worth for one in offers) / sum(one.kg for one in offers)
    for one in sorted(chosen, key=lambda one: (-one.lost / one.kg, -one.worth / one.kg)):
        share = min(1.0, room / one.kg)
        room, lost, worth = room - share * one.kg, lost + share * one.lost, worth + share * one.worth
    return round(lost / usual, 1), worth / usual - minutes / 60 * limit.hour


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6), minutes=st.floats(60, 200), carry=st.one_of(st.none(), st.floats(2, 30)))
def test_few_stops_are_chosen_as_well_as_can_be(seed, minutes, carry):
    """Beside all choices tried by hand none saves more of what would be lost, and none brings more."""
    offers, legs = scene(seed, 6, due=1.0)
    offers = [offer if offer.kg else Offer(1.0, 0.5) for offer in offers]
    limit = Limits(minutes, carry, stop=10.0, hour=1.0)
    fits = []
    for size in range(7):
        for group in itertools.combinations(range(6), size):
            path = exact_path(legs, sum(1 << at for at in group))
            spent = length(path, legs) + 10 * size
            if spent <= minutes:
                fits.append((value(offers, limit, [offers[at] for at in group], spent), group))
    choice = choose(offers, legs, limit)
    found = value(offers, limit, [offers[node - 1] for node in choice.path[1:-1]], choice.minutes)
    every = tuple(range(6))
    best = max(fits)[0]
    if any(group == every for _, group in fits) and (carry is None or sum(one.kg for one in offers) <= carry):
        assert len(choice.path) == 8, "what fits in whole is taken in whole"
    else:
        assert found == pytest.approx(best, abs=1e-5)


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6), minutes=st.floats(80, 260))
def test_many_stops_are_chosen_nearly_as_well(seed, minutes):
    """Grown one by one, a choice saves and brings at least three quarters of the best one."""
    import field_app.core.choosing as room

    offers, legs = scene(seed, 10, due=1.0)
    offers = [Offer(one.kg or 1.0, one.worth or 0.5) for one in offers]
    limit = Limits(minutes, None, stop=10.0)
    exact = choose(offers, legs, limit)
    before, room.EXACT = room.EXACT, 0
    try:
        grown = choose(offers, legs, limit)
    finally:
        room.EXACT = before
    best, found = (sum(offers[node - 1].worth for node in one.path[1:-1]) for one in (exact, grown))
    assert found <= best + 1e-9
    assert found >= 0.75 * best


def test_what_would_be_lost_comes_first():
    """With time for one of two, the one that rots goes before the one that is worth more and will still be there."""
    legs = matrix([(0, 0), (10, 0), (-10, 0)], flat)
    offers = [Offer(5, 5.0, lost=0.0), Offer(4, 4.0, lost=2.0)]
    assert choose(offers, legs, Limits(minutes=25)).path == (0, 2, 3)


def test_what_is_not_due_must_be_worth_the_way():
    """By the path it is taken along, far off it is not; what it would add is told."""
    legs = matrix([(0, 0), (30, 0), (30, 1), (0, 60)], flat)
    offers = [Offer(10, 10), Offer(1, 1, due=False), Offer(1, 1, due=False)]
    choice = choose(offers, legs, Limits(stop=5, hour=2))
    assert sorted(choice.path[1:-1]) == [1, 2]
    assert choice.extra[2] > 60


def test_a_need_takes_the_shortest_round_that_brings_it():
    """Two near trees that make it together are better than a rich one far away; the rest stays where it is."""
    legs = matrix([(0, 0), (5, 0), (6, 0), (80, 0)], flat)
    offers = [Offer(7, 7), Offer(7, 7), Offer(30, 30)]
    choice = choose(offers, legs, Limits(need=12))
    assert sorted(choice.path[1:-1]) == [1, 2]
    assert sum(choice.kg) == pytest.approx(12)


def test_a_need_that_can_not_be_met_takes_what_there_is():
    """All that can be had, and no more."""
    legs = matrix([(0, 0), (5, 0), (6, 0)], flat)
    choice = choose([Offer(3, 3), Offer(4, 4, due=False)], legs, Limits(need=12, hour=99))
    assert sum(choice.kg) == pytest.approx(7)


def test_what_can_be_carried_is_filled_with_what_is_worth_most():
    """Of two by the way, the back is filled with what would be lost, then with the stronger."""
    legs = matrix([(0, 0), (5, 0), (6, 0), (7, 0)], flat)
    offers = [Offer(10, 5), Offer(10, 9), Offer(10, 6, lost=3)]
    choice = choose(offers, legs, Limits(carry=15))
    assert dict(zip(choice.path[1:-1], choice.kg, strict=True)) == {2: pytest.approx(5), 3: pytest.approx(10)}
