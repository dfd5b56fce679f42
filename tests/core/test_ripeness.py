"""When a tree is ready: what each thing that is known does to the date."""

import datetime as dt
import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from field_app.core.belief import Belief, Dents, Observed, interval, updated
from field_app.core.materials import MATERIALS, material
from field_app.core.positions import Position
from field_app.core.ripeness import YEARLY, Seen, Warm, forecast, own_dates, prior_of
from field_app.core.season import Season, calendar_row, season_of

WALNUT = material("black-walnut")
ISLAND, MISSOURI = Position(44.01, -28.0), Position(39.0, -92.7)
OCT_1 = dt.date(2026, 10, 1)


def day(month, number, year=2026):
    return dt.date(year, month, number)


def told(seen=(), *, place=ISLAND, stuff=WALNUT, today=OCT_1, **how):
    return forecast(place, stuff, seen, today, **how)


def names(one):
    return [reason.name for reason in one.reasons]


def test_with_nothing_known_it_is_the_calendar_of_the_species():
    """In Missouri itself: 26 September, as wide as its cultivars and one tree's years together."""
    one = told(place=MISSOURI)
    half = 1.2815515655446 * math.hypot(10.1, YEARLY)
    assert one.p50 == day(9, 26)
    assert ((one.p50 - one.p10).days, (one.p90 - one.p50).days) == (round(half), round(half))
    assert names(one) == ["calendar of the species"]
    assert "XM1001" in one.reasons[0].source


@pytest.mark.parametrize(("place", "wider"), [
    (MISSOURI, False), (Position(40.5, -85.0), False), (ISLAND, True), (Position(45.0, -92.7), True), (None, True),
    (Position(-39.0, -92.7), True)])
def test_elsewhere_the_calendar_is_wider_but_not_moved(place, wider):
    """Away from where the calendar was seen ± 10 days become 14; the middle stays, and the reason is told."""
    mean, spread, reasons = prior_of(calendar_row("black-walnut"), place)
    assert mean == 209
    assert spread == pytest.approx(14.07 if wider else 10.1, abs=0.01)
    assert len(reasons) == (2 if wider else 1)


def test_between_the_tropics_the_calendar_says_little():
    """Near the equator the spread is two months."""
    assert prior_of(calendar_row("black-walnut"), Position(3.0, 36.8))[1] > 60


def test_hopkins_law_moves_it_only_when_chosen_and_shows_its_sign():
    """Five degrees north of the calendar: 20 days later or earlier, as chosen; east counts in North America only."""
    row = calendar_row("black-walnut")
    assert prior_of(row, Position(44.0, -28.0))[0] == 209
    later, _, reasons = prior_of(row, Position(44.0, -28.0), "later")
    assert (later, reasons[-1].value) == (229, "+20 days")
    earlier, _, reasons = prior_of(row, Position(44.0, -28.0), "earlier")
    assert (earlier, reasons[-1].value) == (189, "−20 days")
    assert prior_of(row, Position(44.0, -82.7), "later")[0] == pytest.approx(209 + 20 + 8)


def test_not_yet_cuts_off_what_is_earlier():
    """After a "not yet" the date is later, and no part of it lies before the look."""
    one = told([Seen(day(9, 28), "yellowing")])
    assert one.p10 > day(9, 28)
    assert one.p50 > told().p50
    assert one.belief.chance(Season(2026).day_of(day(9, 28))) == 0


def test_ripe_between_two_visits_is_an_interval():
    """Green on the 20th and dented on the 26th: the date lies between them."""
    one = told([Seen(day(9, 20), "green"), Seen(day(9, 26), "dented")])
    assert day(9, 20) < one.p10 <= one.p50 <= one.p90 <= day(9, 26)
    assert one.ready_today == pytest.approx(1)


def test_the_share_of_dents_enters():
    """Few dents put the date after the look, many before it, half and half onto it."""
    few, half, many = (told([Seen(day(9, 26), None, dented, 30)]) for dented in (3, 15, 27))
    assert few.p50 > day(9, 26) > many.p50
    assert abs((half.p50 - day(9, 26)).days) <= 1
    assert (few.p90 - few.p10) < (told().p90 - told().p10)


def test_looks_that_disagree_are_told_and_the_later_counts():
    """Ripe on the 20th but not yet on the 26th: the later look holds, and a reason says so."""
    one = told([Seen(day(9, 20), "fallen"), Seen(day(9, 26), "green")])
    assert one.p10 > day(9, 26)
    assert "looks that disagree" in names(one)


def test_what_was_gathered_is_a_look_too():
    """A lot of fallen fruit says that it was ripe by then; browned fruit, that it was some days before."""
    fallen, browned = (told([Seen(day(9, 26), stage, kg=12.0)]) for stage in ("fallen", "browned"))
    assert fallen.belief.by == Season(2026).day_of(day(9, 26))
    assert browned.belief.by == fallen.belief.by - 3


def test_a_few_on_the_ground_say_little_and_pails_of_them_much():
    """Some dozens fell early; hundreds say that it is ripe, unless few keep the dent of a thumb."""
    few, many = (told([Seen(day(9, 26), None, ground=count)]) for count in (40, 400))
    assert few.belief.is_open
    assert many.p90 <= day(9, 26)
    assert told([Seen(day(9, 26), None, 2, 10, ground=400)]).p50 > day(9, 26)


def test_own_years_pull_it_to_the_tree():
    """Three early years: the date moves to them, the range narrows, and their weight is told."""
    seen = [one for year in (2023, 2024, 2025)
            for one in (Seen(day(9, 5, year), "green"), Seen(day(9, 11, year), "dented"))]
    one = told(seen)
    assert day(9, 7) <= one.p50 <= day(9, 12)
    assert one.belief.sd < told().belief.sd
    (reason,) = [reason for reason in one.reasons if reason.name == "own earlier years"]
    assert "8 Sep 2023, 8 Sep 2024, 8 Sep 2025" in reason.value
    assert "%" in reason.source


def test_a_season_without_a_ripe_fruit_gives_no_date():
    """Only "not yet" in a year says too little; with a count of dents between none and all it gives one."""
    green = [Seen(day(9, 10, 2025), "green")]
    assert own_dates(green, WALNUT, Season(2026)) == ()
    ((year, one),) = own_dates([*green, Seen(day(9, 20, 2025), None, 15, 30)], WALNUT, Season(2026))
    assert year == 2025
    assert one.day == pytest.approx(Season(2025).day_of(day(9, 20, 2025)), abs=1.5)


def test_warmth_of_this_year_is_one_more_observation():
    """A warm year moves the date towards what the sum says, and the reason stands beside it."""
    one = told(warm=Warm(199.0, 5.0, "16 Sep ± 5 days"))
    assert one.p50 < told().p50
    assert "warmth of this year" in names(one)


def test_once_a_season_is_over_the_next_one_is_told():
    """In December nothing can be gathered any more: the forecast is for the year to come."""
    one = told(today=dt.date(2026, 12, 24))
    assert (one.season.year, one.p50, one.ready_today) == (2027, dt.date(2027, 9, 26), 0)


def test_ready_rises_and_falls_with_the_season():
    """It is nothing in July, most at the height of the fall, and nothing in December."""
    chances = [told(today=dt.date(2026, month, 10)).ready_today for month in (7, 9, 10, 11)]
    assert chances[0] == pytest.approx(0, abs=1e-4)
    assert chances[0] < chances[1] < chances[2] > chances[3]


def test_bark_is_ready_while_the_sap_is_up():
    """Alder bark slips from spring on; a lot of dried bark in autumn says nothing about that."""
    bark = material("alder-bark")
    one = told(stuff=bark, today=dt.date(2026, 4, 20))
    assert one.kind == "sap"
    assert one.ready_today > 0.8
    assert told([Seen(day(9, 14), kg=5.3)], stuff=bark, today=dt.date(2026, 12, 1)).belief.is_open
    assert told([Seen(day(4, 12), "over")], stuff=bark, today=dt.date(2026, 4, 20)).ready_today == 0


def test_wood_has_no_season():
    """What can be gathered at any time has no forecast."""
    assert told(stuff=material("walnut-wood")) is None


def test_the_south_has_its_own_year():
    """Half a year later, own years counted by southern seasons."""
    south = Position(-39.0, 176.0)
    seen = [Seen(dt.date(2026, 3, 10), "green"), Seen(dt.date(2026, 3, 16), "fallen")]
    one = told(seen, place=south, today=dt.date(2027, 2, 20))
    assert one.season == Season(2026, south=True)
    assert one.years[0][0] == 2025
    assert dt.date(2027, 3, 13) < one.p50 < dt.date(2027, 3, 29)


@given(st.sampled_from(sorted(MATERIALS)), st.dates(dt.date(2020, 1, 1), dt.date(2030, 12, 31)),
       st.floats(-70, 70), st.sampled_from(["none", "later", "earlier"]))
def test_every_forecast_is_in_order(key, today, latitude, hopkins):
    """Whatever the place and the day, the three dates are in order, a chance is a chance, and reasons are there."""
    one = told(place=Position(round(latitude, 4), 10.0), stuff=material(key), today=today, hopkins=hopkins)
    if one is not None:
        assert one.p10 <= one.p50 <= one.p90 <= one.ends
        assert 0 <= one.ready_today <= 1
        assert one.reasons
        assert one.ends >= today or one.season.year > season_of(today, latitude < 0).year


STAGES = st.sampled_from(["green", "yellowing", "dented", "fallen", "browned", "black", None])
SEEN = st.lists(st.builds(
    lambda offset, stage, dents: Seen(dt.date(2026, 8, 20) + dt.timedelta(days=offset), stage, *dents),
    st.integers(0, 41), STAGES, st.sampled_from([(None, None), (0, 10), (3, 10), (15, 30), (30, 30)])), max_size=4)


@settings(max_examples=200)
@given(SEEN, st.integers(0, 41), st.integers(0, 30))
def test_a_later_not_yet_never_makes_it_earlier(seen, offset, more):
    """Added, or moved to a later day, a "not yet" never makes any of the three dates earlier."""
    def with_not_yet(days):
        return told([*seen, Seen(dt.date(2026, 8, 20) + dt.timedelta(days=days), "green")])

    before, first, later = told(seen), with_not_yet(offset), with_not_yet(min(41, offset + more))
    assume(before.season == Season(2026))
    for share in (0.1, 0.5, 0.9):
        assert first.belief.quantile(share) >= before.belief.quantile(share) - 0.05
        assert later.belief.quantile(share) >= first.belief.quantile(share) - 0.05


@given(st.lists(st.tuples(st.floats(150, 260), st.floats(0, 60)), min_size=1, max_size=6), st.floats(150, 260),
       st.floats(3, 40))
def test_more_own_years_never_widen_it(years, mean, sd):
    """However far an own year lies from the others, the spread of the usual date doesn't grow."""
    told_years = [Observed(*one) for one in years]
    spreads = [updated(mean, sd, told_years[:count], YEARLY)[1] for count in range(len(years) + 1)]
    assert spreads == sorted(spreads, reverse=True)


@given(st.floats(180, 240), st.floats(2, 20), st.floats(180, 240), st.floats(0.5, 30),
       st.lists(st.builds(Dents, st.floats(180, 240), st.integers(0, 10), st.just(10), st.floats(5, 11)), max_size=2))
def test_a_belief_is_a_distribution(mean, sd, after, width, dents):
    """Chances rise from none to one between the ends, and the quantile of a chance is its day again."""
    one = Belief(mean, sd, after, after + width, tuple(dents))
    days = [*(after + width * part / 10 for part in range(10)), after + width]
    chances = [one.chance(at) for at in days]
    assert chances == sorted(chances)
    assert (chances[0], chances[-1]) == (0, 1)
    for share in (0.1, 0.5, 0.9):
        assert one.chance(one.quantile(share)) == pytest.approx(share, abs=1e-6)


@given(st.floats(180, 240), st.floats(3, 20), st.floats(-2, 2))
def test_the_grid_and_the_closed_form_agree(mean, sd, cut):
    """A truncated normal by its formula and by summing up: the same quantiles."""
    closed = Belief(mean, sd, mean + cut * sd)
    # A thumb test of a crop spread over a century weighs all dates alike, so only the grid is put to the test.
    grid = Belief(mean, sd, mean + cut * sd, dents=(Dents(mean, 5, 10, 36500.0),))
    for share in (0.1, 0.5, 0.9):
        assert grid.quantile(share) == pytest.approx(closed.quantile(share), abs=0.02 * sd)


def test_no_date_lies_between_ends_that_cross():
    """Ends in the wrong order, or no spread, are a fault of the program."""
    with pytest.raises(ValueError, match="no date"):
        Belief(200, 5, 210, 205)
    with pytest.raises(ValueError, match="no date"):
        Belief(200, 0)
    assert interval(10, 22) == Observed(16, 12)
