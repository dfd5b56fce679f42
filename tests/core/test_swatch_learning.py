"""What swatches teach: the amount a shade takes, and the colour on every ground."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.bath import Load, dye_in_turn
from field_app.core.colour import difference, lab_of
from field_app.core.colour_course import after_times, pot_for
from field_app.core.estimate import exact
from field_app.core.materials import material
from field_app.core.own import InForce, OwnRecords, in_force, learnt
from field_app.core.palette import GROUNDS, palette_of
from field_app.core.preview import UNDYED, expected, label_of
from field_app.core.swatch_learning import taught
from tests.core.own_for_tests import value
from tests.core.swatches_for_tests import FORD, LOT, MILL, OTHER_LOT, grams, swatch

WALNUT = material("black-walnut")
RESULT = st.one_of(
    st.sampled_from(["pale", "light", "medium", "dark"]).map(lambda band: {"band": band}),
    st.integers(15, 80).map(lambda light: {"lightness": str(light)}),
    st.sampled_from(["#88633d", "#3b2a1c", "#b8884a", "#5a5048"]).map(lambda colour: {"colour": colour}))
SWATCH = st.fixed_dictionaries({"told": RESULT, "mordant": st.sampled_from(GROUNDS),
                                "hours": st.sampled_from(["0.25", "1", "6"]),
                                "stuff": st.sampled_from(["2", "5", "9"]).map(grams)})


def made(told, number):
    return swatch(f"s{number}", **told["told"], **{name: told[name] for name in ("mordant", "hours", "stuff")})


def widths(after):
    return [math.log(end.high / end.low) for tint in after.palette.tints.values() for end in (tint.strength, tint.fall)]


def amount(*swatches, site="", lot="", values=()):
    own = OwnRecords(tuple(values), (), tuple(swatches))
    return in_force("black-walnut", site, own, lot=lot).parameters["wof-medium"]


def test_without_swatches_the_table_holds():
    """Nothing noted leaves the table's palette to the last digit but rounding, and its label."""
    after, table = taught(WALNUT, []), palette_of(WALNUT)
    for ground in GROUNDS:
        for name in ("strength", "fall"):
            one, other = getattr(after.palette.tints[ground], name), getattr(table.tints[ground], name)
            assert (one.low, one.central, one.high) == pytest.approx((other.low, other.central, other.high))
    assert (after.shift, after.narrowed, label_of(after.palette)) == (0, 1, label_of(table))
    assert in_force("black-walnut", "", OwnRecords()) is WALNUT


@given(st.lists(SWATCH, min_size=1, max_size=4), st.randoms(use_true_random=False))
@settings(max_examples=40, deadline=None)
def test_order_plays_no_part_and_nothing_gets_less_sure(told, random):
    """Swatches in any order teach the same; no spread is ever wider than without them."""
    swatches = [made(one, number) for number, one in enumerate(told)]
    shuffled = list(swatches)
    random.shuffle(shuffled)
    after = taught(WALNUT, swatches)
    assert taught(WALNUT, shuffled) == after
    before, wide = widths(taught(WALNUT, [])), widths(after)
    assert all(now <= then + 1e-9 for now, then in zip(wide, before, strict=True))
    assert 0 < after.narrowed <= 1


@given(st.lists(SWATCH, min_size=1, max_size=3), SWATCH)
@settings(max_examples=30, deadline=None)
def test_one_that_is_taken_back_is_as_if_it_had_never_been(told, gone):
    """Without a swatch, all is as it was before it was noted."""
    swatches = [made(one, number) for number, one in enumerate(told)]
    before = taught(WALNUT, swatches)
    assert taught(WALNUT, [*swatches, made(gone, 9)]).count == before.count + 1
    assert taught(WALNUT, swatches) == before


def preview_of(swatches, ground, hours):
    """The colour that the preview expects of the very bath of the swatches."""
    lookup = InForce(OwnRecords((), (), tuple(swatches)))
    (column,) = after_times(UNDYED, pot_for(lookup("black-walnut"), wof=0.5), lookup.palette("black-walnut"), [hours])
    return column.colours[ground]


@pytest.mark.parametrize(("ground", "colour"), [("none", "#6e4a2c"), ("alum", "#a9762f"), ("iron", "#33291f"),
                                                ("none", "#a88256")])
def test_a_colour_seen_again_and_again_becomes_what_is_expected(ground, colour):
    """After a dozen swatches of one colour, the preview of the same bath shows nearly that colour, and surer."""
    dozen = [swatch(f"s{number}", colour=colour, mordant=ground) for number in range(12)]
    first, then, last = (preview_of(dozen[:count], ground, 1.0) for count in (0, 1, 12))
    wanted = lab_of(colour)
    apart = [difference(one.central.lab, wanted) for one in (first, then, last)]
    assert apart[2] < apart[1] < apart[0]
    assert apart[2] < 4
    spread = [one.lightness[2] - one.lightness[0] for one in (first, then, last)]
    assert spread[2] < spread[0]


@pytest.mark.parametrize("ground", GROUNDS)
def test_a_measured_lightness_becomes_what_is_expected(ground):
    """The same with a lightness that was measured: L* 30, by a dozen swatches, to within 2."""
    swatches = [swatch(f"s{number}", lightness="30", mordant=ground) for number in range(12)]
    assert preview_of(swatches, ground, 1.0).central.lab.lightness == pytest.approx(30, abs=2)


def test_what_is_seen_on_one_ground_moves_the_others_less():
    """A darker swatch with iron says a little of plain cloth and of alum, and most of iron."""
    tints, table = taught(WALNUT, [swatch(colour="#1d1712", mordant="iron")]).palette.tints, palette_of(WALNUT).tints
    rise = {ground: tints[ground].strength.central / table[ground].strength.central for ground in GROUNDS}
    assert 1 < rise["none"] < rise["iron"]
    assert 1 < rise["alum"] < rise["iron"]


def test_a_warmer_swatch_shortens_the_fall_and_a_greyer_one_lengthens_it():
    """Rust means a short fall, grey a long one; alum and iron follow in part."""
    table = palette_of(WALNUT).tints
    for colour, shorter in (("#a3601a", True), ("#6b655c", False)):
        tints = taught(WALNUT, [swatch(colour=colour)]).palette.tints
        for ground in GROUNDS:
            assert (tints[ground].fall.central < table[ground].fall.central) is shorter


def test_bands_teach_how_much_a_shade_takes():
    """Darker than expected means that less stuff is enough, paler that more is needed, on all shades alike."""
    table = WALNUT.parameters["wof-medium"]
    less, more = amount(swatch(band="dark")), amount(swatch(band="pale"))
    assert less.central < table.central < more.central
    assert less.mark == "own"
    assert less.source.startswith("your own swatch, on top of 50 % (40–75) (rule of thumb")
    own = in_force("black-walnut", "", OwnRecords((), (), (swatch(band="dark"),)))
    moved = [own.parameters[f"wof-{shade}"].central / WALNUT.parameters[f"wof-{shade}"].central
             for shade in ("light", "medium", "dark")]
    assert all(0.6 < one < 0.98 for one in moved)


def test_many_bands_bring_the_bath_into_the_band():
    """Two dozen swatches that came out dark make the bath model call the same bath dark, and the other way round."""
    def band(swatches):
        pot = pot_for(in_force("black-walnut", "", OwnRecords((), (), tuple(swatches))), wof=0.5)
        (dyed,) = dye_in_turn(pot, [Load(exact(1.0, "kg"), "cloth", 1.0)])
        return dyed.band.central

    assert band([]) == "light"
    assert band([swatch(f"s{number}", band="medium") for number in range(24)]) == "medium"
    assert band([swatch(f"s{number}", band="pale") for number in range(24)]) == "pale"


def test_the_lot_that_was_tested_learns_most_its_site_less_elsewhere_least():
    """One dark swatch of a lot moves that lot most, then other lots of its site, then all others."""
    one = swatch(band="dark", site=MILL, lot=LOT)
    moved = [amount(one, site=site, lot=lot).central for site, lot in (
        (MILL, LOT), (MILL, OTHER_LOT), (FORD, ""), ("", ""))]
    table = WALNUT.parameters["wof-medium"].central
    assert moved[0] < moved[1] < moved[2] < table
    assert moved[2] == pytest.approx(moved[3])


def test_what_is_asked_for_changes_nothing_of_the_palette():
    """Lots of one swatch are counted in two ways, by whether they are asked for; both come to the same colours."""
    swatches = [swatch("s1", colour="#3b2a1c", site=MILL, lot=LOT), swatch("s2", lightness="30", site=FORD),
                swatch("s3", band="dark", site=MILL, lot=OTHER_LOT, mordant="iron")]

    def ends(after):
        return [end for tint in after.palette.tints.values() for one in (tint.strength, tint.fall)
                for end in (one.low, one.central, one.high)]

    asked = [ends(taught(WALNUT, swatches, site=site, lot=lot)) for site, lot in (
        ("", ""), (MILL, LOT), (MILL, OTHER_LOT), (FORD, ""))]
    assert asked[1:] == [pytest.approx(asked[0], rel=1e-9)] * 3


def test_a_value_that_was_set_is_moved_by_a_swatch_of_the_very_lot_only():
    """What a person set holds against swatches from elsewhere, and a swatch of the lot goes on top of it."""
    one, fixed = swatch(band="dark", site=MILL, lot=LOT), [value("40", "%", "wof-medium")]
    assert amount(one, site=MILL, values=fixed).central == pytest.approx(0.40)
    assert amount(one, site=MILL, lot=LOT, values=fixed).central < 0.40
    told = learnt(WALNUT, OwnRecords(tuple(fixed), (), (one,)), site=MILL, lot=LOT)["wof-medium"]
    assert (told.value, told.swatches) == (fixed[0], 1)


def test_fresh_hull_counts_by_its_dry_matter():
    """Six times as much fresh hull is as much dry matter: it teaches the same way, but less, as it is less sure."""
    dry, fresh = swatch(band="dark"), swatch(band="dark", stuff=grams("30"), state="fresh")
    one, other = amount(dry), amount(fresh)
    assert one.central < other.central < 0.92 * WALNUT.parameters["wof-medium"].central
    assert math.log(other.high / other.low) > math.log(one.high / one.low)


def test_coloured_cloth_is_reckoned_with():
    """The same dye on blue or yellow cloth, told with its base, teaches what it teaches on undyed wool."""
    tint = palette_of(WALNUT).tints["none"]

    def strength(base):
        colour = expected(base, exact(1.2, "1"), tint).central.hex
        after = taught(WALNUT, [swatch(f"s{number}", colour=colour, base=base) for number in range(10)])
        return after.palette.tints["none"].strength.central

    assert strength(UNDYED) > tint.strength.central
    assert [strength(base) for base in ("#8b9db4", "#e3c875")] == pytest.approx([strength(UNDYED)] * 2, rel=0.1)
