"""The season on the screens: one tree, all trees, the days to come back on, and what is worth the way today."""

import datetime as dt

import flet as ft
import flet.canvas as cv
import pytest

from field_app.core.forms import LeaveForm
from field_app.core.looks import LookForm
from field_app.store import add_look, due_days, timings
from field_app.ui.day_words import day
from field_app.ui.parts.season import Mark, Strip, months_of, strip_shapes
from field_app.ui.season_words import due_today, hundredths, ready_words, said_of, strip_of, visits_words, why_words
from field_app.ui.site_words import site_route
from tests.ui.canvas_words import words_apart
from tests.ui.driver import walk as controls_of
from tests.ui.fieldwork import DAY, GIVEN, FieldBag, on_screen, play

TODAY = DAY.date()
HULLS = {"materials": ("black-walnut",), "position": "44.0151, -28.0042", "leave": GIVEN}


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def look(bag, site, **how):
    add_look(bag.book, site, LookForm(**how))


def seen_before(bag, site):
    for year in (2024, 2025):
        look(bag, site, stage="green", at=f"{year}-09-20")
        look(bag, site, stage="dented", at=f"{year}-09-26")


def pictures(d):
    return [control for control in controls_of(d.top()) if isinstance(control, cv.Canvas)]


def said(d):
    return [control.label for control in controls_of(d.top()) if isinstance(control, ft.Semantics) and control.image]


def test_a_tree_shows_its_season_as_a_picture_and_in_words(bag):
    """Its kind, own years, this year's looks, the forecast and the visits, drawn and said; it follows a new look."""
    site = bag.tree("Mill lane", **HULLS)
    seen_before(bag, site)
    look(bag, site, stage="yellowing", at="2026-10-01")
    look(bag, site, dents="4 of 10")

    async def walk():
        d = await bag.open(site_route(site))
        (picture,) = pictures(d)
        drawn = [shape.value for shape in picture.shapes if isinstance(shape, cv.Text)]
        for words in ("trees of its kind", "its own years, 2024–2025", "seen this year, last: 4 of 10 dented",
                      "this year", "when to go", "Oct", "1"):
            assert words in drawn
        (one,) = timings(bag.book)
        assert said_of(one) in said(d)
        assert d.said("ready-black-walnut").startswith(day(one.forecast.p50, TODAY))
        before = d.said("ready-black-walnut")
        await d.tap("tree-look")
        await d.tap("stage-fallen")
        await d.tap("look-save")
        assert d.said("ready-black-walnut") != before
        d.check_alive()
    play(walk)


def test_the_ground_the_reasons_and_hopkins_law_open(bag):
    """What lies there as a curve with its range in words, why with sources, and the law only once it is chosen."""
    site = bag.tree("Mill lane", **HULLS)
    look(bag, site, stage="fallen", ground="a-pail")

    async def walk():
        d = await bag.open(site_route(site))
        await d.tap("ground-black-walnut")
        assert len(pictures(d)) == 2
        (one,) = timings(bag.book)
        assert any(text.startswith("up to ") for text in
                   (shape.value for shape in pictures(d)[1].shapes if isinstance(shape, cv.Text)))
        await d.tap("why-black-walnut")
        assert "XM1001" in d.text()
        assert "Hopkins' law as you chose" not in d.text()
        await d.tap("law-black-walnut")
        await d.tap("law-of-black-walnut-later")
        assert "Hopkins' law as you chose, later towards the pole" in d.text()
        assert "+20 days" in d.texts()
        assert one.forecast.reasons
        d.check_alive()
    play(walk)


def test_of_bark_the_rule_stands_beside_its_season(bag):
    """While the sap is up the card says from which wood."""
    bag.now = dt.datetime.fromisoformat("2026-04-25T10:00:00-02:00")
    site = bag.tree("Yard", materials=("oak-bark",), leave=LeaveForm("given"))

    async def walk():
        d = await bag.open(site_route(site))
        assert "From felled, pruned or wind-thrown wood only" in d.texts()
        assert "the sap is up" in d.texts()
        d.check_alive()
    play(walk)


def test_all_trees_on_one_axis_lead_to_each(bag):
    """The most ready first, each with picture and words; refused leave is told; a tap leads to the tree."""
    ready, late = bag.tree("Mill lane", **HULLS), bag.tree("Ford", **HULLS)
    bag.tree("School", **{**HULLS, "leave": LeaveForm("refused")})
    look(bag, ready, stage="fallen")
    look(bag, late, stage="green")

    async def walk():
        d = await bag.open("/trees")
        await d.tap("trees-season")
        assert d.title() == "1 tree is ready"
        rows = [key for key in on_screen(d) if key.startswith("season-") and key.endswith("black-walnut")]
        assert rows == ["season-Mill lane-black-walnut", "season-School-black-walnut", "season-Ford-black-walnut"]
        assert "Leave refused" in d.texts()
        for one in timings(bag.book):
            assert f"Best visits: {visits_words(one)}." in d.texts()
            assert ready_words(one.forecast, TODAY) in d.texts()
        await d.tap("season-Ford-black-walnut")
        assert d.routes()[-1] == site_route(late)
        d.check_alive()
    play(walk)


def test_the_months_are_as_wide_as_the_line_above_them(bag):
    """In every card, narrow or wide: months that end elsewhere would tell a wrong day."""
    ready, late = bag.tree("Mill lane", **HULLS), bag.tree("Ford", **HULLS)
    look(bag, ready, stage="fallen")
    look(bag, late, stage="green")

    async def walk():
        d = await bag.open("/trees/season")
        drawn = [c for c in controls_of(d.top()) if isinstance(c, cv.Canvas)]
        assert len(drawn) == 2
        for canvas, width in zip(drawn, (310.0, 596.0), strict=True):
            await d.fire(canvas, "resize", {"w": width, "h": canvas.height})
        for canvas, width in zip([c for c in controls_of(d.top()) if isinstance(c, cv.Canvas)], (310.0, 596.0),
                                 strict=True):
            level = [shape for shape in canvas.shapes if isinstance(shape, cv.Line) and shape.y1 == shape.y2]
            assert [(line.x1, line.x2) for line in level] == [(6, width - 6)] * 2, "the season, and its months"
        d.check_alive()
    play(walk)


def test_the_title_of_the_days_tells_how_many_trees_are_due_on_the_first(bag):
    """One by its name, and how many more there are that day."""
    for name in ("Mill lane", "Ford"):
        look(bag, bag.tree(name, **HULLS), stage="fallen")

    async def walk():
        d = await bag.open("/trees/come-back")
        first = due_days(timings(bag.book))[0].timing.site.name
        assert d.title() == f"Today: {first} and 1 more"
        d.check_alive()
    play(walk)


def test_without_a_season_it_says_how_to_begin(bag):
    """No trees, or trees of which nothing is noted: what to do stands there."""
    bag.tree("Weir")

    async def walk():
        d = await bag.open("/trees/season")
        assert d.title() == "Nothing has a season yet"
        assert d.find("season-add")
        await d.go("/trees/come-back")
        assert d.title() == "No day to come back on"
        assert d.find("come-back-none"), "and says what days come from"
        assert not d.find("come-back-save")
        d.check_alive()
    play(walk)


def test_the_days_to_come_back_on_are_saved_as_a_calendar(bag):
    """In order, with what each saves; saved without positions, and with them once that is ticked."""
    site = bag.tree("Mill lane", **HULLS)
    look(bag, site, dents="4 of 10")
    bag.tree("School", **{**HULLS, "leave": LeaveForm("refused")})

    async def walk():
        d = await bag.open("/trees/come-back", replies={"save_file": "/somewhere/come-back.ics"})
        days = due_days(timings(bag.book))
        assert [f"come-back-Mill lane-{due.number}-black-walnut" for due in days] == [
            key for key in on_screen(d) if key.startswith("come-back-Mill")]
        assert "School is left out: leave was refused." in d.texts()
        await d.tap("come-back-save")
        assert "3 days in come-back.ics" in d.texts()
        await d.fire(d.one("come-back-exact"), "change")
        d.session.apply_patch(d.one("come-back-exact")._i, {"value": True})
        await d.fire(d.one("come-back-exact"), "change", True)
        await d.tap("come-back-save")
        plain, exact = (bytes(call["src_bytes"]) for call in d.calls("save_file"))
        assert plain.count(b"BEGIN:VEVENT") == exact.count(b"BEGIN:VEVENT") == 3
        assert (b"GEO" in plain, b"GEO:44.0151;-28.0042" in exact) == (False, True)
        d.check_alive()
    play(walk)


def test_where_leave_is_missing_by_then_the_day_says_so(bag):
    """A day after leave has ended, and a tree of which nobody asked, tell what to do about leave."""
    bag.tree("Mill lane", **{**HULLS, "leave": LeaveForm("given", by="the miller", until="2026-10-08")})
    bag.tree("Marsh", materials=("alder-cones",))

    async def walk():
        d = await bag.open("/trees/come-back")
        assert "Leave by the miller ended Thu 8 Oct: ask again" in d.texts()
        assert "Leave not asked yet" in d.texts()
        d.check_alive()
    play(walk)


def test_a_day_that_saves_little_says_so(bag):
    """Gathered today, late in the fall: what is still to come is told as hardly worth the way."""
    site = bag.tree("Mill lane", **HULLS)
    look(bag, site, stage="dented", at="2026-09-12")
    bag.lot(site)

    async def walk():
        d = await bag.open("/trees/come-back")
        dues = due_days(timings(bag.book))
        assert any(due.hardly for due in dues)
        assert d.text().count("hardly worth the way") == sum(due.hardly for due in dues)
        d.check_alive()
    play(walk)


def test_a_device_that_can_not_save_says_so(bag):
    """A refusal of the device, and a saving that was stopped, are told, and nothing else changes."""
    bag.tree("Mill lane", **HULLS)

    def full(_):
        raise RuntimeError("no room")

    async def walk():
        d = await bag.open("/trees/come-back", replies={"save_file": full})
        await d.tap("come-back-save")
        assert "The calendar could not be saved" in d.texts()
        d.client.replies["save_file"] = None
        await d.tap("come-back-save")
        assert "Nothing was written" in d.texts()
        d.check_alive()
    play(walk)


def test_today_tells_which_trees_are_worth_the_way_and_why(bag):
    """Ready, with a kilogram on the ground and leave: the title says it, the card says why, and leads to the tree."""
    mill = bag.tree("Mill lane", **HULLS)
    school = bag.tree("School", **{**HULLS, "leave": LeaveForm("refused")})
    for site in (mill, school):
        look(bag, site, dents="9 of 10", ground="a-pail")

    async def walk():
        d = await bag.open("/")
        assert d.title() == "Mill lane is worth the way today"
        assert "9 of 10 took a dent today" in d.text()
        assert "Waiting a day loses" in d.text()
        await d.tap("due-Mill lane-black-walnut")
        assert d.routes()[-1] == site_route(mill)
        d.check_alive()
    play(walk)


def test_what_lasts_is_due_when_it_begins_and_before_it_ends(bag):
    """Cones that are ready for months are no news every day."""
    marsh = bag.tree("Marsh", materials=("alder-cones",), leave=GIVEN)
    look(bag, marsh, stage="not-yet", at="2026-10-01")
    look(bag, marsh, stage="ready")
    (one,) = timings(bag.book)
    assert due_today([one]) == (one,)
    bag.now = DAY + dt.timedelta(days=40)
    (one,) = timings(bag.book)
    assert one.forecast.ready_today > 0.9
    assert due_today([one]) == ()


@pytest.mark.parametrize("width", [240, 316, 700])
@pytest.mark.parametrize("grown", [1.0, 1.3, 2.0])
def test_every_shape_of_a_strip_lies_within_it(bag, width, grown):
    """Whatever the width, nothing is drawn beside the canvas, and words are as large as the device has them."""
    site = bag.tree("Mill lane", **HULLS)
    seen_before(bag, site)
    look(bag, site, stage="green", at="2026-09-20")
    (one,) = timings(bag.book)
    shapes, height = strip_shapes(strip_of(one), width, grown)
    words_apart(shapes, width, height)
    for shape in shapes:
        xs = [getattr(shape, name) for name in ("x", "x1", "x2") if hasattr(shape, name)]
        ys = [getattr(shape, name) for name in ("y", "y1", "y2") if hasattr(shape, name)]
        assert all(0 <= x <= width for x in xs)
        assert all(-1 <= y <= height for y in ys)
        if isinstance(shape, cv.Text):
            assert shape.style.size >= 14 * (1.0 if shape.alignment == ft.Alignment.CENTER else grown)


@pytest.mark.parametrize("width", [240, 316])
def test_the_months_below_a_strip_keep_apart_in_large_text(width):
    """Where the names of all months don't fit, every second, third or fourth is there, and none runs into another."""
    for months in range(1, 13):
        strip = Strip(TODAY, TODAY + dt.timedelta(days=30 * months), TODAY, (("row", (), ()),), "")
        for grown in (1.0, 1.5, 2.0):
            shapes, height = strip_shapes(strip, width, grown)
            words_apart(shapes, width, height)
            assert len([shape for shape in shapes if isinstance(shape, cv.Text)]) >= (2 if months > 1 else 1)


def test_numbered_squares_grow_only_as_far_as_none_covers_another():
    """Two visits of one week keep their size; far apart they grow with the text, up to one and a half."""
    def sides(*days):
        marks = tuple(Mark(TODAY + dt.timedelta(days=day), "square", "1") for day in days)
        strip = Strip(TODAY, TODAY + dt.timedelta(days=100), TODAY, (("row", (), marks),), "")
        return {round(shape.width, 6) for shape in strip_shapes(strip, 312, 2.0)[0]
                if isinstance(shape, cv.Rect) and shape.width == shape.height}

    assert sides(10, 14) == {18.0}
    assert sides(10, 17) == {21.0}  # 3 px a day
    assert sides(10, 60) == sides(10) == {27.0}


def test_the_pictures_of_a_season_grow_with_the_text_of_the_device(bag):
    """Once the device is seen to have text of twice the size, words on canvases have it too, and their canvas room."""
    site = bag.tree("Mill lane", **HULLS)
    seen_before(bag, site)
    look(bag, site, stage="green", at="2026-09-20")

    async def walk():
        d = await bag.open(f"/trees/{site}")
        await d.settle(200)

        def drawn():
            found = [one for one in controls_of(d.top()) if isinstance(one, cv.Canvas)]
            return [({shape.style.size for shape in one.shapes if isinstance(shape, cv.Text)}, one.height)
                    for one in found]

        ((before, low), *_) = drawn()
        assert before == {14}
        for probe in [c for c in d.controls() if isinstance(c, ft.Text) and c.on_size_change]:
            await d.fire(probe, "size_change", {"w": 18.0, "h": 32.0})
        ((after, high), *_) = drawn()
        assert 28 in after
        assert high > 1.5 * low
        d.check_alive()
    play(walk)


def test_marks_differ_by_shape_and_not_by_colour():
    """A ring, a dot, a dot in a ring and a numbered square: four drawings that differ without any colour."""
    def kinds(kind):
        strip = Strip(TODAY, TODAY + dt.timedelta(days=30), TODAY - dt.timedelta(days=9),
                      (("row", (), (Mark(TODAY + dt.timedelta(days=9), kind, "1" if kind == "square" else ""),)),), "")
        shapes, _ = strip_shapes(strip, 300)
        return tuple((type(shape).__name__, getattr(shape, "radius", None), shape.paint.style)
                     for shape in shapes if isinstance(shape, (cv.Circle, cv.Rect)))

    assert len({kinds(kind) for kind in ("ring", "dot", "half", "square")}) == 4


def test_words_for_shares_and_months():
    """Nothing is told as certain, and each month of a span has its tick once."""
    assert [hundredths(share) for share in (1.0, 0.96, 0.5, 0.004)] == ["over 95 %", "over 95 %", "50 %", "under 1 %"]
    assert months_of(dt.date(2026, 11, 20), dt.date(2027, 2, 1)) == [dt.date(2026, 12, 1), dt.date(2027, 1, 1),
                                                                    dt.date(2027, 2, 1)]


def test_ready_words_follow_the_range(bag):
    """Before it around a day, in it a chance, then by when to go, and after that since when it is past its best."""
    site = bag.tree("Mill lane", **HULLS)
    words = []
    for month, number in ((7, 1), (9, 20), (11, 1)):
        (one,) = timings(bag.book, today=dt.date(2026, month, number))
        words.append(ready_words(one.forecast, one.today))
    assert words[0].startswith("Ready around ")
    assert words[1].startswith("It may be ready now: ")
    assert words[2].startswith("Past its best since about ")
    look(bag, site, stage="green")
    (one,) = timings(bag.book)
    assert why_words(one).startswith("Not ready yet today.")
