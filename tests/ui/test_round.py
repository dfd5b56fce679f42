"""Which trees today, on the screen: planned from where one is, with every figure as a range and every reason told."""

import datetime as dt

import flet as ft
import flet.canvas as cv
import pytest

from field_app.core.gather import LeaveForm
from field_app.core.looks import LookForm
from field_app.core.positions import Position
from field_app.core.round_form import RoundForm
from field_app.store import add_look
from field_app.ui.glyphs import undrawn
from field_app.ui.round_ask import kept_pace, with_pace
from field_app.ui.sketch_map import Mark, shapes_of
from tests.ui.canvas_words import words_apart
from tests.ui.driver import walk
from tests.ui.fieldwork import DAY, GIVEN, FieldBag, denied, fix_at, play

HOME = (44.0120, -28.0060)


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    bag.now = DAY.replace(hour=12)
    yield bag
    bag.book.close()


def grove(bag):
    """Two trees with something under them, one refused, one never asked."""
    for name, position, leave in (
            ("Mill lane", "44.012345, -28.005678", GIVEN), ("Ford bend", "44.01689, -27.99644", LeaveForm("given")),
            ("Schoolyard", "44.0109, -28.0081", LeaveForm("refused", by="the school")),
            ("Heron marsh", "44.0214, -28.0139", LeaveForm("not-asked"))):
        bag.tree(name, position=position, materials=("black-walnut",), leave=leave,
                 note="behind the gate" if name == "Mill lane" else "")
        add_look(bag.book, name, LookForm(dents="9 of 10", ground="200"))


def sketch_of(d):
    (canvas,) = [one for one in walk(d.top()) if isinstance(one, cv.Canvas)]
    return canvas


def test_from_where_one_is_the_round_is_planned(bag):
    """One tap finds the start; then the title says how many trees, each with way, time and range, and the sketch."""
    grove(bag)

    async def steps():
        d = await bag.open("/round", replies=fix_at(*HOME))
        assert d.title() == "Where do you begin?"
        assert "To mend" not in d.text()
        await d.tap("round-here")
        assert d.title() == "2 trees are worth the walk today"
        text = d.text()
        assert "out by 16:50" in text
        assert "1 · Mill lane" in text
        assert "2 · Ford bend" in text
        assert "behind the gate" in text
        assert "Straight lines, not paths." in text
        assert "Schoolyard" not in text
        assert [one.value for one in sketch_of(d).shapes if isinstance(one, cv.Text)][:3] == ["you", "1", "Mill lane"]
        (spoken,) = [one.label for one in walk(d.top()) if isinstance(one, ft.Semantics) and one.label
                     and one.label.startswith("Sketch of the round")]
        assert "1 Mill lane, 46 m, north-east; 2 Ford bend, 900 m, north-east; then to the end, 940 m" in spoken
        await d.tap("round-left-out")
        assert "Leave was refused: don't gather there." in d.text()
        assert "Leave was not asked yet: ask first." in d.text()
        assert undrawn(d.text()) == ""
        d.check_alive()
    play(steps)


def test_a_device_that_refuses_leaves_the_hand(bag):
    """The reason is said, a tree's name does too, and what was typed stays."""
    grove(bag)

    async def steps():
        d = await bag.open("/round", replies={**fix_at(*HOME), "get_current_position": denied})
        await d.tap("round-here")
        assert "was not allowed" in d.text()
        await d.type("round-start-place", "mill lane")
        await d.tap("round-plan")
        assert d.title() == "2 trees are worth the walk today"
        assert "here" in d.texts()
    play(steps)


def test_limits_are_asked_for_and_faults_told_at_their_fields(bag):
    """What makes no sense is to mend, with its fold open; mended, the round keeps the limits and says what it left."""
    grove(bag)

    async def steps():
        d = await bag.open("/round", replies=fix_at(*HOME))
        await d.tap("round-here")
        await d.tap("round-limits")
        await d.type("until", "11:00")
        await d.type("carry", "much")
        await d.tap("round-plan")
        assert d.title() == "To mend: back by, what you can carry"
        assert d.one("until").value == "11:00"
        assert "11:00 is past" in d.text()
        await d.type("until", "12:40")
        await d.type("carry", "5 kg")
        await d.tap("round-plan")
        assert d.title() == "1 tree is worth the walk today"
        assert "Take 5 kg: more can't be carried." in d.text()
        await d.tap("round-left-out")
        assert "No more than 5 kg can be carried." in d.text()
    play(steps)


def test_how_one_goes_is_remembered_on_the_device(bag):
    """By bicycle it is a ride; the pace is kept by the device and is there again on the next page."""
    grove(bag)

    async def steps():
        kept = {}
        replies = {**fix_at(*HOME), "set": lambda call: kept.update({call["key"]: call["value"]}) or True,
                   "get": lambda call: kept.get(call["key"])}
        d = await bag.open("/round", replies=replies)
        await d.tap("round-here")
        await d.tap("round-means")
        await d.tap("means-bicycle")
        await d.type("speed", "15")
        await d.tap("round-plan")
        assert d.title() == "2 trees are worth the ride today"
        assert any(name.endswith("round") for name in kept)
        again = await bag.open("/round", replies=replies)
        assert "by bicycle, 15 km/h" in again.text()
    play(steps)


def test_a_stop_leads_to_the_tree(bag):
    """The main action and each card lead to finding the tree."""
    grove(bag)

    async def steps():
        d = await bag.open("/round", replies=fix_at(*HOME))
        await d.tap("round-here")
        await d.tap("round-find")
        assert d.routes()[-1].endswith("/find")
        assert "Mill lane" in d.text()
        d.check_alive()
    play(steps)


def test_nothing_to_walk_for_says_why(bag):
    """Where nothing may be gathered the title says no, and each tree its reason."""
    bag.tree("Schoolyard", position="44.0109, -28.0081", materials=("black-walnut",), leave=LeaveForm("refused"))

    async def steps():
        d = await bag.open("/round", replies=fix_at(*HOME))
        await d.tap("round-here")
        assert d.title() == "No tree is worth the walk today"
        assert "Leave was refused: don't gather there." in d.text()
    play(steps)


def test_a_round_that_runs_late_is_warned_of(bag):
    """In the evening a caution says that it runs past the light."""
    grove(bag)
    bag.now = DAY.replace(hour=16, minute=30)

    async def steps():
        d = await bag.open("/round", replies=fix_at(*HOME))
        await d.tap("round-here")
        assert "after sunset (17:20)" in d.text()
        assert "A light." in d.text()
    play(steps)


def test_today_leads_to_the_round(bag):
    """Once a tree has a position, the first place offers the round."""
    async def without():
        d = await bag.open("/")
        assert d.find("round") == []
    play(without)
    grove(bag)

    async def steps():
        d = await bag.open("/")
        await d.tap("round")
        assert d.routes() == ["/", "/round"]
    play(steps)


def test_what_the_device_kept_is_read_with_care():
    """A pace comes back as it was; what is not one is as usual."""
    form = RoundForm(means="car", speed="40", carry="30 kg", until="17:30")
    assert with_pace(RoundForm(), kept_pace(form)) == RoundForm(means="car", speed="40", carry="30 kg")
    for text in ("", "nonsense", "[]", "3", '{"means": "horse", "speed": 3}'):
        assert with_pace(RoundForm(), text) == RoundForm()


def test_the_sketch_draws_legs_before_spots():
    """Legs lie under the stops, the scale bar and the arrow are there, and what is left out has no name."""
    marks = [Mark("you", "you", Position(*HOME)), Mark("stop", "Mill lane", Position(44.0123, -28.0057), 1),
             Mark("left out", "Oak ride", Position(44.0042, -27.9921))]
    shapes = shapes_of(marks, [(0, 1), (1, 0)], 326, 260)
    assert [type(one) for one in shapes[:2]] == [cv.Line, cv.Line]
    words = [one.value for one in shapes if isinstance(one, cv.Text)]
    assert "N" in words
    assert "500 m" in words
    assert "Oak ride" not in words


@pytest.mark.parametrize("width", [260, 326, 700])
def test_the_words_of_the_sketch_grow_and_no_name_gives_way(width):
    """With larger text of the device names grow as far as all that were there before still have their place."""
    marks = [Mark("you", "you", Position(*HOME)), Mark("stop", "Mill lane", Position(44.0123, -28.0057), 1),
             Mark("stop", "Ford bend", Position(44.0169, -27.9964), 12),
             Mark("stop", "Chapel green", Position(44.0084, -28.0102), 3)]

    def sizes(grown, height):
        shapes = [one for one in shapes_of(marks, [], width, height, grown) if isinstance(one, cv.Text)]
        words_apart([one for one in shapes if one.alignment != ft.Alignment.CENTER], width, height)
        return {one.value: one.style.size for one in shapes}

    for height in (208, 260, 390):
        plain = sizes(1.0, height)
        for grown in (1.25, 1.6, 2.0, 3.0):
            larger = sizes(grown, height)
            named = {one.name for one in marks}
            assert len(larger.keys() & named) >= len(plain.keys() & named)
            assert all(larger[name] >= 15 for name in larger.keys() & named)
            assert larger["N"] > plain["N"]
            assert larger["12"] <= 15 * 1.4  # two figures in a spot
    assert sizes(2.0, 390)["Ford bend"] >= 15 * 1.5


def test_the_sketch_is_higher_where_text_is_large(bag):
    """On a device with text of twice the size the sketch has half as much room more for its names."""
    grove(bag)

    async def steps():
        d = await bag.open("/round", replies=fix_at(*HOME))
        await d.tap("round-here")
        await d.settle(200)
        low = sketch_of(d).height
        for probe in [one for one in d.controls() if isinstance(one, ft.Text) and one.on_size_change]:
            await d.fire(probe, "size_change", {"w": 18.0, "h": 32.0})
        assert sketch_of(d).height == 1.5 * low
        d.check_alive()
    play(steps)


def test_the_clock_moves_and_the_round_with_it(bag):
    """Opened again later, the round begins later."""
    grove(bag)

    async def steps():
        d = await bag.open("/round", replies=fix_at(*HOME))
        await d.tap("round-here")
        assert "12:00" in d.texts()
        bag.now = bag.now + dt.timedelta(hours=1)
        await d.go("/")
        await d.go("/round")
        assert "13:00" in d.texts()
    play(steps)
