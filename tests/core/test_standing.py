"""How a tree stands: nobody is told that it is ready once its sound time is over."""

import datetime as dt

import pytest

from field_app.core.materials import material
from field_app.core.ripeness import Seen, forecast
from field_app.core.standing import standing, standing_words

WALNUT, BARK = material("black-walnut"), material("oak-bark")


def told(today, seen=(), stuff=WALNUT):
    return forecast(None, stuff, seen, today)


def words(one, today):
    return standing_words(one, today, dt.date.isoformat)


def test_a_season_goes_from_coming_to_past_its_best_and_never_back():
    """Day by day through a season a tree is coming, may be ready, is ready, is past its best; each in its turn."""
    seen = (Seen(dt.date(2025, 9, 26), "dented"), Seen(dt.date(2024, 9, 26), "dented"))
    days = [dt.date(2026, 8, 1) + dt.timedelta(days=at) for at in range(110)]
    stands = [standing(told(day, seen), day) for day in days]
    turns = [one for at, one in enumerate(stands) if at == 0 or stands[at - 1] != one]
    assert turns[:4] == ["coming", "maybe", "ready", "late"]
    assert set(turns[4:]) <= {"coming"}  # the next year's


@pytest.mark.parametrize("number", range(0, 120, 3))
def test_ready_is_never_told_after_the_day_until_which_it_is_good(number):
    """Whatever the day, the words name a day to go by that is still to come."""
    today = dt.date(2026, 8, 1) + dt.timedelta(days=number)
    one = told(today)
    if standing(one, today) == "ready":
        assert today <= one.sound_until
        assert words(one, today).endswith(one.sound_until.isoformat())
    else:
        assert "go by" not in words(one, today)


def test_what_was_seen_sound_goes_before_the_reckoning():
    """A tree found sound on a late day is good for some days more; found black, or gathered, it is not."""
    late = dt.date(2026, 10, 20)
    assert standing(told(late), late) == "late"
    for sound in (Seen(late, "fallen"), Seen(late, "dented"), Seen(late, None, 7, 10)):
        one = told(late, (sound,))
        assert (standing(one, late), one.sound_until) == ("ready", late + dt.timedelta(days=3))
        assert words(one, late) == "Ready now; go by 2026-10-23"
    for turned in (Seen(late, "black"), Seen(late, "fallen", kg=8.0), Seen(late, "browned")):
        assert standing(told(late, (turned,)), late) == "late"


def test_over_is_over():
    """Once somebody says that it is over, no word of readiness is left."""
    spring = dt.date(2026, 5, 10)
    one = told(spring, (Seen(spring, "over"),), BARK)
    assert (standing(one, spring), words(one, spring)) == ("over", "Over for this year")


def test_how_sure_it_is_stands_in_the_words():
    """Unsure ones say so: may be with its share, probably ready, probably past its best."""
    seen = (Seen(dt.date(2026, 9, 20), "green"), Seen(dt.date(2026, 9, 26), None, 4, 10))
    found = {words(told(day, seen), day).partition(" 2026")[0]
             for day in (dt.date(2026, 9, 12) + dt.timedelta(days=at) for at in range(50))}
    for start in ("Ready around", "It may be ready now", "Probably ready (", "Ready now; go by",
                  "Probably past its best since about", "Past its best since about"):
        assert any(one.startswith(start) for one in found), start


def test_of_bark_the_sap_is_told():
    """Bark is not ready: its sap is up, or has gone down."""
    told_words = {words(told(day, (), BARK), day).partition(":")[0].partition(" 20")[0].partition(" (")[0]
                  for day in (dt.date(2026, 3, 1) + dt.timedelta(days=at) for at in range(140))}
    assert {"The sap is up around", "The sap may be up", "The sap is probably up"} <= told_words
    assert any(one.startswith("The sap has gone down") for one in told_words)
