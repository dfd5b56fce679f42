"""The seasons looked back on, on the screen: pictures with their words, the same figures as the command tells."""

import datetime as dt

import flet as ft
import flet.canvas as cv
import pypdfium2
import pytest

from field_app.cli_season import season_lines
from field_app.core.deeds import StepForm
from field_app.core.habits import PLAIN, go_by
from field_app.core.looks import LookForm
from field_app.core.own_deeds import OwnTestForm
from field_app.core.review_spots import check_spots, forecast_spots
from field_app.core.review_words import bars_of, count_words, seen_words, stood_words, verdict_words
from field_app.core.swatch_deeds import SwatchForm
from field_app.store import add_look, note_swatch, note_test, season_review
from field_app.ui.parts.look_back import chance_shapes, spot_shapes, year_shapes
from tests.ui.canvas_words import words_apart
from tests.ui.driver import walk as controls_of
from tests.ui.fieldwork import DAY, GIVEN, FieldBag, on_screen, play

HULLS = {"materials": ("black-walnut",), "position": "44.0151, -28.0042", "leave": GIVEN}
PAST = "/trees/past"


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    bag.now = DAY + dt.timedelta(days=60)
    yield bag
    bag.book.close()


def seasons(bag):
    """A tree with three seasons and loads, one of them weighed later and tested, and a swatch."""
    site = bag.tree("Mill lane", **HULLS)
    for year, green, ripe in ((2024, "20", "26"), (2025, "22", "28"), (2026, "02", "06")):
        add_look(bag.book, site, LookForm(stage="green", at=f"{year}-09-{green}"))
        add_look(bag.book, site, LookForm(stage="dented", at=f"{year}-09-{ripe}"))
    bag.lot(site)
    bag.lot(site, part="hull", gross="4.2")
    counted = bag.lot(site, gross="", tare="", count="100")
    bag.book.step(counted.code, StepForm("weighed", mass="6.2 kg", at="2026-10-09 09:00"))
    note_test(bag.book, OwnTestForm("dry", "200 g", "36 g", lot=counted.id, at="2026-10-10 09:00"))
    note_swatch(bag.book, SwatchForm("10", "20", "1 h", "dark", material="black-walnut", state="air-dry"))
    return site


async def ready(d):
    """Until what is worked out beside the screen is there."""
    for _ in range(50):
        await d.settle()
        if not d.find("past-busy"):
            return
    raise AssertionError("the work did not end")


def said(d):
    return "\n".join(control.label for control in controls_of(d.top())
                     if isinstance(control, ft.Semantics) and control.image and control.label)


def test_it_is_reached_from_the_season_and_from_today(bag):
    """From all trees on one axis and from Today it is one tap, and the arrow leads back to the season."""
    seasons(bag)

    async def walk():
        d = await bag.open("/")
        await d.tap("to-past")
        await ready(d)
        assert d.routes()[-1] == PAST
        await d.go("/trees/season")
        await d.tap("season-past")
        await ready(d)
        assert d.title() == title(bag)
        await d.tap("back")
        assert d.routes()[-1] == "/trees/season"
        d.check_alive()
    play(walk)


def title(bag):
    told = season_review(bag.book).forecasts(False)
    return f"{told.inside} of {told.n} dates lay inside the forecast"


def test_the_screen_tells_the_figures_of_the_command(bag):
    """Every count, yield, date, forecast, estimate and lesson of the one stands on the other, drawn and in words."""
    seasons(bag)

    async def walk():
        d = await bag.open(PAST)
        await ready(d)
        review = season_review(bag.book)
        lines = "\n".join(season_lines(review))
        heard, shown = said(d), d.text()
        for told in (review.forecasts(True), review.forecasts(False), review.estimates):
            for words in (count_words(told), verdict_words(told)):
                assert words in lines
                assert words in shown
                assert words in heard
        (tree,) = review.trees
        for name, figure, _ in bars_of(tree, "."):
            assert f"{name}: {figure}" in heard
            assert figure in lines
        for year in tree.years:
            assert seen_words(year) in lines
            assert seen_words(year) in heard
            assert stood_words(year.stood[-1]) in lines
            assert stood_words(year.stood[-1]) in shown
        tail = lines.partition("How good the estimates were")[2].splitlines()
        checks = [line.split(": ", 1)[1] for line in tail if "thought" in line]
        assert len(checks) == 2
        assert all(words in shown for words in checks)
        lessons = lines.partition("What was learnt")[2].partition("How good")[0].strip().splitlines()
        assert {lesson.name for lesson in review.lessons} >= {"dry-fresh", "wof-medium"}
        assert all(line.strip().split(": ", 2)[-1] in shown for line in lessons)
        d.check_alive()
    play(walk)


def test_a_year_is_chosen_and_few_are_called_few(bag):
    """One year alone has its own count, and says that it is too small to tell."""
    seasons(bag)

    async def walk():
        d = await bag.open(PAST)
        await ready(d)
        await d.tap("past-year-2025")
        told = season_review(bag.book, 2025)
        assert d.said("past-week") == count_words(told.forecasts(False))
        assert "Too few to tell" in d.text()
        assert "2024: seen" not in said(d)
        await d.tap("past-year-all")
        assert d.title() == title(bag)
        d.check_alive()
    play(walk)


def test_an_empty_book_says_what_to_note(bag):
    """Without a season there is advice and no empty picture."""
    async def walk():
        d = await bag.open(PAST)
        await ready(d)
        assert d.title() == "No season to look back on yet"
        assert "Note looks and loads through the season" in d.texts()
        assert not [one for one in controls_of(d.top()) if isinstance(one, cv.Canvas)]
        d.check_alive()
    play(walk)


def test_many_trees_can_be_stopped_and_begun_again(bag):
    """While it works it shows how far it is; stopped it says so, and begun again it ends."""
    for number in range(60):
        add_look(bag.book, bag.tree(f"Tree {number}", **HULLS), LookForm(stage="green", at="2026-09-20"))

    async def walk():
        d = await bag.open("/trees")
        d.page.navigate(PAST)
        await d.settle(8)
        assert "of 60 trees" in d.text()
        await d.fire(d.one("past-stop"), "click")
        assert d.title() == "Looking back was stopped"
        await d.tap("past-again")
        await ready(d)
        assert "past-Tree 0-black-walnut" in on_screen(d)
        await d.tap("past-more")
        assert len([key for key in on_screen(d) if key.startswith("past-Tree")]) == 20
        d.check_alive()
    play(walk)


@pytest.mark.parametrize("grown", [1.0, 1.3, 2.0])
@pytest.mark.parametrize("width", [240, 316, 700])
def test_every_shape_lies_within_its_picture(bag, width, grown):
    """At any width and size of text nothing is drawn beside the canvas, and dots inside stand in the band."""
    seasons(bag)
    review = season_review(bag.book)
    (tree,) = review.trees
    told = review.forecasts(False)
    spots = (*forecast_spots(review, early=False), *check_spots(review), -9.0, -0.01, 0.0, 1.0, 1.01, 9.0)
    for shapes, height in (year_shapes(bars_of(tree, "."), 30, width, grown),
                           spot_shapes(spots, width, ("earlier", "later"), grown),
                           chance_shapes(told.n, told.inside, told.by_chance, width, grown)):
        words_apart(shapes, width, height)
        for shape in shapes:
            xs = [getattr(shape, name) for name in ("x", "x1", "x2") if hasattr(shape, name)]
            ys = [getattr(shape, name) for name in ("y", "y1", "y2") if hasattr(shape, name)]
            assert all(0 <= x <= width for x in xs)
            assert all(-1 <= y <= height for y in ys)
            if isinstance(shape, cv.Text):
                assert shape.style.size >= 14
    shapes, _ = spot_shapes(spots, width, ("less", "more"), grown)
    band = next(shape for shape in shapes if isinstance(shape, cv.Rect))
    dots = [shape for shape in shapes if isinstance(shape, cv.Circle)]
    assert len(dots) == len(spots)
    for dot in dots:
        full = dot.paint.style is ft.PaintingStyle.FILL
        assert full == (band.x < dot.x < band.x + band.width)


@pytest.mark.parametrize(("language", "ends"), [("en", ("none", "all 12")), ("de", ("keine", "alle 12"))])
def test_the_picture_of_a_count_says_from_where_to_where(language, ends):
    """Its line goes from none to all of them, in words for things that are counted."""
    try:
        go_by(PLAIN.changed(language=language))
        shapes, _ = chance_shapes(12, 9, (7, 12), 316.0)
    finally:
        go_by(PLAIN)
    assert tuple(shape.value for shape in shapes if isinstance(shape, cv.Text)) == ends


def test_the_seasons_are_printed(bag):
    """One tap gives the chosen year as PDF on the chosen paper, which the device remembers."""
    seasons(bag)
    kept = {}

    def keep(call):
        kept[call["key"]] = call["value"]
        return True

    async def walk():
        d = await bag.open(PAST, replies={"save_file": "/home/seasons.pdf", "set": keep,
                                          "get": lambda call: kept.get(call["key"])})
        await ready(d)
        await d.tap("past-year-2025")
        await d.tap("past-print-fold")
        await d.tap("past-print-paper-Letter")
        await d.tap("past-print")
        call = d.calls("save_file")[-1]
        page = pypdfium2.PdfDocument(bytes(call["src_bytes"]))[0]
        assert call["file_name"] == "seasons-2026-12-07.pdf"
        assert (page.get_width(), page.get_height()) == pytest.approx((612, 792))
        assert count_words(season_review(bag.book, 2025).forecasts(False))[:12] in page.get_textpage().get_text_range()
        assert "Print it at 100 %" in d.text()
        assert "Letter" in kept.values()
        d.check_alive()
    play(walk)
