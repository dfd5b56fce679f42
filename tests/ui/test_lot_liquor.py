"""The liquor of a lot: what comes of it in the pot, worked out while one types."""

import pytest

from field_app.core.brew import Brew
from field_app.core.deeds import DrawForm, StepForm
from field_app.core.estimated import estimated_lot
from field_app.core.units import show_range
from field_app.core.vessels import VesselForm
from field_app.store import add_vessel
from tests.ui.driver import walk as walk_through
from tests.ui.fieldwork import DAY, FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.fixture
def lot(bag):
    return bag.lot(bag.tree("Mill lane"))


def made(bag, lot, **brew):
    """The liquor as the core has it."""
    return estimated_lot(bag.book.lot(lot.id), Brew(**brew), brewed=DAY.date()).liquor


async def opened(bag, lot):
    return await bag.open(f"/lots/{lot.code}/liquor")


def test_the_lot_leads_to_its_liquor(bag, lot):
    """From the lot one gets to its liquor, whose title says how much and how strong."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        await d.tap("lot-liquor")
        assert d.routes()[-1] == f"/lots/{lot.code}/liquor"
        liquor = made(bag, lot)
        volume, strength = (show_range(one).partition(" (")[0] for one in (liquor.volume, liquor.strength))
        assert d.title() == f"{volume} of liquor, {strength}"
        d.check_alive()
    play(walk)


def test_every_figure_is_a_range_as_the_core_has_it(bag, lot):
    """Volume, strength and extract with bar and words; water, what boils off and what stays in, in words."""
    async def walk():
        d, liquor = await opened(bag, lot), made(bag, lot)
        for quantity in (liquor.water, liquor.boiled_off, liquor.kept_back):
            assert show_range(quantity) in d.texts()
        assert show_range(liquor.extract, unit="g") in d.texts()
        bars = [one.label for one in walk_through(d.top()) if getattr(one, "image", False)]
        for label, quantity in (("liquor that runs off", liquor.volume), ("strength", liquor.strength)):
            assert f"{label}: {show_range(quantity)}" in bars
        d.check_alive()
    play(walk)


def test_what_the_range_comes_from_is_drawn_as_shares(bag, lot):
    """Each input has its per cent, a bar of that length for eye and ear, and what to do about it."""
    async def walk():
        d, liquor = await opened(bag, lot), made(bag, lot)
        parts = [part for part in liquor.surer["strength"] if part.share >= 0.01]
        assert len(parts) > 2
        bars = [one for one in walk_through(d.one("liquor-surer")) if getattr(one, "image", False)]
        for part, bar in zip(parts, bars, strict=True):
            assert bar.label == f"{part.words}: {100 * part.share:.0f} %"
            assert bar.content.content.controls[0].expand == round(1000 * part.share)
            assert part.deed in d.texts() or not part.deed
        d.check_alive()
    play(walk)


def test_what_is_typed_changes_the_answer(bag, lot):
    """Wanting 50 L of liquor, squeezing and straining twice each tell in title and figures."""
    async def walk():
        d = await opened(bag, lot)
        await d.tap("liquor-water-fold")
        await d.tap("liquor-by-liquor")
        await d.type("liquor-litres", "50")
        assert d.title().startswith("50.0 L of liquor")
        assert show_range(made(bag, lot, liquor=50.0).water) in d.texts()
        await d.tap("liquor-strain-fold")
        await d.tap("liquor-times-2")
        await d.tap("liquor-squeezed-yes")
        found = made(bag, lot, liquor=50.0, strainings=2, squeezed=True)
        assert show_range(found.extract, unit="g") in d.texts()
        assert "twice, squeezed" in d.texts()
        d.check_alive()
    play(walk)


def test_time_and_heat_are_typed_apart(bag, lot):
    """Two days at 20 °C, and an hour at 80 °C: as if told in one."""
    from field_app.core.extraction import Bath

    async def walk():
        d = await opened(bag, lot)
        for name, hours, heat in (("soak", "2 days", "20"), ("boil", "60 min", "80")):
            await d.tap(f"liquor-{name}-fold")
            await d.type(f"liquor-{name}", hours)
            await d.type(f"liquor-{name}-at", heat)
        found = made(bag, lot, soak=Bath(48, 20), boil=Bath(1, 80))
        assert show_range(found.extract, unit="g") in d.texts()
        assert "2 days at 20 °C" in d.texts()
        d.check_alive()
    play(walk)


def test_a_refractometer_takes_the_place_of_the_guess(bag, lot):
    """With a reading the strength is the reading's, and says that it is."""
    async def walk():
        d = await opened(bag, lot)
        await d.tap("liquor-brix-fold")
        await d.type("brix", "1,2")
        assert d.title().endswith("12.1 g/L")
        assert "the refractometer's reading" in d.texts()
        assert "1,2 °Brix" in d.texts()
        d.check_alive()
    play(walk)


def test_own_pots_are_filled(bag, lot):
    """Pots of the book are used at once; left out or with another beside them, the filling changes."""
    add_vessel(bag.book, VesselForm("Big copper", volume="40 L", diameter="38 cm"))
    add_vessel(bag.book, VesselForm("Pail", vessel="pail", volume="12 L"))

    async def walk():
        d = await opened(bag, lot)
        assert "Big copper" in d.texts()
        assert "2 boils, each the same" in d.texts() or "One boil does it" in d.texts()
        assert "Pail" not in d.texts()
        await d.tap("liquor-pots-fold")
        await d.tap("liquor-pot-0-use")
        assert "liquor-kettles" not in on_screen(d)
        await d.type("liquor-pots", "20 L, 30 cm; 20 L, 30 cm")
        assert "liquor-kettles" in on_screen(d)
        assert "20 L pot" in d.texts()
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("fold", "field", "text", "said"), [
    ("liquor-water-fold", "liquor-litres", "0", "is not an amount for a kettle"),
    ("liquor-water-fold", "liquor-litres", "lots", "is no number"),
    ("liquor-boil-fold", "liquor-boil", "hot", "hot"), ("liquor-boil-fold", "liquor-boil-at", "130", "open pot"),
    ("liquor-pots-fold", "liquor-pots", "40 L", "how wide it is"), ("liquor-brix-fold", "brix", "99", "reading")])
def test_what_can_not_be_is_said_at_its_field_and_stays(bag, lot, fold, field, text, said):
    """The fold is marked, the problem stands in it in words, the text stays, and mending it brings the figures back."""
    async def walk():
        d = await opened(bag, lot)
        await d.tap(fold)
        before = d.one(field).value
        await d.type(field, text)
        assert said in d.text()
        assert "to mend" in d.texts()
        assert d.one(field).value == text
        assert d.title() == "Liquor from whole black walnuts"
        assert "elsewhere" not in on_screen(d)
        await d.type(field, before)
        assert "of liquor, " in d.title()
        d.check_alive()
    play(walk)


def test_what_was_typed_is_there_on_coming_back(bag, lot):
    """Who looks at the lot and comes back finds the kettle as it was left."""
    async def walk():
        d = await opened(bag, lot)
        await d.tap("liquor-water-fold")
        await d.type("liquor-litres", "40")
        title = d.title()
        await d.back()
        await d.go(f"/lots/{lot.code}/liquor")
        assert d.title() == title
        assert "40 L put in" in d.texts()
        d.check_alive()
    play(walk)


def test_liquor_that_is_made_is_told_as_measured(bag, lot):
    """Strained to 28 L and half of it taken, the screen says 14 L, its strength, and lets one read it."""
    bag.book.step(lot.id, StepForm("strained", volume="28"))
    bag.book.draw(lot.id, DrawForm("14 L"))

    async def walk():
        d = await opened(bag, lot)
        assert d.title().startswith("14.0 L of liquor, ")
        assert not {"liquor-water-fold", "liquor-water"} & set(d.keys())
        await d.type("brix", "0.8")
        assert d.title().endswith("8.0 g/L")
        d.check_alive()
    play(walk)


def test_how_long_it_keeps_by_how_it_is_stored(bag, lot):
    """Cool one to three weeks, warm three to seven days, frozen about a year (common practice, no source)."""
    async def walk():
        d = await opened(bag, lot)
        assert d.said("liquor-keeps-cool") == "until 15–29 Oct"
        assert d.said("liquor-keeps-warm") == "until 11–15 Oct"
        assert "2027" in d.said("liquor-keeps-frozen")
        d.check_alive()
    play(walk)


def test_a_bath_is_topped_up_from_it(bag, lot):
    """Boiled down to 4 L, it says how much of it brings a spent bath back, how often, and what can't be read."""
    bag.book.step(lot.id, StepForm("boiled", volume="4"))

    async def walk():
        d = await opened(bag, lot)
        await d.tap("liquor-top-up")
        for field, text in (("top-bath", "30"), ("top-now", "0.5"), ("top-wanted", "1,0")):
            assert "top-up-answer" not in on_screen(d)
            await d.type(field, text)
        assert "of concentrate. " in d.text()
        await d.tap("top-level-level")
        assert "top-up-answer" in on_screen(d)
        await d.type("top-now", "weak")
        assert "to mend" in d.texts()
        await d.type("top-now", "5 g/L")
        await d.type("top-wanted", "900 g/L")
        assert "may be no stronger" in d.text()
        d.check_alive()
    play(walk)


def test_what_is_gone_is_not_boiled(bag, lot):
    """A spent lot has no kettle, and leads back."""
    bag.book.step(lot.id, StepForm("spent"))

    async def walk():
        d = await opened(bag, lot)
        assert d.title() == "Nothing is left for the pot"
        await d.tap("liquor-back")
        assert d.routes()[-1] == f"/lots/{lot.code}"
        d.check_alive()
    play(walk)


def test_cautions_and_reasons_open_with_their_sources(bag, lot):
    """Take care and why: closed they say what they hold, opened each caution and each figure with its source."""
    async def walk():
        d = await opened(bag, lot)
        cautions = bag.book.estimate(lot.id).cautions
        await d.tap("liquor-care")
        for one in cautions:
            assert one.title in d.texts()
            assert one.source in d.texts()
        await d.tap("liquor-why")
        for reason in made(bag, lot).reasons():
            assert reason.name in d.texts()
            assert reason.value in d.texts()
        await d.tap("liquor-step")
        assert d.routes()[-1] == f"/lots/{lot.code}/step"
        d.check_alive()
    play(walk)
