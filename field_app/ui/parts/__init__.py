"""The parts every screen is made of. Use these, so that all screens look and behave alike."""

from field_app.ui.parts.buttons import (
    chips,
    drop_button,
    going,
    icon_button,
    main_button,
    outline_button,
    quiet_button,
)
from field_app.ui.parts.cards import Edge, Notice, busy_card, card, figure_row, notice, problem_text
from field_app.ui.parts.curves import belief_picture
from field_app.ui.parts.fields import BACK, DECIMAL, field, keypad, pressed, with_own_sign
from field_app.ui.parts.folds import Fold, fold, fold_card
from field_app.ui.parts.look_back import count_picture, spots_picture, year_bars
from field_app.ui.parts.pictures import large_picture, picture_button, picture_row, small_picture
from field_app.ui.parts.ranges import range_bar, range_card, range_row, range_words, share_row
from field_app.ui.parts.season import Mark, Span, Strip, curve_picture, season_line, season_strip
from field_app.ui.parts.shell import PLACES, Place, page_view
from field_app.ui.parts.text import body, figure, heading, lead, scale_probe, second, small, title
from field_app.ui.parts.thumb import at_thumb, fields_at_thumb, with_way

__all__ = [
    "BACK",
    "DECIMAL",
    "PLACES",
    "Edge",
    "Fold",
    "Mark",
    "Notice",
    "Place",
    "Span",
    "Strip",
    "at_thumb",
    "belief_picture",
    "body",
    "busy_card",
    "card",
    "chips",
    "count_picture",
    "curve_picture",
    "drop_button",
    "field",
    "fields_at_thumb",
    "figure",
    "figure_row",
    "fold",
    "fold_card",
    "going",
    "heading",
    "icon_button",
    "keypad",
    "large_picture",
    "lead",
    "main_button",
    "notice",
    "outline_button",
    "page_view",
    "picture_button",
    "picture_row",
    "pressed",
    "problem_text",
    "quiet_button",
    "range_bar",
    "range_card",
    "range_row",
    "range_words",
    "scale_probe",
    "season_line",
    "season_strip",
    "second",
    "share_row",
    "small",
    "small_picture",
    "spots_picture",
    "title",
    "with_own_sign",
    "with_way",
    "year_bars",
]
