"""How finely a load was measured: a weighed sample of counted pieces, and the division of the scale."""

import datetime as dt
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.facts import LotFacts
from field_app.core.forms import SiteForm, Situation, WindfallForm
from field_app.core.gather import decide_windfall
from field_app.core.load import amount_problems, net_mass
from field_app.core.problems import Refused
from field_app.core.sampling import Mean, mean_of, needed, t_quantile
from field_app.core.scales import least_load, net_deviation, permissible_error
from field_app.core.units import Measure
from tests.core.lots_for_tests import fruit, lot, three

DAY = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")
GRAMS = ("68", "71", "74", "66", "70")


def sampled(*grams, count=170, each=1):
    return fruit(basis="counted", count=count, sample=tuple(Measure(one, "g") for one in grams), sample_each=each)


def log_width(found):
    return math.log(found.high / found.low)


def told(**form):
    """The facts of a load as typed, or the problems that stand in the way."""
    plain = {"material": "black-walnut", "part": "whole-fruit", "new_site": SiteForm("Mill lane"), **form}
    found = decide_windfall(WindfallForm(**plain), Situation((), DAY, lambda: "urn:uuid:0"))
    return found.problems or LotFacts.model_validate(dict(found.drafts[-1].facts))


def test_a_sample_gives_count_times_its_mean():
    """170 fruits of which five weigh 69.8 g on average are 11.87 kg, with the t-interval and the scale around it."""
    found = net_mass(sampled(*GRAMS))
    assert found.central == pytest.approx(170 * 0.0698)
    mean = mean_of([float(one) for one in GRAMS], 170)
    off = math.hypot(t_quantile(0.9, 4) * mean.error / mean.mean, math.log(1.03))
    assert log_width(found) == pytest.approx(2 * off)
    assert "Cochran 1977" in found.reasons[1].source


def test_handfuls_are_weighed_as_their_number():
    """Three handfuls of ten fruits say what thirty fruits weigh on average."""
    found = net_mass(sampled("680", "705", "722", each=10))
    assert found.central == pytest.approx(170 * (680 + 705 + 722) / 30 / 1000)
    assert found.reasons[1].name == "one whole fruit, 3 × 10 weighed"


def test_one_weighing_takes_the_scatter_of_the_table():
    """A single handful has no scatter of its own: that of single fruits in the table stands in, less for many."""
    one, ten = net_mass(sampled("70")), net_mass(sampled("700", each=10))
    assert one.central == pytest.approx(ten.central)
    assert log_width(net_mass(fruit(basis="counted", count=170))) > log_width(ten)
    assert log_width(one) > log_width(ten) > 2 * math.log(1.03)


def test_weighing_all_of_them_leaves_the_scale_alone():
    """Where every piece was weighed, nothing is left of the scatter."""
    assert log_width(net_mass(sampled(*GRAMS, count=5))) == pytest.approx(2 * math.log(1.03))


@given(st.lists(st.integers(40, 110), min_size=2, max_size=12), st.integers(12, 4000))
def test_a_sample_is_never_narrower_than_a_weighing(grams, count):
    """However well the sample agrees, the count is no surer than the same load on the same scale."""
    guess = net_mass(sampled(*map(str, grams), count=count))
    weighed = net_mass(fruit(gross=Measure(f"{guess.central:.12f}", "kg")))
    assert log_width(guess) >= log_width(weighed) * (1 - 1e-12)


@pytest.mark.parametrize(("facts", "where", "what"), [
    (sampled(*GRAMS, count=4), "sample", "5 were weighed, but only 4 were counted"),
    (sampled("700", each=0), "sample each", "0 is nothing"), (sampled("0"), "sample", "0 g is not the mass of a piece"),
    (fruit(basis="counted", count=3, sample=(Measure("1", "L"),)), "sample", "1 L is not the mass"),
    (sampled(*["70"] * 201, count=900), "sample", "201 weighings are more than fit"),
    (lot(division=Measure("5", "kg")), "scale division", "a load of 3 kg can't be told"),
    (lot(division=Measure("0", "g")), "scale division", "0 g is not the step of a scale")])
def test_what_can_not_be_is_a_problem(facts, where, what):
    """A sample larger than the load, no masses, or a scale too coarse for the load, are told with what to do."""
    (problem,) = amount_problems(facts)
    assert problem.where == where
    assert what in problem.what
    assert problem.fix.endswith(".")
    with pytest.raises(Refused):
        net_mass(facts)


def test_the_division_of_a_field_scale_says_how_sure_it_is():
    """On a scale with steps of 20 g, 13.1 kg are known within its steps, not within 3 %."""
    coarse = lot(gross=Measure("14.2", "kg"), tare=Measure("1.1", "kg"), division=Measure("20", "g"))
    found = net_mass(coarse)
    assert found.central == pytest.approx(13.1)
    half = 1.2815515655446004 * net_deviation(14.2, 1.1, 0.020)
    assert three(found) == pytest.approx([13.1 - half, 13.1, 13.1 + half])
    assert found.reasons[-1].value == "steps of 20 g, ± 1.5 of them at each weighing"


def test_a_verified_scale_has_the_limits_of_its_class():
    """A class of OIML R 76-1 gives its own limits, and a load below the least is told."""
    found = net_mass(lot(gross=Measure("8", "kg"), division=Measure("20", "g"), scale="III"))
    assert log_width(found) < log_width(net_mass(lot(gross=Measure("8", "kg"), division=Measure("20", "g"))))
    small = net_mass(lot(gross=Measure("300", "g"), division=Measure("20", "g"), scale="III"))
    assert "below the least load" in small.reasons[-1].value
    assert least_load(0.020, "IIII") == pytest.approx(0.2)


@given(st.sampled_from(["III", "IIII"]), st.floats(0.01, 100), st.floats(0.01, 100))
def test_a_heavier_load_is_never_permitted_less(scale_class, one, other):
    """The permitted error grows with the load, and is twice as large in service."""
    light, heavy = sorted((one, other))
    first, second = (permissible_error(load, 0.02, scale_class) for load in (light, heavy))
    assert 0 < first <= second
    assert permissible_error(heavy, 0.02, scale_class, in_service=True) == 2 * second


def test_typed_as_people_type_it():
    """Masses set apart by semicolons, the small unit of the scale where none is told, and a class in small letters."""
    facts = told(count="170", sample="68; 71,5 ;74 g; 2.5 oz")
    assert [one.unit for one in facts.sample] == ["g", "g", "g", "oz"]
    assert facts.sample[1].value == "71.5"
    assert told(count="170", sample="24 oz", sample_each="10", unit="lb").sample_each == 10
    assert told(count="170", sample="24", unit="lb").sample[0].unit == "oz"
    weighed = told(gross="14.2", division="20", scale="iii")
    assert (weighed.division, weighed.scale) == (Measure("20", "g"), "III")
    assert told(count="170").as_json().keys() == {"site", "material", "part", "basis", "gathered", "count"}


@pytest.mark.parametrize(("form", "where"), [
    ({"count": "170", "sample_each": "10"}, "sample"), ({"count": "170", "sample": "68 x"}, "sample"),
    ({"count": "170", "sample": "68", "sample_each": "1.5"}, "sample each"),
    ({"gross": "14", "scale": "III"}, "scale division"),
    ({"gross": "14", "scale": "V", "division": "20"}, "scale class"),
    ({"gross": "14", "division": "20 L"}, "scale division"), ({"count": "3", "sample": "70;70;70;70"}, "sample")])
def test_what_can_not_be_read_is_told_at_its_field(form, where):
    """A bad sample or scale is a problem at its own field, and at no other."""
    assert {problem.where for problem in told(**form)} == {where}


@given(st.floats(0.05, 1.0), st.floats(0.02, 0.5))
def test_as_many_as_are_needed_and_not_one_less(variation, within):
    """The number to weigh gives the wanted interval, and one piece less would not."""
    count = needed(variation, within)
    assert t_quantile(0.975, count - 1) * Mean(1.0, variation, count).error <= within
    if count > 2:
        fewer = count - 1
        assert t_quantile(0.975, fewer - 1) * Mean(1.0, variation, fewer).error > within


@pytest.mark.parametrize("call", [
    lambda: t_quantile(1.0, 3), lambda: t_quantile(0.9, 0), lambda: mean_of([]), lambda: Mean(1, 1, 5, 4),
    lambda: Mean(1, 1, 1).interval(), lambda: needed(0, 1), lambda: permissible_error(0, 1, "III")])
def test_what_has_no_answer_is_refused(call):
    """A quantile of certainty, a mean of nothing, and masses of nothing are errors, not numbers."""
    with pytest.raises(ValueError, match=r"."):
        call()
