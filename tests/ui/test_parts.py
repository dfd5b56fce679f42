"""The parts every screen is made of: targets, ranges, problems beside fields, the keypad, the frame."""

import flet as ft
import pytest

from field_app.core.estimate import Range, exact
from field_app.core.habits import used_to
from field_app.core.problems import Problem
from field_app.ui import parts, theme
from field_app.ui.guard import screen
from field_app.ui.parts.ranges import shares
from field_app.ui.parts.unbroken import apart
from tests.ui.driver import Driver, walk
from tests.ui.fieldwork import play

HULL = Range(7.0, 8.1, 9.6, "kg")


def nothing():
    """A handler for what is not tapped."""


def words(control) -> list[str]:
    return [apart(c.value) for c in walk(control) if isinstance(c, ft.Text)]


def height_of(button) -> float:
    """Height of a button of one line [logical px], from its padding and its text."""
    if button.height is not None:
        return button.height
    (face,) = [c for c in walk(button.content) if isinstance(c, (ft.Text, ft.Icon)) and c.size >= 16][:1]
    line = face.size * (face.style.height if isinstance(face, ft.Text) else 1)
    return button.style.padding.top + button.style.padding.bottom + line


@pytest.mark.parametrize(("make", "least"), [
    (lambda: parts.main_button("Save", nothing, "b"), 60),
    (lambda: parts.outline_button("Next", nothing, "b", main=True), 60),
    (lambda: parts.outline_button("Next", nothing, "b"), 48),
    (lambda: parts.quiet_button("More", nothing, "b"), 48),
    (lambda: parts.drop_button("kg", nothing, "b", opened=False), 48),
    (lambda: parts.icon_button(ft.Icons.ARROW_BACK, "back", nothing, "b"), 48),
    (lambda: parts.chips([("a", "firm green")], None, nothing, "b").controls[0], 48),
    (lambda: parts.chips([("a", "firm green")], "a", nothing, "b").controls[0], 48),
    (lambda: parts.keypad(nothing).controls[0].controls[0], 52),
    (lambda: parts.keypad(nothing).controls[0].controls[3], 52),
])
def test_what_is_tapped_is_high_enough(make, least):
    """Buttons and chips are 48 px high at least, keys 52, the main action 60."""
    assert height_of(make()) >= least


def test_no_button_of_text_has_a_fixed_height():
    """At double text size a button grows; a fixed height would cut its words off."""
    for button in (parts.main_button("Save", nothing, "b"), parts.outline_button("Next", nothing, "b"),
                   parts.quiet_button("More", nothing, "b"), *parts.chips([("a", "x")], "a", nothing, "b").controls):
        assert button.height is None


def test_words_in_a_card_keep_off_a_frame_above_them_as_below_them():
    """Between words and what can be tapped there is as much room on either side."""
    above, pick, below = parts.body("Dates"), parts.chips([("a", "x")], "a", nothing, "b"), parts.body("as typed")
    parts.card([above, pick, below])
    assert (above.margin, pick.margin.top, below.margin.top) == (None, 8, 8)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_words_to_tap_without_a_frame_end_where_the_lines_around_them_end(hand):
    """They have no room at the side of the card, where a frame would have it."""
    with used_to(hand=hand):
        way = parts.quiet_button("Put back", nothing, "b")
        parts.with_way(parts.body("12 kg"), way)
    sides = (way.style.padding.left, way.style.padding.right)
    assert sides == ((14, 0) if hand == "right" else (0, 14))
    assert height_of(way) >= 48
    alone = parts.quiet_button("See and change", nothing, "b", first=True)
    assert alone.style.padding.left == 0
    assert height_of(alone) >= 48


@pytest.mark.parametrize("light", ["day", "night", "sun"])
def test_words_to_tap_are_told_from_bold_words_by_colour_or_by_a_line(light):
    """In full sun their colour is that of other words, so a line stands below them."""
    with used_to(light=light):
        told = parts.quiet_button("Put back", nothing, "b").content
    colours = theme.colours_of(light)
    lined = told.style.decoration is ft.TextDecoration.UNDERLINE
    assert lined == (light == "sun")
    assert lined or theme.contrast(colours.sky, colours.hull) >= 1.3


def test_a_place_of_the_bottom_bar_is_high_enough():
    """Icon, word and padding of a place come to 60 px and more."""
    view = parts.page_view("/", "k", "t", [], place="today")
    (place,) = [c for c in walk(view) if c.key == "place-lots"]
    icon, word = place.content.controls
    padding = place.style.padding
    assert padding.top + padding.bottom + icon.size + 2 + word.size * 1.2 >= theme.TARGET


def test_the_chosen_chip_is_told_by_more_than_colour():
    """It has a tick with a word for a screen reader, bold words and a thicker frame."""
    one, other = parts.chips([("a", "yellowing"), ("b", "black")], "b", nothing, "ripe").controls
    assert (one.icon, one.content.weight, one.style.side.width) == (None, None, 1)
    assert other.icon.semantics_label == "chosen"
    assert other.content.weight is ft.FontWeight.BOLD
    assert other.style.side.width > one.style.side.width


@pytest.mark.parametrize("late", [False, True], ids=["at once", "later"])
def test_a_chip_gives_its_value_when_it_is_tapped(late):
    """The handler gets the value, whether it works at once or later."""
    got = []

    async def later(value):
        got.append(value)

    @screen
    def Screen():
        return parts.page_view("/", "k", "t", [
            parts.chips([("a", "A"), ("b", "B")], "a", later if late else got.append, "c")], place="today")

    async def tapping():
        d = await Driver.show(Screen)
        await d.tap("c-b")
        d.check_alive()
    play(tapping)
    assert got == ["b"]


def test_a_range_is_drawn_from_low_to_high_with_a_tick_at_central():
    """Low, central and high stand in proportion on the line from zero to its end."""
    assert shares(HULL, 20.0) == (350, 405, 480)


def test_a_range_beyond_the_line_ends_at_its_end():
    """Nothing is drawn outside the line, and a line of no length draws nothing."""
    assert shares(HULL, 8.0) == (875, 1000, 1000)
    assert shares(exact(0, "kg"), 0) == (0, 0, 0)


def test_the_bar_fills_its_whole_line_whatever_the_range():
    """Before, band and after add up to the line, for a wide, a narrow and an exact range."""
    for quantity in (HULL, exact(5.0, "kg"), Range(0.0, 0.0, 3.0, "kg"), Range(9.99, 10, 10, "kg")):
        bar = parts.range_bar(quantity, 10.0)
        _, spread, tick = bar.content.controls
        assert sum(c.expand for c in spread.content.controls) == 1000
        assert sum(c.expand or 0 for c in tick.content.controls) == 1000


def test_a_screen_reader_hears_a_bar_as_its_words():
    """The picture is one node whose label names the quantity and says the range."""
    bar = parts.range_bar(HULL, 20.0, "hull in it", decimal=",")
    assert (bar.label, bar.exclude_semantics) == ("hull in it: 8,1 kg (7,0–9,6)", True)


def test_a_figure_never_stands_alone():
    """The card of a range shows the central figure with its spread and of what."""
    assert words(parts.range_card("dyes, at medium", HULL, of="of wool")) == [
        "dyes, at medium", "8.1 kg", "of wool (7.0–9.6)"]


def test_an_exact_figure_has_no_empty_brackets():
    """Without spread there is nothing to put in brackets."""
    assert words(parts.range_card("nuts", exact(2.0, "kg"), of="of nuts")) == ["nuts", "2 kg", "of nuts"]


@pytest.mark.parametrize(("what", "said"), [
    ("is empty", "This is empty. Do it."), ("'x' is not a number", "'x' is not a number. Do it."),
    ("how much it was is not given", "How much it was is not given. Do it.")])
def test_a_problem_beside_its_field_is_a_sentence(what, said):
    """It says what is wrong and what to do, without the inner name of the field."""
    assert [w for c in parts.problem_text([Problem("name", what, "Do it.")]) for w in words(c)] == [said]


def test_a_problem_is_told_at_once_to_a_screen_reader():
    """It is a live region, and its icon has a word."""
    (control,) = parts.problem_text([Problem("gross", "is empty", "Type it.")])
    assert control.live_region
    assert [c.semantics_label for c in walk(control) if isinstance(c, ft.Icon)] == ["to mend"]


def test_a_field_keeps_its_words_and_shows_its_problem():
    """What was typed stays in the field, and what is wrong stands below it."""
    control = parts.field("Empty pail", "20", nothing, "tare", [Problem("tare", "20 kg is too much", "Swap them.")])
    box = control.controls[0]
    assert (box.value, box.label) == ("20", "Empty pail")
    assert words(control) == ["20 kg is too much. Swap them."]


@pytest.mark.parametrize(("keys", "decimal", "typed"), [
    (("1", "4", parts.DECIMAL, "2"), ".", "14.2"),
    (("1", "4", parts.DECIMAL, "2"), ",", "14,2"),
    ((parts.DECIMAL, "5"), ".", "0.5"),
    (("1", parts.DECIMAL, parts.DECIMAL, "5"), ".", "1.5"),
    (("7", parts.BACK, parts.BACK, "8"), ".", "8"),
])
def test_the_keypad_writes_a_number(keys, decimal, typed):
    """Digits, one decimal sign of the person's own, and taking back."""
    text = ""
    for key in keys:
        text = parts.pressed(text, key, decimal)
    assert text == typed


def test_the_keypad_leaves_the_other_decimal_sign_alone():
    """A number typed with a comma gets no point as well, on a keypad that shows a point."""
    assert parts.pressed("1,5", parts.DECIMAL, ".") == "1,5"


def test_the_keypad_has_ten_digits_and_two_more_keys():
    """Each digit once, the person's own decimal sign, and one to take back, each with a name."""
    pad = parts.keypad(nothing, decimal=",")
    names = [key.content.semantics_label or key.content.value for row in pad.controls for key in row.controls]
    assert sorted(names) == sorted([*"0123456789", "decimal sign", "take back"])
    assert "," in words(pad)


@pytest.mark.parametrize("kind", ["caution", "refused", "advice", "good"])
def test_a_notice_is_told_by_a_word_not_only_a_colour(kind):
    """Its icon has a word for a screen reader, and its title says what it is about."""
    control = parts.notice(kind, "Ford bend", "Ask again.")
    assert all(c.semantics_label for c in walk(control) if isinstance(c, ft.Icon))
    assert words(control) == ["Ford bend", "Ask again."]


def test_a_closed_fold_says_how_it_stands_and_hides_the_rest():
    """Only its line is drawn; open, its controls are there too."""
    closed = parts.fold("note", "none", opened=False, on_toggle=nothing, key="n", controls=[parts.body("inside")])
    opened = parts.fold("note", "none", opened=True, on_toggle=nothing, key="n", controls=[parts.body("inside")])
    assert words(closed) == ["note", "none"]
    assert words(opened) == ["note", "none", "inside"]


def test_a_fold_with_something_to_mend_says_so_in_words():
    """Its line says that something inside has to be mended."""
    assert words(parts.fold("when", "yesterday", opened=False, on_toggle=nothing, key="n", wrong=True))[-1] == "to mend"


def test_the_root_of_a_place_shows_the_bottom_bar_and_no_way_back():
    """Roots share one route, so that going between them does not slide; the place one is at says so."""
    view = parts.page_view("/trees", "k", "t", [], place="trees")
    assert (view.route, view.can_pop) == ("/", False)
    keys = [c.key for c in walk(view) if c.key]
    assert keys == ["place-today", "place-trees", "place-lots", "place-dye-day"]
    here = [c.key for c in walk(view) if isinstance(c, ft.TextButton)
            and any(isinstance(i, ft.Icon) and i.semantics_label == "you are here" for i in walk(c))]
    assert here == ["place-trees"]


def test_any_other_screen_has_a_way_back_and_no_bar():
    """Its back arrow leads a level up, unless told where."""
    @screen
    def Screen():
        return parts.page_view("/trees/7", "k", "t", [])

    async def going():
        d = await Driver.show(Screen)
        assert d.keys() == ["back"]
        await d.tap("back")
        assert d.calls("push_route")[-1]["route"] == "/trees"
    play(going)


def test_the_title_is_a_heading_for_a_screen_reader():
    """The answer of a screen is its heading of the first level."""
    view = parts.page_view("/", "k", "Three trees", [], place="today")
    (head,) = [c for c in walk(view) if isinstance(c, ft.Semantics) and c.heading_level == 1]
    assert (head.header, words(head)) == (True, ["Three trees"])


def test_the_probe_tells_how_large_the_text_of_the_device_is():
    """A letter of 16 px that is laid out 32 px high means text of double size."""
    got = []

    @screen
    def Screen():
        return parts.page_view("/", "k", "t", [parts.scale_probe(got.append)], place="today")

    async def measuring():
        d = await Driver.show(Screen)
        letter, _ = [c for c in d.controls() if isinstance(c, ft.Text) and c.on_size_change]  # and that of the screen
        await d.fire(letter, "size_change", {"w": 18.0, "h": 32.0})
        d.check_alive()
    play(measuring)
    assert got == [2.0]
