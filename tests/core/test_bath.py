"""The bath: what is put in is found again, more is never paler, and each load is paler than the one before."""

import itertools
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from field_app.core.bands import (
    SHADES,
    Band,
    band_by_depth,
    band_by_wof,
    depth_of,
    edges_of,
    extract_share,
    wof_of,
    worth_of,
)
from field_app.core.bath import (
    CUSTOM_HOURS,
    LEAST_RATIO,
    Load,
    Pot,
    bath_for,
    course,
    dye_in_turn,
    loads_of,
    pot_of,
    routes,
)
from field_app.core.cloth import DARK_WORDS
from field_app.core.cloth_text import read_cloths
from field_app.core.estimate import Range, exact
from field_app.core.materials import MATERIALS, Material, material
from field_app.core.problems import Refused
from field_app.core.uptake import (
    ASSUMED,
    REFERENCE_RATIO,
    REFERENCE_STRENGTH,
    Constants,
    at_rest,
    dip,
    hours_for,
    hours_to_share,
    reference_depth,
    reference_uptake,
    strength_for,
    taken_up,
)

WALNUT = material("black-walnut")
strengths, ratios = st.floats(0.001, 100), st.floats(1, 400)
times, heats = st.floats(0.01, 100), st.floats(10, 100)


@given(strengths, ratios, st.lists(times, min_size=1, max_size=5), heats)
def test_dye_on_cloth_and_dye_in_bath_are_what_was_put_in(strength, ratio, hours, celsius):
    """For each kilogram of cloth, uptake and what is left in its share of the bath add up to what was there."""
    taken = dip(strength, ratio, hours, celsius)
    assert taken.uptake + ratio * taken.left == pytest.approx(strength * ratio, rel=1e-9)
    assert 0 < taken.uptake <= strength * ratio
    assert 0 <= taken.left < strength


@given(strengths, st.floats(1, 3), ratios, times, heats)
def test_more_material_is_never_paler(strength, more, ratio, hours, celsius):
    """A stronger bath gives at least as much, and so does a larger one of the same strength."""
    plain = dip(strength, ratio, [hours], celsius).uptake
    assert dip(strength * more, ratio, [hours], celsius).uptake >= plain * (1 - 1e-12)
    assert dip(strength, ratio * more, [hours], celsius).uptake >= plain * (1 - 1e-12)


@given(strengths, ratios, times, st.floats(1, 10), heats, st.floats(0, 40))
def test_longer_or_hotter_is_never_paler(strength, ratio, hours, longer, celsius, hotter):
    """More time gives at least as much, up to what the bath gives at rest; so does more heat in the same time."""
    assume(celsius + hotter <= 100)
    plain = dip(strength, ratio, [hours], celsius).uptake
    assert plain <= dip(strength, ratio, [hours * longer], celsius).uptake * (1 + 1e-12)
    assert plain <= dip(strength, ratio, [hours], celsius + hotter).uptake * (1 + 1e-12)
    assert plain <= at_rest(strength, ratio)


@given(strengths, ratios, times, st.integers(1, 6), heats)
def test_another_dip_never_takes_colour_off_and_gives_less_than_the_one_before(strength, ratio, hours, dips, celsius):
    """Each dip adds to the cloth, and each adds at most what the one before it added."""
    sums = [dip(strength, ratio, [hours] * count, celsius).uptake for count in range(dips + 2)]
    gains = [after - before for before, after in itertools.pairwise(sums)]
    assert all(gain >= -1e-12 * sums[-1] for gain in gains)
    assert all(later <= before + 1e-9 * sums[-1] for before, later in itertools.pairwise(gains))


@given(st.floats(0.01, 2), st.floats(5, 300), times, st.integers(2, 5), st.integers(1, 3))
def test_a_later_bath_is_never_darker(dye, volume, hours, loads, dips):
    """Of equal loads in one liquor each takes up at most what the one before it took, at each end of the range."""
    load = Load(exact(1.0, "kg"), "wool 1 kg", hours, dips)
    turns = dye_in_turn(Pot(Range(dye * 0.7, dye, dye * 1.4, "kg"), exact(volume, "L")), [load] * loads)
    assert [turn.place for turn in turns] == list(range(1, loads + 1))
    for before, after in itertools.pairwise(turns):
        assert after.depth.central <= before.depth.central * (1 + 1e-9)
        assert after.left.central <= before.left.central * (1 + 1e-9)
        assert SHADES.index(after.band.central) <= SHADES.index(before.band.central)


@given(st.floats(0.01, 1), st.floats(0.2, 5), times)
def test_the_balance_holds_over_all_loads(dye, mass, hours):
    """Dye on all loads and dye left in the bath are what the liquor held."""
    items = [Load(exact(mass, "kg"), "a", hours), Load(exact(2 * mass, "kg"), "b", hours, 2)]
    turns = dye_in_turn(Pot(exact(dye, "kg"), exact(60.0, "L")), items)
    on_cloth = sum(turn.uptake.central * turn.load.cloth.central / 1000 for turn in turns)
    assert on_cloth + turns[-1].left.central * 60 / 1000 == pytest.approx(dye, rel=1e-6)
    assert sum(turn.used.central for turn in turns[:1]) == pytest.approx(
        turns[0].uptake.central * mass / 1000 / dye, rel=1e-6)


@given(strengths, ratios, times, heats)
def test_time_and_strength_for_a_depth_are_the_way_back(strength, ratio, hours, celsius):
    """The time and the strength worked out for what a bath gave are those of that bath."""
    speed, rest = ASSUMED.speed(celsius), at_rest(strength, ratio)
    found = taken_up(rest, hours, speed)
    assume(found < 0.999 * rest)
    assert hours_for(rest, found, speed) == pytest.approx(hours, rel=1e-6)
    assert strength_for(found, ratio, [hours], celsius) == pytest.approx(strength, rel=1e-6)


def test_what_a_bath_never_gives_takes_for_ever():
    """There is no time for more than the bath gives, none is needed for nothing, and no dye never comes to an end."""
    assert hours_for(40.0, 40.0, 0.05) is None
    assert hours_for(40.0, 0.0, 0.05) == 0.0
    assert strength_for(0.0, 30, [1.0], 85) == 0.0
    assert hours_to_share(0.0, 0.95, 0.05) == math.inf
    assert dip(0.0, 30, [1.0], 85).uptake == 0.0
    for call in (lambda: hours_to_share(1.0, 1.0, 1.0), lambda: at_rest(-1, 30), lambda: at_rest(1, 0),
                 lambda: Constants(power=1.0), lambda: Constants(rate=0), lambda: strength_for(5, 30, [0.0], 85)):
        with pytest.raises(ValueError, match=r"never|no such|can't have|no bath"):
            call()


def test_depth_is_beside_the_reference_bath():
    """Half a kilogram of air-dry hull for a kilogram of cloth, as custom makes its liquor, is a depth of 1 at rest."""
    extract = exact(0.5 * extract_share(WALNUT), "kg")
    pot = pot_of(extract, exact(30.0, "L"), WALNUT)
    assert pot.strength == pytest.approx(REFERENCE_STRENGTH)
    turn, = dye_in_turn(pot, [Load(exact(1.0, "kg"), "wool 1 kg", 300.0)])
    assert turn.depth.central == pytest.approx(1.0, abs=0.002)
    assert turn.uptake.central == pytest.approx(reference_uptake(), rel=0.002)
    assert turn.depth.low < 0.9
    assert turn.depth.high > 1.1
    assert turn.band.central == "medium"


@pytest.mark.parametrize("key", MATERIALS)
def test_customs_medium_is_medium_by_both_routes(key):
    """For every material, custom's amount for a shade is that shade by custom; its medium is medium in the bath too."""
    stuff = MATERIALS[key]
    for shade in SHADES:
        wof = wof_of(stuff, shade)
        assert band_by_wof(exact(wof.central, "1"), stuff).central == shade
    medium = wof_of(stuff, "medium").central
    pot = pot_of(exact(medium * extract_share(stuff), "kg"), exact(REFERENCE_RATIO, "L"), stuff)
    turn, = dye_in_turn(pot, [Load(exact(1.0, "kg"), "wool 1 kg", 8.0)])
    assert turn.band.central == "medium"
    told = routes(turn, exact(medium, "kg"), stuff)
    assert told.agree
    assert told.words == "Custom and the bath agree."


def test_bands_begin_where_custom_begins_them():
    """Walnut: pale under 12 %, light to 35 %, medium to 75 %, dark above; as depth what these amounts give."""
    assert edges_of(WALNUT) == pytest.approx((0.12, 0.35, 0.75))
    for wof, word in ((0.119, "pale"), (0.121, "light"), (0.349, "light"), (0.351, "medium"), (0.749, "medium"),
                      (0.751, "dark")):
        assert band_by_wof(exact(wof, "1"), WALNUT).central == word
        assert band_by_depth(exact(reference_depth(wof), "1")).central == word
    assert [band_by_depth(exact(depth_of(shade), "1")).central for shade in SHADES] == list(SHADES)
    assert reference_depth(0.2) == pytest.approx(depth_of("light"))


def test_an_own_amount_for_medium_moves_everything():
    """If a swatch taught that half the hull is enough, its extract is worth twice, and the bands move along."""
    row = WALNUT.parameters["wof-medium"].model_copy(update={"low": 0.2, "central": 0.25, "high": 0.3})
    own = WALNUT.model_copy(update={"parameters": {**WALNUT.parameters, "wof-medium": row}})
    assert worth_of(own).central == pytest.approx(2 * worth_of(WALNUT).central)
    assert edges_of(own) == pytest.approx((0.06, 0.175, 0.375))


def test_dark_says_what_it_takes():
    """A band that is dark at its middle says repeated dips, a second bath or iron; others say nothing."""
    assert Band("medium", "dark", "dark").dark_words == DARK_WORDS
    assert Band("light", "medium", "dark").dark_words == ""
    assert Band("light", "medium", "dark").words == "medium (light–dark)"
    assert Band("light", "light", "light").words == "light"


def test_strength_by_ripeness_and_what_is_not_sure_widen_the_band():
    """Weak stuff gives a paler and a wider depth; nothing unsure but the constants still leaves a band."""
    extract, volume = exact(0.108, "kg"), exact(30.0, "L")
    load = [Load(exact(1.0, "kg"), "wool 1 kg", 6.0)]
    full, = dye_in_turn(pot_of(extract, volume, WALNUT), load)
    weak, = dye_in_turn(pot_of(extract, volume, WALNUT, Range(0.3, 0.55, 0.8, "1")), load)
    sure, = dye_in_turn(Pot(exact(0.114, "kg"), volume), load)
    assert weak.depth.central < full.depth.central
    assert weak.depth.high / weak.depth.low > full.depth.high / full.depth.low > sure.depth.high / sure.depth.low > 1.02
    assert any("assumed" in reason.source for reason in full.depth.reasons)


def test_cloth_needs_room():
    """Water is added up to 20 L to the kilogram of the largest load, and told; a large bath stays as it is."""
    pot = Pot(exact(0.1, "kg"), exact(10.0, "L"))
    loads = [Load(exact(1.0, "kg"), "a", 1.0), Load(exact(2.0, "kg"), "b", 1.0)]
    thinned = bath_for(pot, loads)
    assert (thinned.volume.central, thinned.water) == (2 * LEAST_RATIO, 30.0)
    assert "30 L" in thinned.volume.reasons[-1].value
    assert bath_for(thinned, loads) == thinned


def test_a_course_in_time():
    """The same load after several times is never paler, and tells when nothing more is gained."""
    load = Load(exact(1.0, "kg"), "wool 1 kg", 1.0)
    points = course(Pot(exact(0.114, "kg"), exact(30.0, "L")), load, [0.05, 1.0, 6.0, 12.0])
    depths = [point.depth.central for point in points]
    assert depths == sorted(depths)
    assert points[0].no_more.central == pytest.approx(8.0, abs=0.05)


def test_a_course_is_what_each_time_gives_alone():
    """Worked out together or one by one, every time has the same dye on the cloth and the same rest in the bath."""
    pot, load = Pot(Range(0.08, 0.114, 0.15, "kg"), exact(30.0, "L")), Load(exact(1.0, "kg"), "wool 1 kg", 1.0)
    for point in course(pot, load, [0.1, 2.0, 9.0]):
        alone, = dye_in_turn(pot, [Load(load.cloth, load.text, point.load.hours)])
        for name in ("uptake", "depth", "left", "used", "no_more"):
            one, other = getattr(point, name), getattr(alone, name)
            assert [one.low, one.central, one.high] == pytest.approx([other.low, other.central, other.high], rel=0.02)


def test_the_two_routes_disagree_in_words():
    """Short, stretched and strong baths are told apart from custom, each with its likely reason."""
    def told(dye, volume, hours, air_dry, dips=1):
        turn, = dye_in_turn(Pot(exact(dye, "kg"), exact(volume, "L")), [Load(exact(1.0, "kg"), "a", hours, dips)])
        return routes(turn, exact(air_dry, "kg"), WALNUT)

    assert "this is shorter" in told(0.114, 30.0, 0.1, 0.5).words
    assert "holds less than custom counts on" in told(0.03, 30.0, 8.0, 0.5).words
    assert "more dye is in the liquor" in told(0.5, 30.0, 8.0, 0.5).words.lower()
    weak = told(0.114, 30.0, CUSTOM_HOURS, 1.0)
    assert (weak.agree, weak.custom.central, weak.bath.central) == (False, "dark", "medium")
    plain = weak.as_json()
    assert plain["custom"]["wof"]["central"] == 1.0
    assert plain["bath"]["depth"]["central"] == weak.depth.central


def test_what_can_not_be_dyed_is_refused():
    """No cloth, no time, no dips: each is refused with what to give."""
    pot = Pot(exact(0.1, "kg"), exact(30.0, "L"))
    assert dye_in_turn(pot, []) == ()
    for load in (Load(Range(0.0, 1.0, 2.0, "kg"), "air", 1.0), Load(exact(1.0, "kg"), "a", 0.0),
                 Load(exact(1.0, "kg"), "a", 400.0), Load(exact(1.0, "kg"), "a", 1.0, 0)):
        with pytest.raises(Refused):
            dye_in_turn(pot, [load])
    bare = Material(key="x", name="X", botanical="X", group="bark", parts=WALNUT.parts, parameters={})
    for call in (worth_of, extract_share, edges_of):
        with pytest.raises(Refused, match="not known"):
            call(bare)


def test_a_shade_without_its_own_row_goes_by_medium():
    """Where the table has only medium, the other shades are worked out beside it."""
    parameters = {"wof-medium": WALNUT.parameters["wof-medium"]}
    bare = Material(key="x", name="X", botanical="X", group="bark", parts=WALNUT.parts, parameters=parameters)
    assert wof_of(bare, "dark").central == pytest.approx(1.0)
    assert edges_of(bare) == pytest.approx((0.12, 0.35, 0.75))


def test_a_load_for_each_item():
    """Each item of a list is a load of its own, and a turn is plain data too."""
    loads = loads_of(read_cloths(["wool 2 kg", "cotton 3 m2 120 g/m2"]), 1.0)
    assert [load.text for load in loads] == ["wool 2 kg", "cotton 3 m2 120 g/m2"]
    turn = dye_in_turn(Pot(exact(0.3, "kg"), exact(60.0, "L")), loads)[1]
    plain = turn.as_json()
    assert (plain["cloth"], plain["time"]) == ("cotton 3 m2 120 g/m2", {"value": 1.0, "unit": "h"})
    assert plain["q"]["unit"] == "g/kg"
    assert plain["shade"]["central"] in SHADES
    assert plain["assumed"]
