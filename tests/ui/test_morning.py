"""The morning on Today: where to and why, the round from where one is, what to take, and what is not waited for."""

import datetime as dt
import json
import re

import flet.canvas as cv
import pytest

from field_app.core.forms import LeaveForm
from field_app.core.looks import LookForm
from field_app.core.rounds import plan_round
from field_app.core.vessels import VesselForm
from field_app.store import add_look, add_vessel, candidates, forecasts
from field_app.ui.glyphs import undrawn
from tests.ui.driver import walk
from tests.ui.fieldwork import DAY, GIVEN, FieldBag, denied, fix_at, on_screen, play

HOME = (44.0120, -28.0060)


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    bag.now = DAY.replace(hour=9)
    yield bag
    bag.book.close()


def grove(bag, **names):
    """Trees with a pail on the ground, at places north-east of home; names: the leave of each."""
    for number, (name, leave) in enumerate(names.items()):
        bag.tree(name, position=f"{44.0125 + number / 500}, {-28.0055 + number / 400}", materials=("black-walnut",),
                 leave=leave)
        add_look(bag.book, name, LookForm(dents="9 of 10", ground="200"))


def bands(d):
    """The bars of the due trees, as what a screen reader hears."""
    return [one.label for one in walk(d.top()) if getattr(one, "label", None) and "on the ground:" in str(one.label)]


def test_the_round_comes_in_from_where_one_is(bag):
    """One tap tells the place; then the title names the trees in walking order, with load, sunset and a sketch."""
    grove(bag, Mill=GIVEN, Ford=LeaveForm("given"))

    async def steps():
        d = await bag.open("/", replies=fix_at(*HOME))
        assert d.title() in ("Go to Ford and Mill", "Go to Mill and Ford")
        assert "Where do you begin?" in d.texts()
        await d.tap("today-here")
        await d.settle(200)
        planned = plan_round(candidates(bag.book), d_start(), bag.now)
        assert d.title() == f"Go to {planned.stops[0].candidate.name} and {planned.stops[1].candidate.name}"
        text = d.text()
        assert "from where you are" in text
        assert "16:50, sunset 17:20" in text
        assert re.search(r"load to expect\n[\d.]+ kg \([\d.]+–[\d.]+\)", text)
        assert len([one for one in walk(d.top()) if isinstance(one, cv.Canvas)]) == 1
        await d.tap("round")
        assert d.routes()[-1] == "/round"
        assert d.title() == "2 trees are worth the walk today"
        load = f"{planned.total.central:.1f} kg"
        assert load in text
        assert load in d.text()
        d.check_alive()

    def d_start():
        from field_app.core.positions import Position
        return Position(*HOME)
    play(steps)


def test_the_place_of_last_time_serves_the_next_morning(bag):
    """What the device said is kept on the device, and the next morning the round begins there; so does a shed."""
    grove(bag, Mill=GIVEN)
    kept = {}

    def put(args):
        kept[args["key"]] = args["value"]
        return True

    async def evening():
        d = await bag.open("/", replies={**fix_at(*HOME), "set": put})
        await d.tap("today-here")
        await d.settle(100)
        assert json.loads(kept["field-app.place"])["position"] == "44.012000, -28.006000"
    play(evening)
    bag.now += dt.timedelta(hours=22)

    async def morning():
        d = await bag.open("/", replies={"get": lambda args: kept.get(args["key"]), "set": put})
        await d.settle(200)
        assert "from where you were yesterday, 09:00" in d.text()
        assert "The round" in d.texts()
        await d.tap("round")
        await d.settle(100)
        await d.tap("round-start")
        await d.tap("round-shed")
        assert "shed" in d.snack()
        d = await bag.open("/", replies={"get": lambda args: kept.get(args["key"])})
        await d.settle(200)
        assert "from your shed" in d.texts()
        d.check_alive()
    play(morning)


@pytest.mark.parametrize("rubbish", ["", "{", "[]", '{"position": "nowhere", "at": "2026-10-08"}', '{"at": 3}', "null"])
def test_a_place_that_can_not_be_read_is_asked_for(bag, rubbish):
    """Whatever the device kept, the screen is drawn and asks."""
    grove(bag, Mill=GIVEN)

    async def steps():
        d = await bag.open("/", replies={"get": rubbish})
        await d.settle(100)
        assert "Where do you begin?" in d.texts()
        d.check_alive()
    play(steps)


def test_a_refusal_of_the_device_is_told_and_another_place_is_offered(bag):
    """Not allowed: it says what to do, and the round takes a typed place."""
    grove(bag, Mill=GIVEN)

    async def steps():
        d = await bag.open("/", replies={**fix_at(*HOME), "get_current_position": denied})
        await d.tap("today-here")
        await d.settle(100)
        assert "The position was not allowed" in d.text()
        await d.tap("round")
        assert d.title() == "Where do you begin?"
        d.check_alive()
    play(steps)


def test_all_bands_are_on_one_scale(bag):
    """The tree with most is drawn to the end, and the others by it, so that one sees which is more."""
    grove(bag, Mill=GIVEN, Ford=GIVEN)
    add_look(bag.book, "Ford", LookForm(dents="9 of 10", ground="2000"))

    async def steps():
        d = await bag.open("/")
        assert "What lies on the ground, all on one scale" in d.texts()
        bars = [one for one in walk(d.top()) if str(getattr(one, "label", "")).startswith("on the ground: ")]
        ticks = [[part.expand for part in walk(bar) if isinstance(getattr(part, "expand", None), int)] for bar in bars]
        assert len(ticks) == 2
        assert ticks[0] != ticks[1]
        assert len(bands(d)) == 2
        d.check_alive()
    play(steps)


def test_what_to_take_names_pails_with_what_they_weigh(bag):
    """The pails that hold the load, each with its weight when empty; gloves and water, since the juice stains."""
    grove(bag, Mill=GIVEN)
    add_vessel(bag.book, VesselForm("blue pail", "pail", volume="30 L", tare="1.1 kg"))
    add_vessel(bag.book, VesselForm("dented pail", "pail", volume="1 L"))
    add_vessel(bag.book, VesselForm("big pot", "pot", volume="40 L", diameter="38 cm"))

    async def steps():
        d = await bag.open("/")
        assert "1 pail, gloves and water" in d.texts()
        await d.tap("take")
        text = d.text()
        assert "blue pail, 30 L\n1.1 kg empty" in text
        assert "big pot" not in text
        assert "dented pail" not in text
        assert "water to wash with" in text
        await d.tap("care")
        assert "Wear gloves and old clothes, and wash at once." in d.text()
        assert "follow the local rules" in d.text()
        assert undrawn(d.text()) == ""
        d.check_alive()
    play(steps)


def test_without_pails_it_says_where_to_note_them(bag):
    """Nothing is made up: pails or sacks, and the way to note one's own."""
    grove(bag, Mill=GIVEN)

    async def steps():
        d = await bag.open("/")
        await d.tap("take")
        await d.tap("take-pails")
        assert d.routes()[-1] == "/pots"
    play(steps)


def test_nothing_due_says_what_comes_next(bag):
    """No tree is worth the way: it says so, and which comes next and when."""
    bag.tree("Mill", position="44.0125, -28.0055", materials=("black-walnut",), leave=GIVEN)
    add_look(bag.book, "Mill", LookForm(stage="green"))

    async def steps():
        d = await bag.open("/")
        assert d.title() == "No tree is worth the way today"
        assert re.search(r"Next comes Mill, black walnut, around \w+ \d+ Oct", d.text())
        assert not d.find("take")
        d.check_alive()
    play(steps)


def test_refused_everywhere_is_told_with_a_way_on(bag):
    """Where every leave was refused, no round is offered, and it says what to do."""
    grove(bag, Mill=LeaveForm("refused"), Ford=LeaveForm("refused"))

    async def steps():
        d = await bag.open("/")
        assert "Leave was refused everywhere" in d.texts()
        assert not [key for key in on_screen(d) if key.startswith("due-")]
        d.check_alive()
    play(steps)


def test_a_ready_tree_without_leave_says_so_where_leave_is_seen_to(bag):
    """Never asked, but ready: the line on leave opens by itself and says that it is ready."""
    grove(bag, Mill=LeaveForm("not-asked"))

    async def steps():
        d = await bag.open("/")
        assert d.title() == "See about leave at Mill"
        assert "Mill is ready, but you have no leave" in d.texts()
        assert re.search(r"Ready now; go by .*\.", d.text())
        await d.tap("leave-Mill")
        assert d.routes()[-1].startswith("/trees/")
        d.check_alive()
    play(steps)


def test_in_the_evening_it_is_too_late(bag):
    """After the time to be out no round is drawn: it says so, and when the sun sets."""
    bag.now = DAY.replace(hour=18)
    grove(bag, Mill=GIVEN)

    async def steps():
        d = await bag.open("/", replies=fix_at(*HOME))
        await d.tap("today-here")
        await d.settle(200)
        assert "Too late for a round today" in d.texts()
        assert "sun sets at 17:20" in d.text()
        d.check_alive()
    play(steps)


def test_forecasts_are_not_in_the_first_drawing(bag, monkeypatch):
    """While many trees are looked at, the screen is there with its main action; what is known comes in after."""
    monkeypatch.setattr(forecasts, "STEP", 1)
    grove(bag, **{f"Tree {number}": GIVEN for number in range(60)})

    async def steps():
        d = await bag.open("/")
        assert d.title() == "Where to today?"
        assert "Looking at the trees…" in d.texts()
        assert d.find("log")
        assert not [key for key in on_screen(d) if key.startswith("due-")]
        await d.settle(400)
        assert d.title() == "60 trees are worth the way today"
        assert "Looking at the trees…" not in d.texts()
        add_look(bag.book, "Tree 7", LookForm(stage="black"))
        await d.go("/lots")
        await d.go("/")
        assert "Looking at the trees…" not in d.texts()  # one tree is worked out on the spot
        d.check_alive()
    play(steps)


@pytest.mark.parametrize(("trees", "left_out"), [(12, 0), (13, 1), (20, 8)])
def test_a_round_over_the_most_urgent_trees_says_how_many_it_leaves_out(bag, trees, left_out):
    """Beyond a dozen the card says how many were not planned over and where all are; up to a dozen it says nothing."""
    grove(bag, **{f"Tree {number}": GIVEN for number in range(trees)})
    bag.tree("Bare", position="44.0130, -28.0050", leave=GIVEN)  # nothing to gather there, so it is not counted

    async def steps():
        d = await bag.open("/", replies=fix_at(*HOME))
        await d.tap("today-here")
        await d.settle(400)
        assert d.find("today-round")
        said = [one for one in d.texts() if "planned over the 12 most urgent trees" in one]
        if not left_out:
            assert not said
            return
        assert said == [d.one("today-unplanned").value]
        assert {1: "1 more has something", 8: "8 more have something"}[left_out] in said[0]
        assert d.title() == f"{trees} trees are worth the way today"
        await d.tap("round")
        await d.settle(400)
        everyone = d.text()
        assert all(f"Tree {number}" in everyone for number in range(trees))
        d.check_alive()
    play(steps)


def test_many_trees_that_change_at_once_leave_the_screen_as_it_was(bag, monkeypatch):
    """When a group file changes many, what was known stays until they have been looked at."""
    grove(bag, **{f"Tree {number}": GIVEN for number in range(12)})

    async def steps():
        d = await bag.open("/")
        await d.settle(100)
        assert d.title() == "12 trees are worth the way today"
        monkeypatch.setattr(forecasts, "STEP", 1)
        await d.go("/lots")
        for number in range(12):
            add_look(bag.book, f"Tree {number}", LookForm(stage="green"))
        d.page.navigate("/")
        await d.settle(8)
        assert d.title() == "12 trees are worth the way today"
        await d.settle(300)
        assert d.title() == "No tree is worth the way today"
        d.check_alive()
    play(steps)
