"""One lot: what it dyes and why."""

import pytest

from field_app.core.estimate import Reason
from field_app.core.materials import MATERIALS
from field_app.core.units import show_range
from field_app.ui.reason_words import how_known
from tests.ui.driver import walk as walk_through
from tests.ui.fieldwork import FieldBag, fix_at, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_the_title_says_what_it_is(bag):
    """Mass and stuff in the title; code, place and day above it."""
    async def walk():
        lot = bag.lot(bag.tree("Mill lane"))
        d = await bag.open(f"/lots/{lot.code}")
        assert d.title() == "13.1 kg of whole black walnuts"
        assert f"Lot {lot.code} · Mill lane · today" in d.texts()
        d.check_alive()
    play(walk)


def test_every_figure_of_the_estimate_is_there_as_a_range(bag):
    """Cloth for three shades, hull, dry matter, air-dry, nuts: each as the estimate gives it."""
    async def walk():
        lot = bag.lot(bag.tree("Mill lane"))
        worth = bag.book.estimate(lot.code)
        d = await bag.open(f"/lots/{lot.code}")
        told = d.texts()
        light, medium, dark = (shade.cloth for shade in worth.shades)
        for mass in (light, dark, worth.net, worth.fresh_hull, worth.dry_matter, worth.air_dry, worth.nuts):
            assert show_range(mass) in told
        central, _, spread = show_range(medium).partition(" (")
        assert central in told
        assert f"of dry cloth ({spread}" in told
        assert "Dark takes repeated dips, a second bath, or iron." in told
        for deed in worth.surer:
            assert any(deed in text for text in told)
    play(walk)


def test_the_three_shades_stand_on_one_scale(bag):
    """The bands can be compared by eye: their shares of the line are those of the masses."""
    async def walk():
        lot = bag.lot(bag.tree("Mill lane"))
        worth = bag.book.estimate(lot.code)
        d = await bag.open(f"/lots/{lot.code}")
        bars = [c for c in walk_through(d.one("lot-dyes")) if getattr(c, "image", False)]
        assert len(bars) == 3
        ends = {}
        for bar in bars:
            # line, spread, tick: the tick's row is a gap as wide as the central value, the tick, the rest
            tick = bar.content.controls[2].content
            gap = tick.controls[0].expand
            ends[bar.label.partition(":")[0]] = gap
        most = max(shade.cloth.high for shade in worth.shades) * 1.05
        for shade in worth.shades:
            key = next(key for key in ends if shade.name in key)
            assert ends[key] == round(1000 * shade.cloth.central / most)
    play(walk)


def test_why_these_numbers_gives_every_reason(bag):
    """Opened, it lists every input with its value, how it came to be known, and its source."""
    async def walk():
        lot = bag.lot(bag.tree("Mill lane"))
        worth = bag.book.estimate(lot.code)
        d = await bag.open(f"/lots/{lot.code}")
        reasons = (*worth.reasons(), worth.use_by.reason)
        own = sum(reason.basis == "weighed" for reason in reasons)
        assert f"{own} measured by you, {len(reasons) - own} taken from the trade" in d.texts()
        assert "hull share of the fruit" not in d.texts()
        await d.tap("lot-why")
        told = d.texts()
        for reason in reasons:
            assert reason.name in told
            assert reason.value in told
            assert how_known(reason) in told
        assert any(text.startswith("default, rule of thumb") for text in told)
        assert any(text.startswith("default, from memory: ") for text in told)
        assert any(text.startswith("default, common practice") for text in told)
        await d.tap("lot-why")
        assert "hull share of the fruit" not in d.texts()
        d.check_alive()
    play(walk)


def test_no_reason_says_the_same_twice():
    """Whatever a row of the table says of its source, the line names its mark once and its source once."""
    for stuff in MATERIALS.values():
        for row in stuff.parameters.values():
            (reason,) = row.range("x").reasons
            line = how_known(reason)
            assert row.source in line
            head = line.removesuffix(row.source)
            for mark in ("from memory", "rule of thumb", "common practice, no source"):
                assert line.count(mark) <= max(1, row.source.count(mark)), line
            assert head.count("default") == 1


@pytest.mark.parametrize(("reason", "line"), [
    (Reason("on the scale", "14.2 kg", "weighed"), "weighed"),
    (Reason("nut share", "38 %", "worked out", "what the hull leaves", "weak"),
     "worked out, rule of thumb: what the hull leaves"),
    (Reason("x", "1", "worked out", "a source", "derived"), "worked out: a source"),
    (Reason("x", "1", "default", "common practice, no source", "practice"), "default, common practice, no source"),
    (Reason("x", "1", "default", "An essay", "seen"), "default: An essay"),
    (Reason("x", "1", "default", "from memory: papers", "memory"), "default, from memory: papers"),
])
def test_how_an_input_is_known(reason, line):
    """A mark is told in words, and only once."""
    assert how_known(reason) == line


def test_cautions_that_apply(bag):
    """Two short lines at first; opened, each with what to do and its source."""
    async def walk():
        lot = bag.lot(bag.tree("Mill lane"))
        cautions = bag.book.estimate(lot.code).cautions
        d = await bag.open(f"/lots/{lot.code}")
        assert f"{cautions[0].short} {cautions[1].short}" in d.texts()
        await d.tap("lot-care")
        for caution in cautions:
            assert caution.title in d.texts()
            assert f"{caution.text} {caution.advice}" in d.texts()
            assert caution.source in d.texts()
    play(walk)


def test_how_long_it_stays_good(bag):
    """The days, what to expect, and what to do in time."""
    async def walk():
        lot = bag.lot(bag.tree("Mill lane"))
        by = bag.book.estimate(lot.code).use_by
        d = await bag.open(f"/lots/{lot.code}")
        assert "Good until 11–18 Oct" in d.texts()
        assert by.words in d.texts()
        assert by.advice in d.texts()
    play(walk)


def test_what_was_typed_is_there(bag):
    """Gross, tare, time, ripeness, condition, fix and note, as they were put down; pounds in kilograms too."""
    async def walk():
        site = bag.tree("Chapel green", position="44.0, -28.0")
        lot = bag.lot(site, gross="9 lb 6 oz", tare="12 oz", unit="lb", material="english-walnut", part="hull",
                      ripeness="dented", note="Dried in the loft.", gathered="2026-10-05T17:05:00-02:00")
        d = await bag.open(f"/lots/{lot.code}")
        told = d.texts()
        for words in ("9 lb 6 oz (4.25 kg)", "12 oz (340 g)", "Mon 5 Oct, 17:05", "takes a dent", "fresh",
                      "Dried in the loft.", "44.00000 N, 28.00000 W", "as noted for the tree", "Chapel green"):
            assert words in told
    play(walk)


def test_counted_and_poured_lots_say_how(bag):
    """A count is shown as a count, pails as pails with what one holds and how full they were."""
    async def walk():
        site = bag.tree("Mill lane")
        counted = bag.lot(site, gross="", tare="", count="212")
        poured = bag.lot(site, gross="", tare="", pails="2.5", pail="12 L", fill="90 %")
        d = await bag.open(f"/lots/{counted.code}")
        assert "212" in d.texts()
        d = await bag.open(f"/lots/{poured.code}")
        assert "2.5 × 12 L" in d.texts()
        assert "90 %" in d.texts()
    play(walk)


def test_a_fix_of_the_device_says_how_close(bag):
    """A lot with a fix of its own tells its radius, and how often that holds."""
    async def walk():
        from field_app.core.positions import Fix, Position

        lot = bag.lot(bag.tree("Mill lane"), position=Fix(Position(44.0, -28.0), "device", 5.0, "95 %"))
        d = await bag.open(f"/lots/{lot.code}", replies=fix_at(1, 1))
        assert "by the device, ± 5 m, in 95 of 100 cases" in d.texts()
    play(walk)


def test_bark_has_no_hull_and_no_nuts(bag):
    """What plays no part is not shown."""
    async def walk():
        lot = bag.lot(bag.tree("Oak ride"), material="oak-bark", part="bark", ripeness="")
        d = await bag.open(f"/lots/{lot.code}")
        assert d.title() == "13.1 kg of English oak bark"
        assert "hull in it" not in d.texts()
        assert not [text for text in d.texts() if text.startswith("nuts")]
        assert "dry matter of the English oak bark" in d.texts()
        d.check_alive()
    play(walk)


def test_the_two_actions(bag):
    """Handing over takes this lot along; the other says what was done with it next."""
    async def walk():
        lot = bag.lot(bag.tree("Mill lane"))
        d = await bag.open(f"/lots/{lot.code}")
        await d.tap("lot-step")
        assert d.routes() == ["/", f"/lots/{lot.code}", f"/lots/{lot.code}/step"]
        await d.back()
        await d.tap("lot-hand-over")
        assert d.calls("push_route")[-1]["route"] == f"/dye-day/hand-over?lot={lot.code}"
        d.check_alive()
    play(walk)


def test_a_code_of_no_lot(bag):
    """It is said in plain words, and the app stays alive."""
    async def walk():
        d = await bag.open("/lots/ZZZZ")
        assert "no lot has the code 'ZZZZ'" in d.text()
        await d.tap("error-home")
        assert d.routes() == ["/"]
        d.check_alive()
    play(walk)
