"""What is left of a lot as a load: draws, later weighings, and what became liquor."""

import datetime as dt

import pytest

from field_app.core.brew import Brew
from field_app.core.estimate import Range
from field_app.core.estimated import estimated_lot
from field_app.core.facts import DrawFacts, StepFacts
from field_app.core.left import estimate_left, left_of
from field_app.core.life import Draw, Step, live
from field_app.core.load import estimate_lot, net_mass
from field_app.core.lots import LotNow
from field_app.core.units import Measure
from tests.core.lots_for_tests import GATHERED, fruit, lot, three

START = dt.datetime.fromisoformat(GATHERED)


def at(hours):
    return (START + dt.timedelta(hours=hours)).isoformat()


def step(kind, hours, **facts):
    return Step(f"step-{hours}", StepFacts(lot="urn:uuid:1", step=kind, at=at(hours), **facts), f"{hours:04d}")


def draw(amount, unit, hours):
    facts = DrawFacts(lot="urn:uuid:1", amount=Measure(amount, unit), at=at(hours))
    return Draw(f"draw-{hours}", facts, f"{hours:04d}")


def now(facts, *steps_and_draws):
    steps = [one for one in steps_and_draws if isinstance(one, Step)]
    draws = [one for one in steps_and_draws if isinstance(one, Draw)]
    net = net_mass(facts)
    return LotNow("urn:uuid:1", "AAAA", facts, None, False, "Mill lane", net, (), "", live(facts, net, steps, draws))


TEN = {"gross": Measure("10", "kg")}


def test_an_untouched_lot_is_worth_what_it_was():
    """Without steps and draws, what is left is the whole load in every figure."""
    facts = fruit(**TEN, ripeness="fallen")
    assert estimate_left(now(facts)) == estimate_lot(facts)


def test_half_of_it_dyes_half_of_the_cloth():
    """Once 5 of 10 kg were drawn, the lot dyes half of what it did, at the central values."""
    facts = lot(**TEN)
    whole, left = estimate_lot(facts), estimate_left(now(facts, draw("5", "kg", 1)))
    assert left.net.central == pytest.approx(5)
    for one, other in zip(left.shades, whole.shades, strict=True):
        assert one.cloth.central == pytest.approx(other.cloth.central / 2)


def test_a_lot_weighed_again_counts_in_its_new_state():
    """Dried to 1.6 kg, a load of fresh hull is 1.6 kg of air-dry hull, and no guess at its water is left."""
    left = estimate_left(now(lot(**TEN), step("dried", 200, mass=Measure("1.6", "kg"))))
    assert left.air_dry.central == pytest.approx(1.6)
    assert left.air_dry.high / left.air_dry.low < 1.2


def test_a_step_without_a_weighing_changes_no_figure():
    """Put under water without a weighing, the load is still worth what it was as gathered."""
    facts = lot(**TEN)
    assert three(estimate_left(now(facts, step("soaked", 5))).air_dry) == three(estimate_lot(facts).air_dry)


def test_once_the_nuts_are_out_the_rest_is_hull():
    """Weighed again beside its nuts, whole fruit is hull alone, and promises no nuts a second time."""
    left = estimate_left(now(fruit(**TEN), step("weighed", 3, mass=Measure("6", "kg"), nuts=Measure("3.7", "kg"))))
    assert left.fresh_hull.central == left.net.central == pytest.approx(6)
    assert left.nuts is None


def test_liquor_is_worth_what_went_into_the_pot():
    """10 kg of hull, 4 drawn before the pot: 6 kg went in, and straining them to 20 L takes no colour away."""
    strained = now(lot(**TEN), draw("4", "kg", 1), step("strained", 5, volume=Measure("20", "L")))
    left = left_of(strained)
    assert left.mass.central == pytest.approx(6)
    assert (left.share, left.volume.central) == (1.0, 20)
    assert estimate_left(strained).net.central == pytest.approx(6)


def test_half_the_liquor_is_half_the_colour_however_it_is_boiled_down():
    """Half of 20 L drawn, the rest boiled down to 5 L and a fifth of that drawn: two fifths of the colour are left."""
    lot_now = now(lot(**TEN), step("strained", 5, volume=Measure("20", "L")), draw("10", "L", 6),
                  step("boiled", 7, volume=Measure("5", "L")), draw("1", "L", 8))
    assert left_of(lot_now).share == pytest.approx(0.5 * 0.8)
    assert estimate_left(lot_now).net.central == pytest.approx(10 * 0.4)


def test_the_mass_of_the_last_weighing_before_the_pot_counts():
    """Dried and weighed, then boiled: what is in the liquor is the air-dry hull."""
    lot_now = now(lot(**TEN), step("dried", 5, mass=Measure("1.6", "kg")),
                  step("boiled", 50, volume=Measure("20", "L")))
    assert estimate_left(lot_now).air_dry.central == pytest.approx(1.6)


def test_liquor_stays_as_strong_however_much_is_drawn():
    """Of 20 L strained, 19.9 L drawn: what is left is little, and as strong as before in its whole range."""
    strained = now(lot(**TEN), step("strained", 5, volume=Measure("20", "L")))
    rest = now(lot(**TEN), step("strained", 5, volume=Measure("20", "L")), draw("19.9", "L", 6))
    before, after = (estimated_lot(one, Brew(), brewed=START.date()).liquor for one in (strained, rest))
    assert three(after.strength) == pytest.approx(three(before.strength))
    assert after.extract.central == pytest.approx(before.extract.central / 200)
    assert after.volume.central == pytest.approx(0.1)


def test_boiled_down_it_is_stronger():
    """20 L boiled down to 5 L are four times as strong, with the same extract; measured anew, that holds."""
    steps = [step("strained", 5, volume=Measure("20", "L")), step("boiled", 7, volume=Measure("5", "L"))]
    before, after = (estimated_lot(now(lot(**TEN), *steps[:count]), Brew(), brewed=START.date()).liquor
                     for count in (1, 2))
    assert after.extract.central == pytest.approx(before.extract.central)
    assert after.strength.central == pytest.approx(4 * before.strength.central)
    told = estimated_lot(now(lot(**TEN), *steps), Brew(strained=Range(3.9, 4, 4.1, "L")), brewed=START.date()).liquor
    assert told.strength.central == pytest.approx(5 * before.strength.central)


def test_a_guess_of_which_more_was_drawn_than_it_may_hold_reaches_nothing():
    """A counted load less a draw near its low end keeps a range down to nothing, and every figure stays a range."""
    facts = fruit(basis="counted", count=100)
    left = estimate_left(now(facts, draw("6", "kg", 1)))
    assert left.net.low == 0
    for quantity in (left.net, left.air_dry, left.shades[1].cloth):
        assert isinstance(quantity, Range)
        assert quantity.low == 0 < quantity.central < quantity.high


def test_spent_is_worth_nothing():
    """A lot that is spent has nothing left that dyes."""
    assert estimate_left(now(lot(**TEN), step("spent", 5))).net.high == 0
    assert left_of(now(lot(**TEN), step("strained", 4, volume=Measure("9", "L")), step("spent", 5))).share == 0
