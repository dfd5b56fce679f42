"""The look, in one place: colours, type, space and targets. No other file names a colour or a size.

The colours come from the subject: linen and paper to write on, walnut hull and bark to write with,
leaf for what is ready, amber for what will not wait, madder for what is refused, sky for the person.
Three schemes carry the same names: by day, by night, and in full sun (black on white).

Controls ask for a *role*; the client picks the colour of the scheme in force, so that switching from day
to night needs no second drawing.
"""

from __future__ import annotations

from dataclasses import dataclass

import flet as ft

from field_app.core.habits import Light

__all__ = [
    "ACTION", "AMBER", "AMBER_WASH", "AXIS", "BAND", "BARK", "BODY", "DAY", "EDGE", "FIGURE", "GAP", "GRID", "GROUND",
    "HULL", "KEY", "KEY_TARGET", "LEAD", "LEAF", "LEAF_WASH", "LINE", "LINE_HEIGHT", "MADDER",
    "MADDER_WASH", "MAIN_TARGET", "MARGIN", "NIGHT", "ON_ACTION", "PAPER", "PLACE_TARGET", "RADIUS",
    "SAND", "SECOND", "SKY", "SKY_WASH", "SMALL", "SUN", "TARGET", "TITLE", "TRACK", "Colours", "Light",
    "button_padding", "colours_of", "contrast", "theme_of", "wear",
]


@dataclass(frozen=True, slots=True)
class Colours:
    """One scheme. Each is ``#RRGGBB``; contrast is checked by the tests, not promised here."""

    ground: str
    paper: str
    hull: str
    bark: str
    sand: str
    line: str
    edge: str
    action: str
    on_action: str
    leaf: str
    leaf_wash: str
    amber: str
    amber_wash: str
    madder: str
    madder_wash: str
    sky: str
    sky_wash: str


DAY = Colours(
    ground="#FAF6EE", paper="#FFFFFF", hull="#2B1D14", bark="#5C4433", sand="#E9DFCF", line="#E9DFCF",
    edge="#8C7865", action="#2B1D14", on_action="#FFFFFF", leaf="#4A5D23", leaf_wash="#EAF0DB",
    amber="#B47A1F", amber_wash="#F7E8D2", madder="#9B2D23", madder_wash="#F9E3DF", sky="#1F567A",
    sky_wash="#E1EDF5",
)
NIGHT = Colours(
    ground="#17120E", paper="#241C16", hull="#F5EBDD", bark="#CDB8A4", sand="#43362B", line="#3A2E25",
    edge="#97836F", action="#F5EBDD", on_action="#2B1D14", leaf="#A9C27A", leaf_wash="#2B3319",
    amber="#F0B44C", amber_wash="#40301A", madder="#F08C7E", madder_wash="#47231E", sky="#8FC3E6",
    sky_wash="#1C303E",
)
SUN = Colours(
    ground="#FFFFFF", paper="#FFFFFF", hull="#000000", bark="#2B1D14", sand="#DDD6CE", line="#2B1D14",
    edge="#000000", action="#000000", on_action="#FFFFFF", leaf="#000000", leaf_wash="#FFFFFF",
    amber="#2B1D14", amber_wash="#FFFFFF", madder="#8A1F16", madder_wash="#FFFFFF", sky="#2B1D14",
    sky_wash="#FFFFFF",
)

# Roles: on the left our name, on the right the slot of the client's scheme that carries the colour.
GROUND = ft.Colors.SURFACE
PAPER = ft.Colors.SURFACE_CONTAINER_LOWEST
HULL = ft.Colors.ON_SURFACE
BARK = ft.Colors.ON_SURFACE_VARIANT
SAND = ft.Colors.SURFACE_CONTAINER_HIGHEST
KEY = ft.Colors.SURFACE_CONTAINER_HIGHEST
LINE = ft.Colors.OUTLINE_VARIANT
EDGE = ft.Colors.OUTLINE
ACTION = ft.Colors.PRIMARY
ON_ACTION = ft.Colors.ON_PRIMARY
LEAF = ft.Colors.SECONDARY
LEAF_WASH = ft.Colors.SECONDARY_CONTAINER
SKY = ft.Colors.TERTIARY
SKY_WASH = ft.Colors.TERTIARY_CONTAINER
MADDER = ft.Colors.ERROR
MADDER_WASH = ft.Colors.ERROR_CONTAINER
AMBER = ft.Colors.SECONDARY_FIXED
AMBER_WASH = ft.Colors.SECONDARY_FIXED_DIM
#: The line that a range, a season or a curve is drawn on; a card's own hairline is fainter and says nothing.
AXIS = EDGE
#: What a bar fills as its share grows.
TRACK = SAND

#: How much of bark there is in the band of a range, the rest being what it lies on [1].
BAND = 0.6

# Type [logical px]. Nothing a person reads is smaller than SMALL.
SMALL, SECOND, BODY, LEAD, TITLE, FIGURE = 14, 15, 16, 18, 26, 34

# Space [logical px]: a grid of four, the margin of a screen, the gap between cards, the corner of a card.
GRID, MARGIN, GAP, RADIUS = 4, 20, 12, 14

#: Least height of anything to tap, of a key of the keypad, the main action, and a place [logical px].
TARGET, KEY_TARGET, MAIN_TARGET, PLACE_TARGET = 48, 52, 60, 64

#: Height of a line of text on a button, as a multiple of its size [1].
LINE_HEIGHT = 1.25


def button_padding(target: int, size: int, side: int = 14) -> ft.Padding:
    """Padding [logical px] that makes a button of one line as high as ``target``.

    A fixed height would cut off what a person reads at double text size; padding lets the button grow.
    """
    upright = max(0.0, (target - size * LINE_HEIGHT) / 2)
    return ft.Padding(left=side, right=side, top=upright, bottom=upright)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two ``#RRGGBB`` colours [1], 1 to 21 (WCAG 2.2, relative luminance).

    >>> round(contrast("#000000", "#FFFFFF"), 1)
    21.0
    """
    def luminance(colour: str) -> float:
        channels = [int(colour[at:at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def colours_of(light: Light, *, dark_device: bool = False) -> Colours:
    """The scheme in force for a choice of light, on a device that is set dark or not."""
    if light == "device":
        return NIGHT if dark_device else DAY
    return {"day": DAY, "night": NIGHT, "sun": SUN}[light]


def _type(size: int) -> ft.TextStyle:
    return ft.TextStyle(size=size, letter_spacing=0.1)


def theme_of(colours: Colours) -> ft.Theme:
    """A scheme as the client takes it."""
    scheme = ft.ColorScheme(
        primary=colours.action, on_primary=colours.on_action,
        primary_container=colours.sand, on_primary_container=colours.hull,
        secondary=colours.leaf, on_secondary=colours.paper,
        secondary_container=colours.leaf_wash, on_secondary_container=colours.hull,
        tertiary=colours.sky, on_tertiary=colours.paper,
        tertiary_container=colours.sky_wash, on_tertiary_container=colours.hull,
        error=colours.madder, on_error=colours.paper,
        error_container=colours.madder_wash, on_error_container=colours.hull,
        secondary_fixed=colours.amber, secondary_fixed_dim=colours.amber_wash,
        surface=colours.ground, on_surface=colours.hull, on_surface_variant=colours.bark,
        surface_container_lowest=colours.paper, surface_container_low=colours.paper,
        surface_container=colours.paper, surface_container_high=colours.paper,
        surface_container_highest=colours.sand, surface_dim=colours.ground, surface_bright=colours.paper,
        surface_tint=colours.paper, outline=colours.edge, outline_variant=colours.line,
        inverse_surface=colours.hull, on_inverse_surface=colours.paper, inverse_primary=colours.paper,
    )
    return ft.Theme(
        color_scheme=scheme, scaffold_bgcolor=colours.ground, font_family="Roboto",
        # A desktop browser would otherwise shrink every target below what a finger needs.
        visual_density=ft.VisualDensity.STANDARD,
        text_theme=ft.TextTheme(body_large=_type(BODY), body_medium=_type(BODY), body_small=_type(SMALL),
                                label_large=_type(BODY), label_medium=_type(SMALL), label_small=_type(SMALL)),
    )


def wear(page: ft.Page, light: Light) -> None:
    """Dress the page in the light a person chose."""
    page.theme = theme_of(SUN if light == "sun" else DAY)
    page.dark_theme = theme_of(NIGHT)
    # Fading in from the toolkit's own colours would show them first.
    page.theme_animation_style = ft.AnimationStyle(duration=ft.Duration())
    page.theme_mode = {"device": ft.ThemeMode.SYSTEM, "night": ft.ThemeMode.DARK,
                       "day": ft.ThemeMode.LIGHT, "sun": ft.ThemeMode.LIGHT}[light]
