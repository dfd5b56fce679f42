"""The seasons of a book looked back on, and that no forecast of an earlier day knows of later records."""

import datetime as dt
import itertools

import pytest

from field_app.core.coverage import coverage_of, place_of
from field_app.core.deeds import StepForm
from field_app.core.forms import WindfallForm
from field_app.core.load import estimate_lot
from field_app.core.looks import LookForm
from field_app.core.own_deeds import OwnTestForm, ValueForm
from field_app.core.review_estimates import CHECKED
from field_app.core.season_review import of_year
from field_app.core.weather import WeatherForm
from field_app.store import (
    add_look,
    fill_demo,
    note_test,
    open_book,
    season_review,
    season_steps,
    set_value,
    take_weather,
    timings,
)

WINTER = dt.datetime.fromisoformat("2026-12-15T15:00:00-02:00")


@pytest.fixture
def book(tmp_path):
    numbers = itertools.count(1)

    def new_id():
        return f"urn:uuid:00000000-0000-7000-8000-{next(numbers):012x}"

    fill_demo(tmp_path / "book", new_id=new_id).close()
    found = open_book(tmp_path / "book", clock=lambda: WINTER, new_id=new_id)
    yield found
    found.close()


def trees(review):
    return {(tree.site_name, tree.material): tree for tree in review.trees}


def stood(review):
    return {(tree.site_name, tree.material, one.year): one.stood for tree in review.trees for one in tree.years}


def test_the_three_invented_seasons_are_judged(book):
    """Every tree with three seasons is counted, once for each of two days, and the counts are those of counting."""
    review = season_review(book)
    assert review.all_years == (2023, 2024, 2025, 2026)
    for early in (True, False):
        by_hand = [place_of(one.seen, stood.low, stood.high) for tree in review.trees for one in tree.years
                   for stood in one.stood if stood.early is early and one.over and one.seen and one.off <= 5]
        assert review.forecasts(early) == coverage_of(by_hand)
        assert review.forecasts(early).n >= 3 * 8


def test_the_forecast_of_an_earlier_day_is_what_the_screen_would_have_shown(book):
    """Asked for the eve of each day, the season screen's own forecast gives the same three dates."""
    review = season_review(book)
    site = book.site("Mill lane")
    for year in trees(review)["Mill lane", "black-walnut"].years:
        for one in year.stood:
            (told,) = timings(book, sites=(site,), today=one.made - dt.timedelta(days=1))
            assert (told.forecast.p10, told.forecast.p50, told.forecast.p90) == (one.low, one.central, one.high)


def test_records_of_later_change_no_forecast_of_before(book):
    """Looks, tests, values and temperatures of a later day leave every forecast that stood before it as it was."""
    before = stood(season_review(book))
    add_look(book, "Mill lane", LookForm("black-walnut", stage="fallen", at="2026-11-20 10:00"))
    add_look(book, "Mill lane", LookForm("black-walnut", stage="black", at="2026-11-28 10:00"))
    set_value(book, ValueForm("black-walnut", "crop-spread", "15 days"))
    note_test(book, OwnTestForm("dry", "200 g", "30 g", material="black-walnut", state="fresh"))
    take_weather(book, WeatherForm("date,min,max\n2026-12-01,20,40\n2026-12-02,20,40\n", "C", "the mill", ""))
    assert stood(season_review(book)) == before


def test_a_look_of_before_does_change_it(book):
    """A look of an earlier season moves the forecasts after it, so that the test above can fail."""
    before = stood(season_review(book))
    add_look(book, "Mill lane", LookForm("black-walnut", stage="green", at="2025-10-20 10:00"))
    after = stood(season_review(book))
    key = ("Mill lane", "black-walnut", 2026)
    assert before[key] != after[key]
    assert before["Mill lane", "black-walnut", 2025] == after["Mill lane", "black-walnut", 2025]


def test_yields_tell_whole_fruit_from_hull(book):
    """Old orchard gave whole fruit, fresh hull and dry hull in 2026, each the sum of its lots; air-dry is one sum."""
    (one,) = trees(season_review(book))["Old orchard", "black-walnut"].yields
    lots = [lot for lot in book.lots(limit=-1) if lot.site_name == "Old orchard"]
    assert (one.year, one.lots) == (2026, 4)
    for part, condition, mass in one.parts:
        of = [lot.net for lot in lots if (lot.facts.part, lot.facts.condition) == (part, condition)]
        assert mass.central == pytest.approx(sum(net.central for net in of))
        assert mass.high == pytest.approx(sum(net.high for net in of))
    assert len(one.parts) == 3
    assert one.air_dry.central == pytest.approx(sum(estimate_lot(lot.facts, lot.stuff).air_dry.central for lot in lots))


def test_what_is_weighed_later_judges_and_what_is_tested_teaches(book):
    """A counted load weighed the day after, and a dry test, are each one estimate that was judged; the test teaches."""
    before = season_review(book)
    assert {one.lot for one in before.checks} == {"0JDW", "Z2Z9", "HJDD", "SASA", "MBGP"}  # what the demo tells
    counted = book.log(WindfallForm(site="Mill lane", material="black-walnut", part="whole-fruit", ripeness="fallen",
                                    count="190", gathered="2026-09-23 10:00"))
    book.step(counted.code, StepForm("weighed", mass="12.4 kg", at="2026-09-24 10:00"))
    note_test(book, OwnTestForm("dry", "200 g", "34 g", lot=counted.id, at="2026-09-25 10:00"))
    review = season_review(book)
    assert [(one.kind, one.lot, one.place) for one in review.checks if one not in before.checks] == [
        ("counted", counted.code, "inside"), ("dry", counted.code, "inside")]
    assert review.estimates_of("counted").n == before.estimates_of("counted").n + 1
    assert set(review.as_json()["estimates"]["kinds"]) >= {"counted", "dry"}
    assert set(review.as_json()["estimates"]["kinds"]) <= set(CHECKED)
    (lesson,) = [one for one in review.lessons if one.material == "black-walnut"]
    assert (lesson.name, lesson.tests) == ("dry-fresh", 1)
    assert lesson.after.high - lesson.after.low < lesson.before.high - lesson.before.low


def test_one_year_is_a_part_of_all(book):
    """The counts of the years add up to the count of all, and each tells of its own year alone."""
    review = season_review(book)
    parts = [of_year(review, year) for year in review.all_years]
    assert sum(part.forecasts(False).n for part in parts) == review.forecasts(False).n
    assert sum(part.forecasts(False).inside for part in parts) == review.forecasts(False).inside
    assert all({one.year for tree in part.trees for one in (*tree.years, *tree.yields)} == {part.year}
               for part in parts)
    assert season_review(book, 2024).as_json() == of_year(review, 2024).as_json()


def test_it_tells_how_far_it_is(book):
    """Tree by tree, from none to one before all, so that it can be shown and stopped."""
    steps = list(season_steps(book))
    assert [done for done, _ in steps] == list(range(len(steps)))
    assert {of for _, of in steps} == {len(steps)}
