"""The clock of a dye day."""

import datetime as dt

import pytest

from field_app.core.plan_clock import TAKES, BathTime, Firing, clock_of, day_words
from field_app.core.plans import PlanFacts, read_clock
from field_app.core.problems import Refused

FACTS = PlanFacts(name="A day", day="2026-10-10", fire="08:00")
WALNUT = Firing("walnut", 36.0, 2.0)


def rows_with(rows, words):
    return [row for row in rows if words in row.words]


def test_soaking_ends_when_the_fire_is_lit():
    """36 hours of soak begin two days before at eight in the evening."""
    soak, = rows_with(clock_of(FACTS, [WALNUT], []), "under water")
    assert (f"{soak.start}", f"{soak.end}") == ("2026-10-08 20:00:00", "2026-10-10 08:00:00")
    assert day_words(soak, FACTS.day) == "2 days before"


def test_a_bath_starts_when_its_liquor_is_strained_and_its_alum_is_done():
    """One hour to heat, two to simmer, half to strain: 11:30; the alum was ready before."""
    rows = clock_of(FACTS, [WALNUT], [BathTime("wool", "walnut", 1.5, alum=True, iron=True)])
    bath, = rows_with(rows, "into the bath")
    assert bath.start.time() == dt.time(11, 30)
    iron, = rows_with(rows, "into the iron")
    rinse, = rows_with(rows, "Rinse")
    assert (iron.start, rinse.start) == (bath.end, iron.end)
    assert bath.minutes == 90


def test_potfuls_and_strainings_take_their_time_each():
    """Two potfuls strained twice are four times on the fire."""
    rows = clock_of(FACTS, [Firing("walnut", 0, 2.0, potfuls=2, strainings=2)], [])
    assert len(rows_with(rows, "Keep walnut at a simmer")) == 4
    assert max(row.end for row in rows) - min(row.start for row in rows) == dt.timedelta(
        hours=4 * (TAKES["heat"] + 2.0 + TAKES["strain"]))


def test_more_pots_let_baths_go_side_by_side():
    """Two baths of one hour in two pots end together, in one pot one after the other."""
    baths = [BathTime("wool", "walnut", 1.0), BathTime("silk", "walnut", 1.0)]
    side = rows_with(clock_of(FACTS, [WALNUT], baths, pots=2), "into the bath")
    turn = rows_with(clock_of(FACTS, [WALNUT], baths, pots=1), "into the bath")
    assert side[0].start == side[1].start
    assert turn[1].start == turn[0].end


def test_a_clock_of_nothing_is_empty():
    """Without liquor and cloth there is nothing to do."""
    assert clock_of(FACTS, [], []) == ()


@pytest.mark.parametrize("text", ["", "8", "24:00", "8:60", "noon", "08:00:00", "٠٨:٠٠"])
def test_what_is_no_time_of_day_is_refused(text):
    """Hours and minutes in plain digits, nothing else."""
    with pytest.raises(Refused, match="time of day"):
        read_clock(text, where="fire")
