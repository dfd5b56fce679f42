"""Units and amounts: reads what people type, keeps it as typed, gives SI values, shows results.

This is the door; the rooms are measures.py (the units and an amount), reading.py, showing.py and
shown_units.py (what a unit of the core is to this person).
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
from field_app.core.reading import read_measure, read_number, whose_gallons
from field_app.core.showing import (
    show_between,
    show_ends,
    show_measure,
    show_number,
    show_per,
    show_range,
    show_round,
    show_si,
    show_told,
    show_value,
)
from field_app.core.shown_units import label_of, offered_first

__all__ = [
    "SI_UNITS",
    "UNITS",
    "Kind",
    "Measure",
    "System",
    "Unit",
    "factor_si",
    "label_of",
    "offered",
    "offered_first",
    "read_measure",
    "read_number",
    "show_between",
    "show_ends",
    "show_measure",
    "show_number",
    "show_per",
    "show_range",
    "show_round",
    "show_si",
    "show_told",
    "show_value",
    "to_si",
    "to_unit",
    "whose_gallons",
]
