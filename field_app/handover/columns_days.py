"""The columns of dye days in our files: the day, its liquors, what goes into them, and its baths.

These tables are there only if a dye day is handed over with its lots; the law of columns.py holds for them too.
"""

from __future__ import annotations

from field_app.core.plans import MORDANTS, SHADES
from field_app.handover.columns import URN, Column, Table, estimate_columns

__all__ = ["BATHS", "DAYS", "DAY_TABLES", "INTO_POTS", "LIQUORS"]

_DAY = Column("dyeDayID", "string", "Id of the dye day, the same in every file.", required=True, pattern=URN)
_NUMBER = Column("number", "integer", "Number of the row [1].", "1", required=True, minimum=1)
_MATERIAL = Column("material", "string", "Dye material, by its key.", required=True, keys_of="material")

DAYS = Table("dye-days", "Dye days as they are planned", (
    _DAY,
    Column("day", "date", "The day on which the cloth is dyed.", required=True),
    Column("name", "string", "What whoever planned it calls it.", option="notes"),
    Column("state", "string", "Whether it is planned still, or done.", required=True, enum=("planned", "done")),
    Column("fire", "string", "When the fire is lit: local time of day.", required=True,
           pattern="([01][0-9]|2[0-3]):[0-5][0-9]"),
    Column("ends", "string", "When the last rinse ends: local date and time; empty without cloth.",
           pattern="[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-2][0-9]:[0-5][0-9]"),
    Column("soak_h", "number", "How long the stuff soaks before the fire [h].", "h", minimum=0),
    Column("boil_h", "number", "How long it is kept at a simmer each time [h].", "h", minimum=0),
    Column("strainings", "integer", "How often it is boiled and strained [1].", "1", minimum=1),
    Column("cautions", "string", "Cautions of the day, parted by \" | \"."),
    Column("problems", "string", "What has to be settled before the day, parted by \" | \"."),
    Column("note", "string", "Note of whoever planned it.", option="notes"),
), key="dyeDayID")

INTO_POTS = Table("dye-lots", "What of which lot goes into the pots", (
    _NUMBER, _DAY,
    Column("materialEntityID", "string", "Id of the lot; a row of lots.csv.", required=True, pattern=URN),
    *estimate_columns("amount_kg", "How much of it goes in, by mass; empty once it is liquor"),
    *estimate_columns("amount_L", "How much of it goes in, as liquor; empty before", unit="L"),
), key="number", points_at=("materialEntityID", "lots"))

LIQUORS = Table("dye-liquors", "The liquor of each material", (
    _NUMBER, _DAY, _MATERIAL,
    *estimate_columns("water_L", "Water to put in at first; empty if nothing is boiled", unit="L"),
    *estimate_columns("liquor_L", "Liquor in all", unit="L", required=True),
    *estimate_columns("extract_kg", "Extract in it", required=True),
    Column("pots_filled", "integer", "How often the pots are filled [1]; empty without pots.", "1", minimum=1),
    Column("kept_L", "number", "What of the liquor no bath takes [L].", "L", minimum=0),
), key="number", points_at=("dyeDayID", "dye-days"))

BATHS = Table("dye-baths", "The baths in their order", (
    _NUMBER, _DAY, _MATERIAL,
    Column("place", "integer", "Place in the order of its liquor, from 1.", "1", required=True, minimum=1),
    Column("cloth", "string", "The cloth, as it was typed.", required=True),
    *estimate_columns("cloth_kg", "Mass of the cloth, air-dry and scoured", required=True),
    Column("shade_wanted", "string", "The shade that is wanted.", required=True, enum=SHADES),
    Column("mordant", "string", "The mordant.", required=True, enum=tuple(MORDANTS)),
    Column("time_h", "number", "How long it stays in the bath [h].", "h", required=True, minimum=0),
    Column("liquor_L", "number", "Liquor for this bath [L]; 0 where it goes into the bath before it.", "L", minimum=0),
    Column("water_L", "number", "Water that fills it up [L].", "L", minimum=0),
    *estimate_columns("uptake_g_per_kg", "Dye taken up", unit="g/kg"),
    Column("shade_low", "string", "The shade at the low end.", required=True, enum=SHADES),
    Column("shade", "string", "The shade at the central values.", required=True, enum=SHADES),
    Column("shade_high", "string", "The shade at the high end.", required=True, enum=SHADES),
    Column("helpers", "string", "Helpers with their amounts, parted by \" | \"; the label has the last word."),
    *estimate_columns("rinse_L", "Rinsing water in all", unit="L"),
), key="number", points_at=("dyeDayID", "dye-days"))

#: In the order in which they stand in a file.
DAY_TABLES = (DAYS, INTO_POTS, LIQUORS, BATHS)
