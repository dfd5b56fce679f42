"""How long a lot keeps: days where custom has them, words where nobody has."""

import datetime as dt

import pytest

from field_app.core.keeping import use_by
from field_app.core.materials import CONDITIONS, MATERIALS, RIPENESS
from field_app.core.problems import Refused
from tests.core.lots_for_tests import fruit, lot

DAY = dt.date(2026, 10, 8)
OTHERS = [(key, part.key) for key, stuff in MATERIALS.items() for part in stuff.parts if not part.shows_ripeness]


def days(found):
    return [(day - DAY).days for day in (found.earliest, found.latest)]


@pytest.mark.parametrize(("ripe", "expected"), [
    ("green", [3, 10]), ("yellowing", [3, 10]), ("dented", [3, 10]), ("fallen", [3, 10]), ("browned", [0, 7]),
    ("black", [0, 0]), (None, [0, 10])])
@pytest.mark.parametrize("part", ["hull", "whole-fruit"])
def test_fresh_hull_has_days_by_its_ripeness(ripe, expected, part):
    """Firm hull turns in 3 to 10 days (common practice), browned hull is part of the way, black hull has turned."""
    found = use_by(lot(part=part, ripeness=ripe))
    assert days(found) == expected
    assert not found.keeps
    assert found.reason.source.endswith("common practice, no source")


def test_days_that_are_worked_out_say_so():
    """Browned hull, and hull of untold ripeness, have days that are marked as worked out, and from what."""
    for ripe, said in (("browned", "10 days less the 3"), (None, "how long it lay is not known")):
        reason = use_by(lot(ripeness=ripe)).reason
        assert (reason.basis, reason.mark) == ("worked out", "derived")
        assert said in reason.source


def test_every_ripeness_has_its_days():
    """No ripeness of the table is left without days, nor earlier than the one after it."""
    found = [days(use_by(fruit(ripeness=ripe))) for ripe in RIPENESS]
    assert found == sorted(found, reverse=True)


@pytest.mark.parametrize("ripe", [None, *RIPENESS])
def test_under_water_it_is_weeks(ripe):
    """Soaked hull is good for one to four weeks and more, whatever its ripeness; skim the mould."""
    found = use_by(lot(condition="soaked", ripeness=ripe))
    assert days(found) == [7, 28]
    assert "skim the mould" in found.advice
    assert "often for more" in found.words


@pytest.mark.parametrize(("material", "part"), [*OTHERS, ("butternut", "hull")])
def test_air_dry_keeps(material, part):
    """Air-dry stuff of every kind keeps while it stays dry, without a day."""
    found = use_by(lot(material=material, part=part, condition="air-dry"))
    assert (found.earliest, found.latest, found.keeps) == (None, None, True)
    assert found.state(dt.date(2126, 1, 1)) == "keeps"
    assert "stays dry" in found.words_on(DAY)


@pytest.mark.parametrize("condition", ["fresh", "soaked"])
@pytest.mark.parametrize(("material", "part"), OTHERS)
def test_where_no_figure_is_known_none_is_made_up(material, part, condition):
    """Fresh or soaked bark, galls, cones, leaves have no day; the words say so and the advice is to be quick."""
    found = use_by(lot(material=material, part=part, condition=condition))
    assert (found.earliest, found.latest, found.keeps) == (None, None, False)
    assert "no figure was found" in found.words
    assert not any(sign.isdigit() for sign in found.words + found.advice)
    assert "soon" in found.advice
    assert found.state(DAY) == "soon"
    assert found.words_on(DAY) == f"{found.words} {found.advice}"


@pytest.mark.parametrize(("on", "state", "said"), [
    (0, "good", "Good until 11 Oct 2026; it may turn from then on, and has turned by 18 Oct 2026."),
    (2, "good", "Good until 11 Oct 2026"), (3, "soon", "Use it soon, by 18 Oct 2026 at the latest."),
    (10, "soon", "Use it soon, by 18 Oct 2026 at the latest."),
    (11, "past", "Past its time since 18 Oct 2026: look at it before you use it."), (400, "past", "Past its time")])
def test_a_lot_goes_from_good_to_soon_to_past(on, state, said):
    """Before the earliest day it is good, from it to the latest soon, after that past; a sentence says which."""
    found = use_by(lot(ripeness="fallen"))
    today = DAY + dt.timedelta(days=on)
    assert found.state(today) == state
    assert found.words_on(today).startswith(said)


def test_black_hull_is_for_today():
    """Black hull is to be used on the day it was gathered, or dried."""
    found = use_by(lot(ripeness="black"))
    assert [found.state(DAY + dt.timedelta(days=n)) for n in (0, 1)] == ["soon", "past"]
    assert found.advice == "Use it at once, or dry it."


def test_the_day_is_the_day_where_it_was_gathered():
    """A lot gathered at half past eleven at night counts from that local day, not from the next one in Greenwich."""
    found = use_by(lot(ripeness="fallen", gathered="2026-10-08T23:30:00-02:00"))
    assert found.earliest == dt.date(2026, 10, 11)


def test_a_year_and_a_month_end_are_passed():
    """Days run over the end of a year."""
    found = use_by(lot(ripeness="fallen", gathered="2026-12-29T10:00:00-02:00"))
    assert (found.earliest, found.latest) == (dt.date(2027, 1, 1), dt.date(2027, 1, 8))


def test_it_is_plain_data_too():
    """As plain data, days are ISO dates or None."""
    dated, kept = use_by(lot(ripeness="fallen")).as_json(), use_by(lot(condition="air-dry")).as_json()
    assert (dated["earliest"], dated["latest"], dated["keeps"]) == ("2026-10-11", "2026-10-18", False)
    assert (kept["earliest"], kept["latest"], kept["keeps"]) == (None, None, True)
    assert dated["reason"]["mark"] == "practice"


def test_what_is_not_in_the_table_is_refused():
    """An unknown ripeness, part or material is refused."""
    assert set(CONDITIONS) == {"fresh", "soaked", "air-dry"}
    for facts in ({"ripeness": "rotten"}, {"part": "cone"}, {"material": "moon-bark"}):
        with pytest.raises(Refused, match=r"is not known|has no part"):
            use_by(lot(**facts))
