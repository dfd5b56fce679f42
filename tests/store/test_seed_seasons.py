"""The demo tells of enough seasons to learn from, and keeps the codes that the documentation shows."""

import itertools

import pytest

from field_app.store import fill_demo, looks_at, season_review, timings, warmth_series


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    numbers = itertools.count(1)
    book = fill_demo(tmp_path_factory.mktemp("demo") / "book",
                     new_id=lambda: f"urn:uuid:00000000-0000-7000-8000-{next(numbers):012x}")
    yield book
    book.close()


def test_eight_sites_at_least_have_three_seasons(demo):
    """At nine places one looked in three different years at least, and their forecasts use those years."""
    years = {}
    for look in looks_at(demo):
        years.setdefault(look.facts.site, set()).add(look.at.year)
    assert sum(len(found) >= 3 for found in years.values()) >= 8
    told = {one.site.name: len(one.forecast.years) for one in timings(demo)
            if one.forecast.season.year == 2026 and one.stuff.key != "oak-gall-apple"}
    assert sum(count >= 3 for count in told.values()) >= 7


def test_one_season_of_temperatures_is_there_with_its_gaps(demo):
    """From March to the day before the season's day, a few days missing."""
    (series,) = warmth_series(demo)
    assert len(series.days) == 218
    assert (min(series.days).isoformat(), max(series.days).isoformat()) == ("2026-03-01", "2026-10-07")
    assert all(-5 < low <= high < 35 for low, high in series.days.values())


def test_the_lots_keep_their_codes(demo):
    """Twelve lots under the codes that the documentation shows, though looks and temperatures were told too."""
    codes = [lot.code for lot in demo.lots()]
    assert len(codes) == 12
    assert codes[:3] == ["904D", "W8V6", "SASA"]


def test_there_is_something_to_have_learnt_from(demo):
    """Estimates that were judged of nearly every kind, one of them outside; tests and swatches that taught figures."""
    review = season_review(demo)
    assert {check.kind for check in review.checks} >= {"counted", "poured", "air-dry", "dry", "extract"}
    assert 0 < review.estimates.inside < review.estimates.n
    assert {one.material for one in review.lessons} >= {"english-walnut", "alder-cones", "acorn-cups"}
    assert sum(one.swatches for one in review.lessons) > 0
