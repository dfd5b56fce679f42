"""Estimates of before a weighing, judged by what the scale said."""

import dataclasses
import datetime as dt

import pytest

from field_app.core.estimate import Range
from field_app.core.facts import DrawFacts, StepFacts
from field_app.core.known_then import records_before
from field_app.core.life import Draw, Step, live
from field_app.core.load import estimate_lot, net_mass
from field_app.core.lots import LotNow
from field_app.core.materials import material
from field_app.core.own import in_force
from field_app.core.review_estimates import Check, checks_of_lot, checks_of_tests
from field_app.core.units import Measure
from tests.core.lots_for_tests import fruit, lot
from tests.core.own_for_tests import MILL, dry_test, records, spent_test, value

NOTHING = records()
STUFF = material("black-walnut")


def day(number, hour=12):
    return f"2026-10-{number:02d}T{hour:02d}:00:00-02:00"


def kg(text):
    return Measure(text, "kg")


def lived(facts, *steps, draws=()):
    """A lot with its steps as (kind, day, mass, nuts), the latter two or empty; draws as days of one kilogram."""
    net = net_mass(facts, STUFF)
    made = [Step(str(at), StepFacts(lot="l", step=kind, at=when, mass=kg(mass) if mass else None,
                                    nuts=kg(nuts) if nuts else None), f"{at:03d}")
            for at, (kind, when, mass, nuts) in enumerate(steps)]
    drawn = [Draw(str(at), DrawFacts(lot="l", amount=kg("1"), at=when), f"{at:03d}") for at, when in enumerate(draws)]
    return LotNow("l", "ABCD", facts, None, False, "Mill lane", net, (), "", live(facts, net, made, drawn), STUFF)


COUNTED = fruit(basis="counted", count=100)
POURED = fruit(basis="poured", pails="1", pail=Measure("12", "L"))
HULL = lot(gross=kg("10"))


@pytest.mark.parametrize(("facts", "kind"), [(COUNTED, "counted"), (POURED, "poured")])
def test_a_weighing_within_two_days_judges_the_load(facts, kind):
    """What was counted or poured is set beside what the scale said; two days later the water is going."""
    (check,) = checks_of_lot(lived(facts, ("weighed", day(9), "6.1", "")), NOTHING)
    assert (check.kind, check.came, check.day) == (kind, 6.1, dt.date(2026, 10, 9))
    assert (check.thought.low, check.thought.high) == (net_mass(facts, STUFF).low, net_mass(facts, STUFF).high)
    assert checks_of_lot(lived(facts, ("weighed", day(11), "6.1", "")), NOTHING) == ()


def test_hulls_without_their_nuts_judge_the_share_of_hull():
    """Ten kilograms of fruit are thought to give 6.2 kg of hull; what the scale says of the hull judges that."""
    (check,) = checks_of_lot(lived(fruit(gross=kg("10")), ("weighed", day(9), "6.6", "3.2")), NOTHING)
    worth = estimate_lot(fruit(gross=kg("10")), STUFF)
    assert (check.kind, check.place) == ("hull", "inside")
    assert check.thought.central == pytest.approx(worth.fresh_hull.central)
    assert check.thought.central == pytest.approx(6.2)


def test_what_is_dried_judges_the_air_dry_mass():
    """Hulls that come off the loft lighter than thought are below; of fruit only once its nuts are out."""
    (check,) = checks_of_lot(lived(HULL, ("dried", day(28), "1.0", "")), NOTHING)
    assert (check.kind, check.place) == ("air-dry", "below")
    assert check.thought.central == pytest.approx(estimate_lot(HULL, STUFF).air_dry.central)
    assert checks_of_lot(lived(fruit(gross=kg("10")), ("dried", day(28), "3", "")), NOTHING) == ()
    kinds = [one.kind for one in checks_of_lot(
        lived(fruit(gross=kg("10")), ("weighed", day(9), "6.6", "3.2"), ("dried", day(28), "1.2", "")), NOTHING)]
    assert kinds == ["hull", "air-dry"]


def test_an_earlier_weighing_counts_for_what_is_dried_later():
    """After the hull was weighed, the air-dry mass is thought from that weighing, not from the fruit."""
    fruits = fruit(gross=kg("10"))
    _, dried = checks_of_lot(
        lived(fruits, ("weighed", day(9), "8", "1.9"), ("dried", day(28), "1.2", "")), NOTHING)
    assert dried.thought.central == pytest.approx(estimate_lot(lot(gross=kg("8")), STUFF).air_dry.central)


@pytest.mark.parametrize("lived_so", [
    lambda: lived(COUNTED, ("weighed", day(9), "6.1", ""), draws=(day(8, 18),)),
    lambda: lived(COUNTED, ("soaked", day(8, 18), "", ""), ("weighed", day(9), "6.1", "")),
    lambda: lived(HULL, ("weighed", day(9), "9.8", "")),
    lambda: lived(lot(gross=kg("3"), condition="air-dry"), ("dried", day(20), "2.9", "")),
    lambda: lived(COUNTED, ("spoiled", day(9), "", ""))])
def test_what_does_not_compare_judges_nothing(lived_so):
    """After a draw or a soak, or of a load that was weighed or dry at first, the scale tells of something else."""
    assert checks_of_lot(lived_so(), NOTHING) == ()


def test_the_estimate_knows_only_tests_of_before_the_weighing():
    """A dry test of before the drying narrows what was thought, one of after it changes nothing."""
    def dried(at):
        own = records(dry_test("200", "60", at=at, lot="l"))
        (check,) = checks_of_lot(lived(HULL, ("dried", day(28), "2.0", "")), own)
        return check.thought

    table = estimate_lot(HULL, STUFF).air_dry
    assert (dried(day(29)).low, dried(day(29)).high) == (table.low, table.high)
    assert dried(day(20)).central > table.central


def test_a_test_judges_the_figure_as_it_stood_before_it():
    """The first dry test is judged by the table's band, the second by what the first one has taught."""
    first, second = (dry_test("200", after, key=key, at=day(number))
                     for after, key, number in (("50", "t1", 10), ("46", "t2", 12)))
    one, two = checks_of_tests(records(second, first))
    table = STUFF.parameters["dry-fresh"]
    taught = in_force("black-walnut", MILL, records(first)).parameters["dry-fresh"]
    assert (one.thought.low, one.thought.high, one.came) == (table.low, table.high, pytest.approx(0.25))
    assert (two.thought.low, two.thought.high, two.came) == (taught.low, taught.high, pytest.approx(0.23))
    (spent,) = checks_of_tests(records(spent_test()))
    assert (spent.kind, spent.came) == ("extract", pytest.approx(0.28))


def test_what_was_known_before_a_time_leaves_out_what_is_of_that_time():
    """A test of noon is not known at noon, nor on the morning of its day, but on the next one."""
    own = records(dry_test(at=day(10)), value(at=day(10)))
    noon = dt.datetime.fromisoformat(day(10))
    for when, known in ((noon, 0), (noon + dt.timedelta(minutes=1), 1), (dt.date(2026, 10, 10), 0),
                        (dt.date(2026, 10, 11), 1)):
        told = records_before(own, when)
        assert (len(told.tests), len(told.values)) == (known, known)


def test_the_ends_belong_to_what_was_thought():
    """What comes out at the very low or high is inside."""
    check = Check("dry", "black-walnut", "", "", dt.date(2026, 10, 9), Range(0.1, 0.2, 0.3, "1"), 0.3)
    assert check.place == "inside"
    assert dataclasses.replace(check, came=0.31).place == "above"
