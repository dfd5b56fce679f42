"""Positions: reads what people type or paste, keeps it as a value, measures between two, shows it.

This is the door; the rooms are geodesy.py (the values and what is measured) and position_text.py.
"""

from field_app.core.geodesy import (
    Fix,
    Meaning,
    Position,
    Source,
    bearing_deg,
    coarse,
    coarse_uncertainty_m,
    compass_word,
    distance_m,
    from_here,
    line,
)
from field_app.core.position_text import read_position, show_distance, show_position

__all__ = [
    "Fix",
    "Meaning",
    "Position",
    "Source",
    "bearing_deg",
    "coarse",
    "coarse_uncertainty_m",
    "compass_word",
    "distance_m",
    "from_here",
    "line",
    "read_position",
    "show_distance",
    "show_position",
]
