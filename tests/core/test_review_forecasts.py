"""Forecasts of past days: what they may know, and how they are judged by the date seen."""

import datetime as dt

from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.materials import material
from field_app.core.positions import Position
from field_app.core.review_forecasts import BEFORE, MOST_OFF, forecast_before, replayed
from field_app.core.ripeness import Seen, forecast

WALNUT, BARK = material("black-walnut"), material("alder-bark")
ISLAND, SOUTH = Position(44.01, -28.0), Position(-44.01, -28.0)
TODAY = dt.date(2026, 12, 15)


def walnut(_):
    return WALNUT


def looked(*days):
    """A "not yet" and a "ripe" for each pair of days."""
    return [Seen(dt.date.fromisoformat(day), stage) for pair in days
            for day, stage in zip(pair, ("green", "dented"), strict=True)]


SEEN = looked(("2024-09-20", "2024-09-26"), ("2025-09-22", "2025-09-26"), ("2026-09-18", "2026-09-24"))
STAGES = st.sampled_from(["green", "yellowing", "dented", "fallen", "browned"])
DAYS = st.integers(0, 1100).map(lambda days: dt.date(2023, 12, 1) + dt.timedelta(days=days))
LOOKS = st.lists(st.builds(Seen, DAYS, STAGES), max_size=14)


def test_each_season_has_its_date_and_two_forecasts():
    """On the season's first day, and a week before the likeliest day of that forecast; the date lies between visits."""
    years = replayed(ISLAND, SEEN, walnut, TODAY)
    assert [(one.year, one.seen) for one in years] == [
        (2024, dt.date(2024, 9, 23)), (2025, dt.date(2025, 9, 24)), (2026, dt.date(2026, 9, 21))]
    for one in years:
        first, second = one.stood
        assert (first.early, first.made) == (True, dt.date(one.year, 3, 1))
        assert (second.early, second.made) == (False, first.central - dt.timedelta(days=BEFORE))


def test_a_forecast_is_the_one_that_stood_on_its_day():
    """It equals the forecast of that day from the looks of before it, worked out directly."""
    _, stood = replayed(ISLAND, SEEN, walnut, TODAY)[2].stood
    known = [one for one in SEEN if one.day < stood.made]
    direct = forecast(ISLAND, WALNUT, known, stood.made)
    assert (stood.low, stood.central, stood.high) == (direct.p10, direct.p50, direct.p90)


@settings(max_examples=60, deadline=None)
@given(LOOKS, LOOKS, DAYS)
def test_what_came_later_changes_no_forecast(before, after, day):
    """Whatever is noted of the day itself or later, the forecast of that day stays as it was."""
    known = [one for one in before if one.day < day]
    later = [one for one in after if one.day >= day]
    assert forecast_before(day, ISLAND, [*later, *known], walnut) == forecast_before(day, ISLAND, known, walnut)


@settings(max_examples=30, deadline=None)
@given(LOOKS, LOOKS)
def test_later_seasons_change_no_earlier_forecast(before, after):
    """A season that is added afterwards leaves the forecasts of all seasons before it alone."""
    cut = dt.date(2026, 1, 1)
    early = [one for one in before if one.day < cut]
    late = [one for one in after if one.day >= cut]
    alone = {one.year: one.stood for one in replayed(ISLAND, early, walnut, TODAY)}
    both = {one.year: one.stood for one in replayed(ISLAND, [*early, *late], walnut, TODAY)}
    assert {year: stood for year, stood in both.items() if year in alone} == alone


def test_figures_and_warmth_are_asked_for_the_day_of_the_forecast():
    """What gives the figures and the warmth is asked of before the very day, and gets no later look."""
    asked = []

    def warm(day, seen, stuff):
        asked.append((day, max((one.day for one in seen), default=dt.date.min)))

    figures = []

    def stuff(day):
        figures.append(day)
        return WALNUT

    years = replayed(ISLAND, SEEN, stuff, TODAY, warm)
    made = [stood.made for one in years for stood in one.stood]
    assert [day for day, _ in asked] == made
    assert all(last < day for day, last in asked)
    assert set(made) <= set(figures)


def test_the_date_judges_the_forecast():
    """Far earlier than the band is below, far later above, in it inside."""
    for ripe, place in ((("2026-08-01", "2026-08-05"), "below"), (("2026-09-20", "2026-09-26"), "inside"),
                        (("2026-11-10", "2026-11-16"), "above")):
        year = replayed(ISLAND, [*SEEN[:4], *looked(ripe)], walnut, dt.date(2027, 2, 1))[-1]
        assert year.place(year.stood[0]) == place


def test_what_is_not_over_or_not_well_known_judges_nothing():
    """A season that may still go on, one without a date, and a date known to weeks only are left out of the count."""
    on_the_day = replayed(ISLAND, SEEN, walnut, dt.date(2026, 9, 25))[-1]
    assert (on_the_day.over, on_the_day.place(on_the_day.stood[0])) == (False, None)
    green = replayed(ISLAND, [*SEEN[:4], Seen(dt.date(2026, 9, 1), "green")], walnut, TODAY)[-1]
    assert (green.seen, green.over, green.place(green.stood[0])) == (None, True, None)
    wide = replayed(ISLAND, [*SEEN[:4], *looked(("2026-09-01", "2026-09-30"))], walnut, TODAY)[-1]
    assert wide.off > MOST_OFF
    assert wide.place(wide.stood[0]) is None


def test_bark_brought_in_is_no_look_and_the_south_counts_its_own_year():
    """Bark gathered in autumn tells nothing of the sap; a southern autumn of 2026 belongs to 2026."""
    bark = replayed(ISLAND, [Seen(dt.date(2025, 10, 1), None, kg=5.0)], lambda _: BARK, TODAY)
    assert bark == ()
    south = replayed(SOUTH, looked(("2026-03-24", "2026-03-30")), walnut, TODAY)
    assert [(one.year, one.season.year, one.seen) for one in south] == [(2026, 2025, dt.date(2026, 3, 27))]


def test_a_tree_of_which_nothing_is_noted_has_no_season():
    """Without a look or a load, and for stuff without a season, there is nothing to look back on."""
    assert replayed(ISLAND, [], walnut, TODAY) == ()
    assert replayed(ISLAND, SEEN, lambda _: material("walnut-wood"), TODAY) == ()
