"""What comes of a plan: how lots are put together, how liquor is shared out, and what stands in the way."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.bands import SHADES, depth_of
from field_app.core.brew import Brew
from field_app.core.liquor import liquor_of
from field_app.core.load import estimate_lot
from field_app.core.lots import lot_now
from field_app.core.materials import material
from field_app.core.plan_work import USUAL_RATIO, work_out
from field_app.core.plans import PlanFacts
from field_app.core.pots import Pot
from field_app.core.records import Thing
from tests.core.lots_for_tests import lot

NUMBERS = itertools.count(1)


def thing(kind, facts):
    urn = f"urn:uuid:00000000-0000-4000-8000-{next(NUMBERS):012d}"
    stamp = f"{next(NUMBERS):013d}-0000-{'a' * 16}"
    return Thing(urn, kind, facts.as_json() if hasattr(facts, "as_json") else facts, None, ("n",), stamp, stamp,
                 "a" * 16, False)


def kept(code, *steps, draws=(), **facts):
    """A lot in the book, with steps and draws as (facts) told later."""
    held = thing("lot", lot(**facts))
    done = [thing("step", {"lot": held.id, "step": step, "at": at, **more}) for step, at, more in steps]
    taken = [thing("draw", {"lot": held.id, "amount": amount, "at": at}) for amount, at in draws]
    return lot_now(held, code=code, site=None, steps=done, draws=taken)


def plan(lots, baths, **facts):
    return PlanFacts.model_validate({
        "name": "A day", "day": "2026-10-10",
        "lots": [one if isinstance(one, dict) else {"lot": one.id} for one in lots],
        "baths": [{"cloth": [cloth], "shade": shade, **more} for cloth, shade, more in baths], **facts})


def kg(value):
    return {"value": value, "unit": "kg"}


def hulls(mass="10", code="AAAA", **more):
    from field_app.core.units import Measure

    return kept(code, gross=Measure(mass, "kg"), **more)


def test_two_lots_in_one_pot_are_worth_what_one_of_both_would_be():
    """Extract and liquor of 4 kg and 6 kg of hull are those of 10 kg, ends and all."""
    four, six, ten = hulls("4", "AAAA"), hulls("6", "BBBB"), hulls("10", "CCCC")
    together, = work_out(plan([four, six], []), [four, six]).liquors
    one, = work_out(plan([ten], []), [ten]).liquors
    for name in ("extract", "volume"):
        mine, other = getattr(together, name), getattr(one, name)
        assert mine.central == pytest.approx(other.central, rel=1e-9), name
        # Two weighings of their own: the ends differ by less than a scale's error.
        assert [mine.low, mine.high] == pytest.approx([other.low, other.high], rel=0.02), name


def test_the_liquor_of_a_plan_is_that_of_its_lot():
    """A plan of one lot says what the lot's own liquor says."""
    ten = hulls()
    one, = work_out(plan([ten], []), [ten]).liquors
    alone = liquor_of(estimate_lot(ten.facts), material("black-walnut"), Brew())
    assert one.extract.central == pytest.approx(alone.extract.central, rel=1e-12)
    assert one.volume.central == pytest.approx(alone.volume.central, rel=1e-12)


def test_half_of_a_lot_is_worth_half():
    """What is planned of a lot scales all that comes of it."""
    ten = hulls()
    whole, = work_out(plan([ten], []), [ten]).liquors
    half, = work_out(plan([{"lot": ten.id, "amount": kg("5")}], []), [ten]).liquors
    assert half.extract.central == pytest.approx(whole.extract.central / 2, rel=1e-9)


def test_each_load_gets_as_much_liquor_as_its_shade_takes():
    """Depth at the middle is what the shade aims at; liquor and water fill the bath; the rest is kept."""
    ten = hulls("20")
    work = work_out(plan([ten], [("wool 1 kg", "light", {}), ("wool 2 kg", "medium", {"hours": "3"})]), [ten])
    liquor, = work.liquors
    assert [bath.bath.shade for bath in liquor.baths] == ["medium", "light"], "the darkest first"
    for bath in liquor.baths:
        assert bath.dyed.depth.central == pytest.approx(depth_of(bath.bath.shade), rel=1e-6)
        assert bath.liquor + bath.water == pytest.approx(USUAL_RATIO * bath.mass.central)
        assert "as wanted" in bath.verdict
    assert sum(bath.liquor for bath in liquor.baths) + liquor.kept == pytest.approx(liquor.volume.central)


def test_what_no_liquor_is_left_for_comes_out_paler_and_says_so():
    """The last load gets what is left, and the verdict says how much more dye the shade takes."""
    two = hulls("2")
    work = work_out(plan([two], [("wool 1 kg", "dark", {}), ("cotton 2 kg", "medium", {})]), [two])
    last = work.baths[-1]
    assert SHADES.index(last.dyed.band.central) < SHADES.index("medium")
    assert "paler than medium" in last.verdict
    assert work.liquors[0].kept == pytest.approx(0.0, abs=1e-3)


def test_nothing_is_lost_between_the_baths():
    """In turn: the dye on every load and what is left in the bath at the end is the dye that was put in."""
    ten = hulls("10")
    work = work_out(plan([ten], [("wool 1 kg", "medium", {}), ("wool 2 kg", "medium", {}), ("silk 500 g", "light", {})],
                         in_turn=True), [ten])
    liquor, = work.liquors
    volume = liquor.volume.central + liquor.baths[0].water
    put_in = 1000 * liquor.extract.central * _worth(liquor)
    on_cloth = sum(bath.dyed.uptake.central * bath.mass.central for bath in liquor.baths)
    assert on_cloth + liquor.baths[-1].dyed.left.central * volume == pytest.approx(put_in, rel=1e-9)


def _worth(liquor):
    from field_app.core.bath import pot_of

    pot = pot_of(liquor.extract, liquor.volume, liquor.stuff, liquor.load.strength)
    return pot.dye.central / liquor.extract.central


@given(st.lists(st.sampled_from(["0.5", "1", "3"]), min_size=1, max_size=4))
def test_a_later_bath_in_turn_is_never_darker(masses):
    """Equal loads in one liquor: each is paler than the one before it."""
    ten = hulls("5")
    work = work_out(plan([ten], [("wool 1 kg", "medium", {}) for _ in masses], in_turn=True), [ten])
    depths = [bath.dyed.depth.central for bath in work.baths]
    assert depths == sorted(depths, reverse=True)


def test_a_lot_dried_and_half_drawn_counts_with_half_of_what_it_was():
    """Hull dried to 1.9 kg and half of it drawn, before or after: 0.95 kg air-dry goes in, 90 % of it dry."""
    dried = hulls("10", "BBBB")
    half = kept("CCCC", ("dried", "2026-10-20T10:00:00-02:00", {"mass": kg("1.9")}),
                draws=[(kg("0.95"), "2026-10-21T10:00:00-02:00")], gross=dried.facts.gross)
    early = kept("DDDD", ("dried", "2026-10-20T10:00:00-02:00", {"mass": kg("0.95")}),
                 draws=[(kg("5"), "2026-10-09T10:00:00-02:00")], gross=dried.facts.gross)
    for one in (half, early):
        found, = work_out(plan([one], []), [one]).liquors
        assert found.load.dry_matter.central == pytest.approx(0.95 * 0.90), one.code


def test_a_lot_that_is_liquor_brings_its_litres_and_its_extract():
    """60 L were strained off, 20 L drawn: 40 L with two thirds of the extract, and nothing is boiled."""
    made = kept("AAAA", ("strained", "2026-10-20T10:00:00-02:00", {"volume": {"value": "60", "unit": "L"}}),
                draws=[({"value": "20", "unit": "L"}, "2026-10-21T10:00:00-02:00")], gross=hulls().facts.gross)
    work = work_out(plan([made], [("wool 1 kg", "light", {})]), [made])
    liquor, = work.liquors
    assert liquor.volume.central == pytest.approx(40.0)
    alone = liquor_of(estimate_lot(made.facts), material("black-walnut"), Brew(strained=liquor.volume))
    assert liquor.extract.central == pytest.approx(alone.extract.central * 2 / 3, rel=1e-3)
    assert liquor.made is None
    assert not [row for row in work.clock if "simmer" in row.words]


def test_what_stands_in_the_way_is_told_beside_the_rest():
    """No lot, no cloth, a lot that is gone, more planned than is left, a pot too small, and a night on the clock."""
    ten = hulls()
    spent = kept("BBBB", ("spent", "2026-10-09T10:00:00-02:00", {}))
    work = work_out(plan([{"lot": ten.id, "amount": kg("30")}, spent, {"lot": "urn:uuid:0"}],
                         [("wool 5 kg", "medium", {"hours": "12"})]), [ten, spent], [Pot(40, 0.4, "enamel")])
    told = {problem.where: problem.what for problem in work.problems}
    assert told["lot AAAA"] == "20 kg more is planned than is left"
    assert told["lot BBBB"] == "nothing is left of it"
    assert told["lots"] == "one of them is not known here"
    assert told["pots"].startswith("the bath for wool 5 kg comes to 150 L")
    assert told["clock"].startswith("the last rinse ends at")
    assert [problem.where for problem in work_out(plan([], []), []).problems] == ["lots", "cloth"]


def test_two_materials_make_two_liquors_and_a_bath_names_its_own():
    """Bark and hull are boiled one after the other, and each load goes where it was told."""
    hull = hulls("5", "AAAA")
    bark = kept("BBBB", material="alder-bark", part="bark", condition="air-dry", gross=hull.facts.gross)
    work = work_out(plan([hull, bark], [("wool 1 kg", "light", {"material": "alder-bark"}),
                                        ("wool 2 kg", "light", {"material": "black-walnut", "mordant": "alum-iron"})]),
                    [hull, bark])
    assert {one.stuff.key: [bath.cloth for bath in one.baths] for one in work.liquors} == {
        "black-walnut": ["wool 2 kg"], "alder-bark": ["wool 1 kg"]}
    names = set(work.helpers())
    assert names == {"alum", "cream of tartar", "iron (green vitriol, copperas)"}
    assert any(caution.key == "iron-children" for caution in work.cautions)


def test_the_plan_as_data_has_every_part_with_its_unit():
    """Programs get liquors, baths, clock, helpers, cautions and problems, and nothing that JSON can't hold."""
    import json

    ten = hulls()
    work = work_out(plan([ten], [("wool 1 kg", "medium", {"mordant": "alum"})]), [ten])
    plain = json.loads(json.dumps(work.as_json()))
    assert set(plain) == {"liquors", "clock", "helpers", "cautions", "problems"}
    bath = plain["liquors"][0]["baths"][0]
    assert bath["wanted"] == "medium"
    assert bath["mass"]["unit"] == "kg"
    assert plain["helpers"]["alum"]["central"] == pytest.approx(120.0)
