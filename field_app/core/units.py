"""Units and amounts: reads what people type, keeps it as typed, gives SI values, shows results.

This is the door; the rooms are measures.py (the units and an amount), reading.py and showing.py.
"""

from field_app.core.measures import (
    SI_UNITS,
    UNITS,
    Kind,
    Measure,
    System,
    Unit,
    factor_si,
    offered,
    to_si,
    to_unit,
)
from field_app.core.reading import read_measure, read_number
from field_app.core.showing import show_measure, show_number, show_range, show_si

__all__ = [
    "SI_UNITS",
    "UNITS",
    "Kind",
    "Measure",
    "System",
    "Unit",
    "factor_si",
    "offered",
    "read_measure",
    "read_number",
    "show_measure",
    "show_number",
    "show_range",
    "show_si",
    "to_si",
    "to_unit",
]
