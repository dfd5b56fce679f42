"""The look keeps its promises: contrast, sizes and targets, computed from the theme itself."""

import dataclasses
import math

import flet as ft
import pytest

from field_app.ui import theme
from field_app.ui.theme import DAY, NIGHT, SUN, Colours, button_padding, colours_of, contrast, theme_of

SCHEMES = pytest.mark.parametrize("colours", [DAY, NIGHT, SUN], ids=["day", "night", "sun"])
GROUNDS = ("ground", "paper", "sand", "leaf_wash", "amber_wash", "madder_wash", "sky_wash")


def test_contrast_agrees_with_the_two_ends_of_the_standard():
    """Black on white is 21:1, and a colour on itself 1:1 (WCAG 2.2, contrast ratio)."""
    assert math.isclose(contrast("#000000", "#FFFFFF"), 21.0)
    assert contrast("#4A5D23", "#4A5D23") == 1.0


def test_contrast_agrees_with_a_mid_grey():
    """#767676 is the lightest grey that reaches 4.5:1 on white, and #777777 does not (WCAG 2.2 worked example)."""
    assert contrast("#767676", "#FFFFFF") >= 4.5 > contrast("#777777", "#FFFFFF")


@SCHEMES
@pytest.mark.parametrize("ground", GROUNDS)
def test_main_text_is_seven_to_one_on_everything_it_stands_on(colours: Colours, ground: str):
    """Text that matters has a contrast of 7:1 at least on every ground of every scheme."""
    assert contrast(colours.hull, getattr(colours, ground)) >= 7


@SCHEMES
@pytest.mark.parametrize("ink", ["bark", "leaf", "madder", "sky"])
@pytest.mark.parametrize("ground", ["ground", "paper"])
def test_second_text_and_coloured_words_are_readable(colours: Colours, ink: str, ground: str):
    """Second text and words in a colour have 4.5:1 at least on the ground and on cards."""
    assert contrast(getattr(colours, ink), getattr(colours, ground)) >= 4.5


@SCHEMES
def test_words_on_the_main_action_are_seven_to_one(colours: Colours):
    """The main action can be read in sun and rain."""
    assert contrast(colours.on_action, colours.action) >= 7


@SCHEMES
@pytest.mark.parametrize("ground", ["ground", "paper"])
def test_the_edge_of_a_chip_or_field_can_be_seen(colours: Colours, ground: str):
    """What can be tapped has an edge of 3:1 (WCAG 2.2, non-text contrast)."""
    assert contrast(colours.edge, getattr(colours, ground)) >= 3


@SCHEMES
def test_icons_of_notices_can_be_seen(colours: Colours):
    """The icon of a notice has 3:1 on the notice's own ground."""
    for ink, ground in (("madder", "madder_wash"), ("sky", "sky_wash"), ("leaf", "leaf_wash")):
        assert contrast(getattr(colours, ink), getattr(colours, ground)) >= 3


def test_full_sun_is_black_on_white_with_hull_and_madder_only():
    """Full sun uses no colour but hull and madder, and marks a choice by frame and tick."""
    inks = {SUN.hull, SUN.bark, SUN.action, SUN.leaf, SUN.amber, SUN.sky, SUN.line, SUN.edge}
    assert inks == {"#000000", "#2B1D14"}
    assert {SUN.ground, SUN.paper, SUN.leaf_wash, SUN.amber_wash, SUN.madder_wash, SUN.sky_wash} == {"#FFFFFF"}


@SCHEMES
def test_every_role_finds_its_colour_in_the_scheme_of_the_client(colours: Colours):
    """Each role that controls ask for is the slot that the theme fills with the colour of that name."""
    scheme = theme_of(colours).color_scheme
    slots = {field.name.replace("_", ""): getattr(scheme, field.name) for field in dataclasses.fields(scheme)}
    roles = {"GROUND": "ground", "PAPER": "paper", "HULL": "hull", "BARK": "bark", "SAND": "sand", "KEY": "sand",
             "LINE": "line", "EDGE": "edge", "ACTION": "action", "ON_ACTION": "on_action", "LEAF": "leaf",
             "LEAF_WASH": "leaf_wash", "SKY": "sky", "SKY_WASH": "sky_wash", "MADDER": "madder",
             "MADDER_WASH": "madder_wash", "AMBER": "amber", "AMBER_WASH": "amber_wash"}
    for role, name in roles.items():
        assert slots[getattr(theme, role).value] == getattr(colours, name), role


@pytest.mark.parametrize(("target", "size"), [(48, 16), (52, 22), (60, 20)])
def test_padding_makes_a_button_as_high_as_its_target(target: int, size: int):
    """A button of one line is exactly as high as its target, and nothing keeps it from growing."""
    padding = button_padding(target, size)
    assert padding.top + padding.bottom + size * theme.LINE_HEIGHT == target


def test_a_button_with_large_text_needs_no_padding_to_reach_its_target():
    """Text that is higher than the target gets no negative padding."""
    assert button_padding(48, 60).top == 0


@pytest.mark.parametrize(("light", "dark_device", "expected"), [
    ("device", False, DAY), ("device", True, NIGHT), ("day", True, DAY), ("night", False, NIGHT), ("sun", True, SUN)])
def test_the_light_a_person_chose_holds(light, dark_device, expected):
    """Only "as the device" follows the device."""
    assert colours_of(light, dark_device=dark_device) is expected


@pytest.mark.parametrize(("light", "mode", "ground"), [
    ("device", ft.ThemeMode.SYSTEM, DAY.ground), ("day", ft.ThemeMode.LIGHT, DAY.ground),
    ("night", ft.ThemeMode.DARK, DAY.ground), ("sun", ft.ThemeMode.LIGHT, SUN.ground)])
def test_the_page_wears_the_chosen_light(light, mode, ground):
    """The page gets the scheme of the light, and night stays at hand for a dark device."""
    class Page:
        theme = dark_theme = theme_mode = None
    page = Page()
    theme.wear(page, light)
    assert (page.theme_mode, page.theme.color_scheme.surface) == (mode, ground)
    assert page.dark_theme.color_scheme.surface == NIGHT.ground
