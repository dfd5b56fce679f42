"""How things are shown: every choice holds at once, on this screen, and is there again at the next start."""

import datetime as dt

import flet as ft
import pytest

from field_app.core.estimate import Range
from field_app.core.habits import PLAIN, Habits, habits, habits_from
from field_app.core.units import show_range
from field_app.store import keep_habits, kept_habits
from field_app.ui.glyphs import undrawn
from field_app.ui.guard import screen
from field_app.ui.parts.unbroken import apart
from field_app.ui.services import SERVICES, STATE, Services
from field_app.ui.state import AppState
from field_app.ui.theme import NIGHT, SUN
from tests.ui.driver import Driver
from tests.ui.driver import walk as inside
from tests.ui.fieldwork import FieldBag, play, three


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_today_leads_there(bag):
    """The button beside the day opens the choices, and back leads to Today."""
    async def walk():
        d = await bag.open("/")
        await d.tap("settings")
        assert d.routes() == ["/", "/shown"]
        await d.back()
        assert d.routes() == ["/"]
        d.check_alive()
    play(walk)


def test_the_first_start_surprises_nobody(bag):
    """Without a choice it is English, metric, with a point, the day first, for the right hand."""
    assert kept_habits(bag.book.log_book) == PLAIN == Habits("metric", ".", "day-month", "24", "right", "en", "device")

    async def walk():
        d = await bag.open("/shown")
        assert d.title() == "8.1 kg (7.0–9.6), 8 Oct 2026"
        assert "8.1 kg (7.0–9.6) · 30 L · 60 °C" in d.texts()
    play(walk)


@pytest.mark.parametrize(("taps", "title"), [
    (("measures-us",), "17.9 lb (15.4–21.2), 8 Oct 2026"),
    (("measures-us", "decimal-,"), "17,9 lb (15,4–21,2), 8 Oct 2026"),
    (("dates-month-day",), "8.1 kg (7.0–9.6), Oct 8, 2026"),
    (("dates-iso", "decimal-,"), "8,1 kg (7,0–9,6), 2026-10-08"),
    (("dates-iso", "dates-day-month"), "8.1 kg (7.0–9.6), 8 Oct 2026"),
])
def test_a_tap_holds_at_once(bag, taps, title):
    """The title of the screen is a sample, and it is shown anew with every tap."""
    async def walk():
        d = await bag.open("/shown")
        for tap in taps:
            await d.tap(tap)
        assert d.title() == title
        d.check_alive()
    play(walk)


def test_each_choice_shows_what_it_gives(bag):
    """The buttons of dates, clock and decimal sign are samples themselves, whatever holds now."""
    bag.now = dt.datetime.fromisoformat("2026-10-08T00:05:00-02:00")

    async def walk():
        d = await bag.open("/shown")
        for _ in range(2):
            assert {"8 Oct 2026", "Oct 8, 2026", "2026-10-08", "00:05", "12:05 am", "8.1", "8,1"} <= set(d.texts())
            await d.tap("decimal-,")
            await d.tap("dates-iso")
        assert habits() == Habits(decimal=",", dates="iso"), "drawing the samples leaves the choice alone"
    play(walk)


def test_the_choice_is_there_at_the_next_start(bag):
    """What was chosen is kept with the records of this device, and another page is drawn by it."""
    async def walk():
        d = await bag.open("/shown")
        for tap in ("measures-imperial", "clock-12", "hand-left", "light-night"):
            await d.tap(tap)
    play(walk)
    assert kept_habits(bag.book.log_book) == Habits("imperial", clock="12", hand="left", light="night")
    assert [version.kind for version in bag.book.log_book.versions()] == [], "it is no record"

    async def again():
        d = await bag.open("/shown")
        assert d.title() == "17.9 lb (15.4–21.2), 8 Oct 2026"
        assert d.page.theme_mode.value == "dark"
    play(again)


def test_the_light_is_worn_at_once(bag):
    """The page wears the chosen light at once."""
    async def walk():
        d = await bag.open("/shown")
        await d.tap("light-sun")
        assert d.page.theme.color_scheme.surface == SUN.ground
        await d.tap("light-night")
        assert d.page.dark_theme.color_scheme.surface == NIGHT.ground
        assert d.page.theme_mode.value == "dark"
        d.check_alive()
    play(walk)


def test_the_page_learns_the_light_for_its_next_opening(bag):
    """What is chosen is kept where the page reads it by itself; so is what was chosen by command, once it opens."""
    kept = {}
    replies = {"get": lambda call: kept.get(call["key"], ""),
               "set": lambda call: kept.update({call["key"]: call["value"]}) or True}

    async def walk():
        d = await bag.open("/shown", replies=replies)
        await d.settle(100)
        assert kept == {}
        await d.tap("light-night")
        await d.settle(100)
        assert kept == {"field-app.light": "night"}
        for light in ("sun", "device"):
            keep_habits(bag.book.log_book, habits_from({"light": light}))
            d = await bag.open("/shown", replies=replies)
            await d.settle(100)
            assert kept == {"field-app.light": light}
        d.check_alive()
    play(walk)


def views(d):
    """The words of every open view, the lowest first."""
    shown = [control for control in d.controls() if isinstance(control, ft.View)]
    return [[apart(word.value) for word in inside(view) if isinstance(word, ft.Text)] for view in shown]


def test_every_open_view_speaks_the_language_that_was_chosen(bag):
    """After a tap for German the screen itself and the one below it are German, what they keep as well."""
    three(bag)

    async def walk():
        d = await bag.open("/shown")
        below, here = views(d)
        assert {"Log a windfall", "Trees"} <= set(below)
        assert "Language" in here
        await d.tap("language-de")
        d.check_alive()
        below, here = views(d)
        assert d.routes() == ["/", "/shown"]
        assert not {"Log a windfall", "Today", "Trees"} & set(below)
        assert "Bäume" in below
        assert "Sprache" in here
        assert "Language" not in here
        await d.back()
        assert d.routes() == ["/"]
        assert "Bäume" in d.texts()
        d.check_alive()
    play(walk)


def test_what_a_screen_keeps_is_worked_out_anew(bag):
    """A screen under the choices that keeps what it worked out in pounds shows kilograms once they are chosen."""
    kept = []

    @screen
    def Below():
        kept.append(ft.use_memo(lambda: show_range(Range(7.0, 8.1, 9.6, "kg")), []))
        return ft.View(route="/", controls=[ft.Text(kept[-1])])

    async def walk():
        state = AppState(bag.book)
        d = await Driver.show(lambda: SERVICES(Services(book=bag.book), lambda: STATE(state, Below)))
        assert d.texts() == ["8.1 kg (7.0–9.6)"]
        state.used_to(measures="us")
        await d.settle()
        assert d.texts() == ["17.9 lb (15.4–21.2)"]
        d.check_alive()
    play(walk)


def test_a_choice_keeps_the_screen_where_it_is(bag):
    """A tap far down does not throw one back to the top: the view and what scrolls in it are the same."""
    async def walk():
        d = await bag.open("/shown")
        before = d.top()._i
        await d.tap("language-de")
        assert d.top()._i == before
    play(walk)


def test_a_choice_that_can_not_be_kept_is_not_taken(bag):
    """Where the records may not be written the screen says so, and goes on as before."""
    async def walk():
        d = await bag.open("/shown")
        with bag.book.log_book.reading() as connection:
            connection.execute("pragma query_only = 1")
        await d.tap("measures-us")
        assert "may not be written" in d.snack()
        assert d.title() == "8.1 kg (7.0–9.6), 8 Oct 2026"
        assert habits() == kept_habits(bag.book.log_book) == PLAIN
        d.check_alive()
    play(walk)


def test_a_choice_of_a_newer_program_is_left_out(bag):
    """A value that this program does not know is as if nobody had chosen; the others hold."""
    with bag.book.log_book.writing() as connection:
        connection.execute("insert into own values ('habits', ?)",
                           ('{"measures": "us", "dates": "by the moon", "scent": "walnut"}',))
    assert kept_habits(bag.book.log_book) == Habits("us")
    with bag.book.log_book.writing() as connection:
        connection.execute("update own set value = '][' where key = 'habits'")
    assert kept_habits(bag.book.log_book) == PLAIN
    keep_habits(bag.book.log_book, Habits(decimal=","))
    assert kept_habits(bag.book.log_book) == Habits(decimal=",")


def test_every_sign_of_ours_is_in_the_font(bag):
    """No word of this screen would show as a box."""
    async def walk():
        d = await bag.open("/shown")
        assert undrawn(d.text()) == ""
    play(walk)
