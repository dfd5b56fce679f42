"""Everything that is read or looked at stands out from what it lies on, in all three lights, computed from the theme.

The ratios are those of the World Wide Web Consortium, "Web Content Accessibility Guidelines (WCAG) 2.2",
recommendation of 5 October 2023: 1.4.3 (text 4.5, large text 3), 1.4.6 (text that matters 7), 1.4.11 (what is not
text 3).  The formula is written down here a second time, from "relative luminance" and "contrast ratio" of its
glossary, so that a slip in the theme's own is found.
"""

import ast
import dataclasses
import re
from pathlib import Path

import pytest

from field_app.ui import theme
from field_app.ui.theme import DAY, NIGHT, SUN, Colours

SCHEMES = {"day": DAY, "night": NIGHT, "sun": SUN}
UI = Path(theme.__file__).parent
#: What lies under words and drawings.
PLAIN, WASHES = ("ground", "paper"), ("leaf_wash", "amber_wash", "madder_wash", "sky_wash")
#: Inks of pictures, by how they are called in the theme; a card's own hairline says nothing and is none of them.
PICTURE_INKS = {"HULL", "BARK", "LEAF", "SKY", "MADDER", "AXIS", "EDGE"}


def luminance(colour: str) -> float:
    """Relative luminance [1], as the glossary gives it."""
    parts = []
    for eight_bits in bytes.fromhex(colour.removeprefix("#")):
        share = eight_bits / 255
        parts.append(share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4)
    red, green, blue = parts
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def ratio(ink: str, ground: str) -> float:
    """Contrast ratio [1], 1 to 21."""
    light, dark = max(luminance(ink), luminance(ground)), min(luminance(ink), luminance(ground))
    return (light + 0.05) / (dark + 0.05)


def laid_over(ink: str, ground: str, share: float) -> str:
    """The colour of an ink that lets the ground through; share: of the ink [1]."""
    mixed = (round(share * a + (1 - share) * b) for a, b in zip(
        bytes.fromhex(ink[1:]), bytes.fromhex(ground[1:]), strict=True))
    return "#" + bytes(mixed).hex()


def pairs(inks, grounds):
    """Every scheme with every ink on every ground, as cases of a test."""
    return pytest.mark.parametrize(("colours", "ink", "ground"), [
        pytest.param(colours, ink, ground, id=f"{light}-{ink}-on-{ground}")
        for light, colours in SCHEMES.items() for ink in inks for ground in grounds])


def of(colours: Colours, ink: str, ground: str) -> float:
    """The ratio of two colours of a scheme, by their names."""
    return ratio(getattr(colours, ink), getattr(colours, ground))


def test_the_formula_gives_what_is_published():
    """Black on white is 21; #767676 is the published first grey that is enough on white, #777777 is not."""
    assert ratio("#000000", "#FFFFFF") == pytest.approx(21)
    assert ratio("#767676", "#FFFFFF") >= 4.5 > ratio("#777777", "#FFFFFF")
    assert ratio("#FF0000", "#FFFFFF") == pytest.approx(3.998, abs=0.001)  # 1.05 / (0.2126 + 0.05)


def test_the_theme_reckons_alike():
    """The theme's own reckoning agrees with the one here, for every two colours of every light."""
    for colours in SCHEMES.values():
        values = dataclasses.astuple(colours)
        for ink in values:
            for ground in values:
                assert theme.contrast(ink, ground) == pytest.approx(ratio(ink, ground))


@pairs(["hull"], [*PLAIN, *WASHES, "sand"])
def test_what_matters_is_seven_to_one(colours, ink, ground):
    """Titles, figures and text that matters have 7:1 on everything they stand on."""
    assert of(colours, ink, ground) >= 7


@pairs(["on_action"], ["action"])
def test_the_main_action_is_seven_to_one(colours, ink, ground):
    """The words on the main action have 7:1."""
    assert of(colours, ink, ground) >= 7


@pairs(["bark", "sky", "madder", "leaf"], [*PLAIN, *WASHES, "sand"])
def test_every_other_word_is_four_and_a_half_to_one(colours, ink, ground):
    """Second text, ways on, and words in a colour have 4.5:1 on the screen, on cards, notices and chosen things."""
    assert of(colours, ink, ground) >= 4.5


@pairs(["paper"], ["leaf", "hull"])
def test_words_on_a_dark_spot_can_be_read(colours, ink, ground):
    """The number in a stop of the sketch and the short message at the foot have 4.5:1."""
    assert of(colours, ink, ground) >= 4.5


@pairs(["edge", "hull"], [*PLAIN, "sand"])
def test_what_can_be_tapped_has_an_edge(colours, ink, ground):
    """The edge of fields, chips and buttons has 3:1."""
    assert of(colours, ink, ground) >= 3


@pytest.mark.parametrize("light", SCHEMES)
@pytest.mark.parametrize("kind", ["leaf", "amber", "madder", "sky"])
def test_the_side_of_a_card_and_the_frame_of_a_notice_can_be_seen(light, kind):
    """A coloured side and a frame have 3:1 on the screen, on the card, and on the notice."""
    colours = SCHEMES[light]
    for ground in (*PLAIN, f"{kind}_wash"):
        assert of(colours, kind, ground) >= 3, ground


@pairs(["hull", "bark", "leaf", "sky", "madder", "edge"], PLAIN)
def test_lines_dots_and_rings_of_pictures_can_be_seen(colours, ink, ground):
    """Axes, dashed days, dots, rings and arrows have 3:1 on the card or the sheet they are drawn on."""
    assert of(colours, ink, ground) >= 3


@pytest.mark.parametrize("light", SCHEMES)
@pytest.mark.parametrize("ground", PLAIN)
def test_the_band_of_a_range_can_be_seen_and_its_tick_on_it(light, ground):
    """The band lets the ground through and still has 3:1 to it, and the tick has 3:1 to the band."""
    colours = SCHEMES[light]
    band = laid_over(colours.bark, getattr(colours, ground), theme.BAND)
    assert ratio(band, getattr(colours, ground)) >= 3
    assert ratio(colours.hull, band) >= 3


@pairs(["bark", "hull"], ["sand"])
def test_how_far_a_bar_is_filled_can_be_seen(colours, ink, ground):
    """What is filled of a bar has 3:1 to what is not."""
    assert {theme.TRACK} == {theme.SAND}
    assert of(colours, ink, ground) >= 3


@pairs(["hull", "madder"], ["sand"])
def test_a_dot_is_seen_on_the_field_of_its_range(colours, ink, ground):
    """Dots and rings over the sand between low and high have 3:1."""
    assert of(colours, ink, ground) >= 3


def _drawn_with() -> dict[str, set[str]]:
    """The roles that shapes and lines of pictures ask for, by file."""
    found: dict[str, set[str]] = {}
    for path in UI.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("paint", "_stroke"):
                source = ast.unparse(node)
                roles = set(re.findall(r"theme\.([A-Z]+(?:_WASH)?)\b", source)) - {"BAND"}
                # A line can be told from what it lies on; a filled shape may be a quiet field under others.
                if "width=" in source or node.func.id == "_stroke":
                    found.setdefault(path.name, set()).update(roles)
    return found


def test_no_line_of_a_picture_has_another_ink():
    """Lines of pictures are drawn with the inks checked here, and with paper where it parts two dark things."""
    drawn = _drawn_with()
    assert {"season.py", "look_back.py", "sketch_map.py", "find_dial.py"} <= drawn.keys()
    for name, roles in drawn.items():
        assert roles <= PICTURE_INKS | {"PAPER"}, name


def test_no_screen_names_a_colour_of_its_own():
    """Colours of the look are named in the theme alone, so that what is checked here is what is shown."""
    for path in UI.rglob("*.py"):
        if path.name == "theme.py":
            continue
        source = path.read_text("utf-8")
        assert not re.search(r"""color=["']""", source), path.name
        for name in re.findall(r"ft\.Colors\.(\w+)", source):
            assert name in {"with_opacity", "TRANSPARENT", "ON_INVERSE_SURFACE"}, f"{path.name}: {name}"
