"""What is shown in another measure is the same amount: read back it is the one that was shown, within its rounding."""

import datetime as dt
import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.day_text import clock_time, plain_day, short_day, span
from field_app.core.estimate import Range
from field_app.core.habits import PLAIN, Habits, go_by, habits, habits_from, person, used_to
from field_app.core.positions import show_distance
from field_app.core.problems import Refused
from field_app.core.shown_units import shown_as, unit_for
from field_app.core.units import UNITS, Measure, read_measure, show_range, show_round, show_si, show_told, show_value
from field_app.words import english

MEASURES = ("metric", "us", "imperial")
KINDS = {"mass": "kg", "volume": "L", "length": "m", "temperature": "degC"}


@given(st.sampled_from(sorted(KINDS)), st.floats(1e-4, 5e4), st.sampled_from(MEASURES), st.sampled_from(".,"))
def test_what_is_shown_is_read_back_as_the_same_amount(kind, value, measures, decimal):
    """Our own reader, told nothing of how it was shown, gives the amount back within three digits."""
    with used_to(measures=measures, decimal=decimal):
        text = show_si(value, KINDS[kind])
        read = read_measure(text, kind=kind, where="amount")
    # Half a unit of the third digit; below a millionth of the unit shown nothing is told.
    rough = 0.006 * max(value, 18 if kind == "temperature" else 0) + 1e-6 * 1700
    assert read.si == pytest.approx(value, abs=rough)


@given(st.floats(0.01, 2000), st.floats(1.001, 3), st.sampled_from(MEASURES), st.sampled_from(["kg", "L", "m"]))
def test_the_ends_of_a_range_stay_in_order_and_have_its_width(central, spread, measures, unit):
    """Low, central and high are shown in one unit, in order, and their ratio is that of the range."""
    with used_to(measures=measures):
        text = show_range(Range(central / spread, central, central * spread, unit))
    middle, low, high = (float(number) for number in re.findall(r"\d+(?:\.\d+)?", text))
    assert low <= middle <= high
    if low > 0:
        step = 10 ** (math.floor(math.log10(middle)) - 1)
        assert high / low == pytest.approx(spread ** 2, rel=2.2 * step / low)


@given(st.floats(0.001, 1e6), st.sampled_from(("us", "imperial")), st.sampled_from(["mass", "volume", "length"]))
def test_the_unit_taken_is_the_largest_of_which_there_is_enough(value, measures, kind):
    """Half a pound is told in ounces and two pounds in pounds; nothing is told as a share of a large unit."""
    key = unit_for(kind, value, measures)
    assert UNITS[key].kind == kind
    shown = shown_as(KINDS[kind], value, measures).of(value)
    least = {"mi": 0.5, "yd": 10, "ft": 1.5}.get(key, 0 if key in ("oz", "fl-oz-us", "fl-oz-imp", "in") else 1)
    assert shown >= least * (1 - 1e-6)


@pytest.mark.parametrize(("value", "unit", "us", "imperial"), [
    # NIST Handbook 44, Appendix C: 1 lb is 0.45359237 kg, 1 US gal 3.785411784 L, 1 yd 0.9144 m, exactly;
    # from memory, Weights and Measures Act 1985: 1 imperial gallon is 4.54609 L.
    (8.1, "kg", "17.9 lb", "17.9 lb"), (0.2, "kg", "7.05 oz", "7.05 oz"), (30.0, "L", "7.93 gal", "6.6 gal"),
    (2.0, "L", "2.11 qt", "3.52 pt"), (0.1, "L", "3.38 fl oz", "3.52 fl oz"), (0.38, "m", "15 in", "15 in"),
    (5.0, "m", "16.4 ft", "16.4 ft"), (3200.0, "m", "1.99 mi", "1.99 mi"), (60.0, "degC", "140 °F", "140 °F"),
    (-10.0, "degC", "14 °F", "14 °F"),
])
def test_single_figures_worked_by_hand(value, unit, us, imperial):
    """Each is the published factor times the figure, in three digits."""
    assert [show_si(value, unit, measures=one) for one in ("us", "imperial")] == [us, imperial]


@pytest.mark.parametrize(("value", "unit", "us", "imperial"), [
    (7.489, "g/L", "1 oz/gal", "1.2 oz/gal"),       # 28.349523125 g in 3.785411784 or 4.54609 L
    (120.0, "g/m²", "3.54 oz/yd²", "3.54 oz/yd²"),  # 1 oz/yd² is 33.90575 g/m²
    (62.5, "g/kg", "1 oz/lb", "1 oz/lb"),           # a sixteenth
    (25.0, "L/kg", "3 gal/lb", "2.49 gal/lb"),
    (1.0, "m²", "1.2 yd²", "1.2 yd²"),
    (450.0, "kg/m³", "35 lb/bu", "36.1 lb/bu"),     # the bushels of 35.23907 and 36.36872 L
    (5.0, "km/h", "3.11 mph", "3.11 mph"), (30.0, "%", "30 %", "30 %"), (2.0, "h", "2 h", "2 h"),
])
def test_pairs_of_units_worked_by_hand(value, unit, us, imperial):
    """A strength, a weight of cloth, a bath for cloth: the trade's pair of units, by the published factors."""
    assert [show_value(value, unit, measures=one) for one in ("metric", "us", "imperial")] == [
        f"{value:.3g} {unit}", us, imperial]


def test_distances_are_told_as_finely_as_before():
    """Yards whole, then in tens, then miles with a decimal while there are few."""
    with used_to(measures="us"):
        assert [show_distance(m) for m in (7.4, 312, 780, 1234, 15800)] == [
            "8 yd", "340 yd", "850 yd", "0.8 mi", "9.8 mi"]
    with used_to(measures="imperial", decimal=","):
        assert show_distance(1234) == "0,8 mi"


def test_a_rule_of_thumb_is_round_in_every_measure():
    """An example is not told to the third digit where it was round before."""
    assert [show_round(0.2, "g", measures=one) for one in MEASURES] == ["200 g", "7.1 oz", "7.1 oz"]
    assert [show_round(12, "L", measures=one) for one in MEASURES] == ["12 L", "3.2 gal", "2.6 gal"]


DAY, LATER = dt.date(2026, 10, 8), dt.date(2026, 10, 16)


@pytest.mark.parametrize(("dates", "plain", "short", "within", "across"), [
    ("day-month", "8 Oct 2026", "8 Oct", "8–16 Oct", "28 Sep – 3 Oct"),
    ("month-day", "Oct 8, 2026", "Oct 8", "Oct 8–16", "Sep 28 – Oct 3"),
    ("iso", "2026-10-08", "10-08", "2026-10-08 – 2026-10-16", "2026-09-28 – 2026-10-03"),
])
def test_days(dates, plain, short, within, across):
    """Each way of writing a day has its own way to tell two."""
    with used_to(dates=dates):
        assert (plain_day(DAY), short_day(DAY), span(DAY, LATER, DAY)) == (plain, short, within)
        assert span(dt.date(2026, 9, 28), dt.date(2026, 10, 3), DAY) == across
        new_year = span(dt.date(2026, 12, 28), dt.date(2027, 1, 3), DAY)
        assert "2026" in new_year
        assert "2027" in new_year


@given(st.dates(dt.date(1990, 1, 1), dt.date(2090, 1, 1)))
def test_a_day_in_figures_is_iso_8601(day):
    """It is what the standard library writes, and no month is named."""
    with used_to(dates="iso"):
        assert plain_day(day, DAY) == day.isoformat()


@given(st.times())
def test_the_clock_of_twelve_hours_is_that_of_the_standard_library(time):
    """Midnight is 12 am and noon 12 pm, as strptime reads it."""
    with used_to(clock="12"):
        shown = clock_time(time)
    assert dt.datetime.strptime(shown.upper(), "%I:%M %p").time() == time.replace(second=0, microsecond=0)  # noqa: DTZ007 - a time of day


def test_for_programs_nothing_follows_the_choice():
    """What other programs read is plain, while what a person types is still meant as the person means it."""
    go_by(Habits("imperial", decimal=",", dates="iso"))
    with english():
        assert habits() == PLAIN
        assert show_si(8.1, "kg") == "8.1 kg"
        assert person().gallons == "imp"
        assert read_measure("3 gal", kind="volume", where="pail").unit == "gal-imp"
    assert show_si(8.1, "kg") == "17,9 lb"


def test_what_is_kept_is_read_and_what_is_said_is_checked():
    """A choice goes through its texts unchanged; an unknown one is left out where it was kept, refused where said."""
    chosen = Habits("us", ",", "iso", "12", "left", "en", "sun")
    assert habits_from(chosen.as_texts()) == chosen
    assert PLAIN.as_texts() == {}
    assert habits_from({"measures": "cubits", "clock": "12"}) == Habits(clock="12")
    with pytest.raises(Refused, match="cubits"):
        habits_from({"measures": "cubits"}, strict=True)
    with pytest.raises(Refused):
        Habits(language="xx")


@pytest.mark.parametrize(("told", "shown"), [
    (Measure("12.5", "kg"), {"metric": "12.5 kg", "us": "12.5 kg (27.6 lb)", "imperial": "12.5 kg (27.6 lb)"}),
    (Measure("850", "g"), {"metric": "850 g", "us": "850 g (1.87 lb)"}),
    (Measure("7", "oz"), {"metric": "7 oz (198 g)", "us": "7 oz", "imperial": "7 oz"}),
    (Measure("28", "L"), {"metric": "28 L", "us": "28 L (7.4 gal)", "imperial": "28 L (6.16 gal)"}),
])
def test_what_somebody_told_in_other_measures_is_said_in_ones_own_too(told, shown):
    """As it was told stays to be seen, and nobody has to reckon: 1 lb is 0.45359237 kg (NIST Handbook 44)."""
    for measures, words in shown.items():
        with used_to(measures=measures):
            assert show_told(told) == words
