"""Tables of daily temperatures: what is read, what is told, what is refused."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.forms import Situation
from field_app.core.problems import Refused
from field_app.core.records import Version, settle
from field_app.core.trust import examine
from field_app.core.weather import WarmthFacts, WeatherForm, celsius, decide_weather, read_table, temperatures

TODAY = dt.date(2026, 10, 8)
NOW = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")
SITUATION = Situation((), NOW, lambda: "unused")


def read(text, **how):
    return read_table(text, today=TODAY, **how)


@pytest.mark.parametrize("text", [
    "date,min (°C),max (°C)\n2026-09-01,9.5,22\n", "Date;Tmin [degC];Tmax [degC]\n20260901;9,5;22\n",
    "\ufeffday\tlowest_C\thighest_C\n2026-09-01T00:00\t9.5\t22\n", 'max °C,date,min °C\n22,2026-09-01,"9,5"\n',
    "station,date,min (Celsius),max (Celsius),rain\nX,2026-09-01,+9.5,22,3\n"])
def test_tables_as_other_programs_write_them(text):
    """Commas, semicolons and tabs, decimal point and comma, columns in any order: the same day."""
    table = read(text)
    assert table.unit == "degC"
    assert {day: tuple(map(float, pair)) for day, pair in table.days.items()} == {dt.date(2026, 9, 1): (9.5, 22)}


def test_fahrenheit_is_told_by_the_heading_or_the_option():
    """50 °F are 10 °C; without a unit in heading or option nothing is guessed."""
    row = "2026-09-01,50,68\n"
    for text, how in ((f"date,min (°F),max (°F)\n{row}", {}), (f"date,min,max\n{row}", {"unit": "F"})):
        table = read(text, **how)
        assert [celsius(value, table.unit) for value in table.days[dt.date(2026, 9, 1)]] == [10, 20]
    with pytest.raises(Refused, match="--unit"):
        read("date,min,max\n2026-09-01,9,22\n")
    with pytest.raises(Refused, match="neither C nor F"):
        read("date,min,max\n2026-09-01,9,22\n", unit="K")


def test_gaps_are_told_and_not_filled():
    """A missing row, an empty cell and a sign for nothing are gaps; before the first and after the last is none."""
    table = read("date,min_C,max_C\n2026-09-01,9,22\n2026-09-03,9,21\n2026-09-04,,21\n2026-09-05,NA,NA\n"
                 "2026-09-06,8,20\n")
    assert [(str(first), str(last)) for first, last in table.gaps] == [("2026-09-02", "2026-09-02"),
                                                                      ("2026-09-04", "2026-09-05")]
    assert len(table.days) == 3


@pytest.mark.parametrize(("text", "where", "words"), [
    ("", "FILE", "no"), ("hello\n", "FILE", "not a table"), ("date,min\n2026-09-01,9\n", "headings", "max"),
    ("a,b,c\n1,2,3\n", "headings", "date, min and max"), ("date,min_C,max_C\n", "FILE", "no day"),
    ("date,min_C,max_C\n1/9/2026,9,22\n", "row 2", "not a day"),
    ("date,min_C,max_C\n2026-02-30,9,22\n", "row 2", "day"),
    ("date,min_C,max_C\n2026-10-09,9,22\n", "row 2", "still to come"),
    ("date,min_C,max_C\n1850-09-01,9,22\n", "row 2", "before 1900"),
    ("date,min_C,max_C\n2026-09-01,warm,22\n", "row 2", "not a temperature"),
    ("date,min_C,max_C\n2026-09-01,22,9\n", "row 2", "swapped"),
    ("date,min_C,max_C\n2026-09-01,50,68\n", "row 2", "--unit F"),
    ("date,min_C,max_C\n2026-09-01,9,22\n2026-09-01,8,22\n", "row 3", "twice"),
])
def test_what_can_not_be_read_is_named_with_its_row(text, where, words):
    """Each fault says its row or column and what to do."""
    with pytest.raises(Refused) as refused:
        read(text)
    assert refused.value.problems[0].where == where
    assert words in str(refused.value)
    assert all(problem.fix for problem in refused.value.problems)


def test_all_faults_are_told_up_to_a_few():
    """Of thirty wrong rows eight are told, and how many more there are."""
    with pytest.raises(Refused) as refused:
        read("date,min_C,max_C\n" + "2026-09-01,x,y\n" * 30)
    assert len(refused.value.problems) == 9
    assert "22 rows more" in str(refused.value)


def test_a_table_over_new_year_becomes_two_records():
    """A calendar year of a place is a record; taken in again, only what is new is written, as its next version."""
    text = "date,min_C,max_C\n2025-12-31,1,5\n2026-01-01,0,4\n2026-01-03,-2,3\n"
    decided, _ = decide_weather(WeatherForm(text, name="mill"), {}, SITUATION)
    facts = [WarmthFacts.model_validate(dict(draft.facts)) for draft in decided.drafts]
    assert [(one.year, one.low) for one in facts] == [(2025, ("1",)), (2026, ("0", "", "-2"))]
    assert temperatures(facts)[dt.date(2026, 1, 3)] == (-2, 3)
    held = {}
    for number, draft in enumerate(decided.drafts, 1):
        stamp = f"{1_791_900_000_000:013d}-0000-{'a' * 16}"
        version = Version(draft.thing, "warmth", draft.facts, stamp, "a" * 16, number)
        assert examine(version) is None
        held[draft.thing] = settle([version])
    again, _ = decide_weather(WeatherForm("date,min_C,max_C\n2026-01-02,-1,2\n", name="mill"), held, SITUATION)
    (draft,) = again.drafts
    assert draft.facts["low"] == ["0", "-1", "-2"]
    assert draft.parents == held[draft.thing].heads
    assert decide_weather(WeatherForm(text, name="mill"), held, SITUATION)[0].drafts == ()


def test_days_in_another_unit_join_those_that_are_known():
    """A year begun in °C goes on in °C when °F are taken in: no day that was known is lost."""
    first, _ = decide_weather(WeatherForm("date,min_C,max_C\n2026-01-01,0,4.5\n"), {}, SITUATION)
    (draft,) = first.drafts
    version = Version(draft.thing, "warmth", draft.facts, f"{1_791_900_000_000:013d}-0000-{'a' * 16}", "a" * 16, 1)
    again, _ = decide_weather(WeatherForm("date,min_F,max_F\n2026-01-02,32,50.5\n"), {draft.thing: settle([version])},
                              SITUATION)
    facts = WarmthFacts.model_validate(dict(again.drafts[0].facts))
    assert (facts.unit, facts.low, facts.high) == ("degC", ("0", "0"), ("4.5", "10.28"))


@pytest.mark.parametrize("change", [
    {"high": ["5"]}, {"low": [], "high": []}, {"first": "2027-01-01"}, {"low": ["9", "1"]}, {"low": ["x", "1"]},
    {"low": ["1e3", "1"]}, {"year": "2026"}, {"unit": "K"}, {"low": ["", "1"]}, {"year": 99999}])
def test_temperatures_that_could_not_be_shown_are_set_aside(change):
    """A record from elsewhere has days of one year, each with both temperatures or none."""
    good = {"year": 2026, "first": "2026-01-01", "unit": "degC", "low": ["1", "1"], "high": ["5", "6"]}
    stamp = f"{1_791_900_000_000:013d}-0000-{'a' * 16}"
    thing = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa0001"
    assert examine(Version(thing, "warmth", good, stamp, "a" * 16, 1)) is None
    assert examine(Version(thing, "warmth", {**good, **change}, stamp, "a" * 16, 1)) is not None


@given(st.dictionaries(st.dates(dt.date(2024, 1, 1), TODAY), st.tuples(st.integers(-300, 200), st.integers(0, 250)),
                       min_size=1, max_size=40))
def test_what_is_written_is_read_again(days):
    """Days of any year, gaps between them: what the records hold is what the table said."""
    text = "date,min (°C),max (°C)\n" + "".join(
        f"{day},{low / 10},{(low + more) / 10}\n" for day, (low, more) in days.items())
    decided, _ = decide_weather(WeatherForm(text), {}, SITUATION)
    found = temperatures(WarmthFacts.model_validate(dict(draft.facts)) for draft in decided.drafts)
    assert found == {day: (low / 10, (low + more) / 10) for day, (low, more) in days.items()}
