"""Every column of our files, in one table: writer, schemas, checker and docs read it.

The law of this file:

1. A name in camelCase is a term of Darwin Core (https://dwc.tdwg.org/terms/) and means what it means there;
   any other name is ours.
2. A name that ends in a unit is in that unit; ``unit`` and the description say so again.
3. An estimate is three columns, ``x_low``, ``x`` and ``x_high``: 10 %, the chain at its central values, 90 %.
4. A column that only some files have names the option that brings it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal, get_args

from field_app.core.amounts import MOST_FILL
from field_app.core.life import LotState
from field_app.core.materials import MATERIALS, RIPENESS
from field_app.core.units import offered

__all__ = ["BASES", "DIFFERENCES", "LOTS", "NAMES", "RANGES", "SITES", "TABLES", "URN", "Column", "Table",
           "columns_text", "estimate_columns", "field_of"]

Type = Literal["string", "number", "integer", "datetime", "date"]
TERMS = "http://rs.tdwg.org/dwc/terms/"
BASES = ("weighed", "counted", "poured")
NAME = "ni:///sha-256;[A-Za-z0-9_-]{43}"
URN = "urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    unit: of a number; enum: the values it may have;
    keys_of: the table of the core whose keys it may have; a newer program may know more, so a file may
    declare its own; minimum, maximum: both included;
    pattern: the form of a text (XML Schema regular expression);
    option: the option of the writer that brings the column, or empty if it is always there.
    """

    name: str
    type: Type
    description: str
    unit: str = ""
    required: bool = False
    enum: tuple[str, ...] = ()
    keys_of: Literal["", "material", "part", "ripeness"] = ""
    minimum: float | None = None
    maximum: float | None = None
    pattern: str = ""
    option: str = ""

    @property
    def values(self) -> tuple[str, ...]:
        """The values it may have, or none if any will do."""
        if self.keys_of == "material":
            return tuple(MATERIALS)
        if self.keys_of == "part":
            return tuple(dict.fromkeys(part.key for row in MATERIALS.values() for part in row.parts))
        return tuple(RIPENESS) if self.keys_of == "ripeness" else self.enum

    @property
    def term(self) -> str:
        """The Darwin Core term that the column is, or an empty text."""
        return "" if "_" in self.name or self.name == self.name.lower() else TERMS + self.name


@dataclass(frozen=True, slots=True)
class Table:
    """One CSV file: its columns, its key, and which column points at the key of another table."""

    name: str
    title: str
    columns: tuple[Column, ...]
    key: str
    points_at: tuple[str, str] | None = None

    @property
    def path(self) -> str:
        """The name of its file."""
        return f"{self.name}.csv"

    def having(self, *options: str) -> tuple[Column, ...]:
        """The columns of a file that was written with these options."""
        return tuple(column for column in self.columns if not column.option or column.option in options)


def estimate_columns(name: str, what: str, *, unit: str = "kg", required: bool = False) -> tuple[Column, ...]:
    """The three columns of an estimate: low, central and high."""
    ends = (("_low", "10 % of the cases lie below"), ("", "worked out from the central values"),
            ("_high", "10 % of the cases lie above"))
    return tuple(Column(f"{name}{end}", "number", f"{what} [{unit}]: {words}.", unit, required, minimum=0)
                 for end, words in ends)


def _measure(name: str, what: str, units: tuple[str, ...]) -> tuple[Column, ...]:
    return (Column(name, "number", f"{what}, as it was typed [the unit in {name}_unit].",
                   f"as in {name}_unit", minimum=0),
            Column(f"{name}_unit", "string", f"Unit of {name}.", enum=units))


_PLACE = (
    Column("decimalLatitude", "number", "Latitude, north positive [deg].", "deg", minimum=-90, maximum=90),
    Column("decimalLongitude", "number", "Longitude, east positive [deg].", "deg", minimum=-180, maximum=180),
    Column("geodeticDatum", "string", "What the position is measured against.", enum=("EPSG:4326",)),
    Column("coordinateUncertaintyInMeters", "number",
           "Radius around the position within which the true place lies [m]: what rounding adds, the radius "
           "that the device gave, and the distance of the load from the site. Empty if it is not known.",
           "m", minimum=1),
    Column("dataGeneralizations", "string", "What was made less exact in this row."),
    Column("informationWithheld", "string", "What was left out of this row."),
)

LOTS = Table("lots", "Harvest lots as they stand", (
    Column("materialEntityID", "string", "Id of the lot, the same in every file.", required=True,
           pattern=URN),
    Column("code", "string", "Short code of the lot, as on its label.", required=True,
           pattern="[0-9A-HJKMNP-TV-Z]{4,52}"),
    Column("locationID", "string", "Id of the site it was gathered at; a row of sites.csv.", required=True,
           pattern=URN),
    Column("material", "string", "Dye material, by its key.", required=True, keys_of="material"),
    Column("scientificName", "string", "Botanical name of the material."),
    Column("part", "string", "Part of the plant that was brought in.", required=True,
           keys_of="part"),
    Column("ripeness", "string", "How ripe it was at the tree; empty where that has no meaning (bark).",
           keys_of="ripeness"),
    Column("bbch", "integer", "Ripeness as a code of the general BBCH scale, where one fits.",
           minimum=0, maximum=99),
    Column("condition", "string", "Fresh, soaked and drained, or air-dry when it was measured.",
           required=True, enum=("fresh", "soaked", "air-dry")),
    Column("basis", "string", "Whether it was weighed, counted or poured into pails.", required=True,
           enum=BASES),
    Column("eventDate", "datetime", "When it was gathered: local time with its offset (RFC 3339).",
           required=True),
    *_measure("gross", "Mass on the scale with the pail or sack", offered("mass")),
    *_measure("tare", "Mass of the empty pail or sack", offered("mass")),
    Column("count", "integer", "Fruits or pieces, counted [1].", "1", minimum=0),
    Column("pails", "number", "How many pails were filled [1].", "1", minimum=0),
    *_measure("pail", "Volume of one pail", offered("volume")),
    Column("fill", "number", "Share of the pails that was full; 1 is level with the rim [1].", "1", minimum=0,
           maximum=float(MOST_FILL)),
    *estimate_columns("net_mass_kg", "Mass of the load without pail or sack", required=True),
    *estimate_columns("dye_part_mass_kg", "Mass of what of it holds the dye (hull, bark, gall), in its condition; like "
                      "all that follows, of what is left of the load, or went into its liquor"),
    *estimate_columns("dry_matter_kg", "Dry matter of that part"),
    *estimate_columns("air_dry_kg", "Mass of that part once air-dry"),
    *estimate_columns("cloth_light_kg", "Air-dry, scoured cloth that it dyes to a light shade"),
    *estimate_columns("cloth_medium_kg", "Air-dry, scoured cloth that it dyes to a medium shade"),
    *estimate_columns("cloth_dark_kg", "Air-dry, scoured cloth that it dyes to a dark shade"),
    Column("state", "string", "What was done with it last.", required=True, enum=get_args(LotState)),
    *estimate_columns("left_kg", "What is left of it, by mass; empty once it is liquor"),
    *estimate_columns("left_L", "What is left of it as liquor; empty before", unit="L"),
    Column("overdraft_kg", "number", "What was drawn of it beyond what there was [kg]: somebody should settle it.",
           "kg", minimum=0),
    Column("overdraft_L", "number", "The same, once it is liquor [L].", "L", minimum=0),
    Column("nuts_kg", "number", "Nuts kept for food, not part of what is left [kg].", "kg", minimum=0),
    Column("use_by_earliest", "date", "First day on which it may have turned, as it stands now; empty if no figure is "
           "known, if it keeps, or if nothing is left."),
    Column("use_by_latest", "date", "Last day on which it may still be good."),
    Column("keeps", "string", "Whether it was good, had to be used soon, was past, or keeps, on the day the "
           "file was made; empty if nothing was left.",
           enum=("good", "soon", "past", "keeps")),
    Column("confidence", "string",
           "How wide the estimate of the air-dry mass is: narrow if high is at most 1.5 times low, "
           "fair if at most 3 times, else wide.", enum=("narrow", "fair", "wide")),
    Column("surer", "string", "What would make the estimate surer, parted by \" | \"."),
    Column("cautions", "string", "Cautions that go with the load, parted by \" | \"."),
    *_PLACE,
    Column("note", "string", "Note of whoever logged it.", option="notes"),
), key="materialEntityID", points_at=("locationID", "sites"))

SITES = Table("sites", "Sites of the lots", (
    Column("locationID", "string", "Id of the site; it tells nothing of the place.", required=True,
           pattern=URN),
    Column("locality", "string", "Name of the site.", option="names"),
    Column("materials", "string", "Keys of the dye materials that stand there, parted by \" | \"."),
    Column("leave", "string", "Leave to gather there, on the day the file was made.",
           enum=("given", "refused", "not-asked", "expired")),
    Column("leave_until", "date", "Last day for which leave was given."),
    Column("leave_by", "string", "Who gave or refused leave.", option="people"),
    *_PLACE,
    Column("note", "string", "Note of whoever added it.", option="notes"),
), key="locationID")

DIFFERENCES = Table("differences", "Where people say different things, and nobody has settled it yet", (
    Column("number", "integer", "Number of the row [1].", "1", required=True, minimum=1),
    Column("record", "string", "Id of the record they differ about.", required=True, pattern=URN),
    Column("kind", "string", "What it is: a lot, a site, leave, a step or a draw.", required=True),
    Column("belongs_to", "string", "The lot by its code, or the site by its name."),
    Column("about", "string", "What they differ about.", required=True),
    Column("holds", "string", "What holds until somebody settles it.", required=True),
    Column("holds_device", "string", "Id of the device that says so.", required=True, pattern="[0-9a-f]{16}"),
    Column("holds_when", "datetime", "When it was told, by the clock of that device.", required=True),
    Column("other", "string", "What was said otherwise.", required=True),
    Column("other_device", "string", "Id of the device that says so.", required=True, pattern="[0-9a-f]{16}"),
    Column("other_when", "datetime", "When it was told, by the clock of that device.", required=True),
    Column("other_version", "string", "Name of the version that says so.", required=True, pattern=NAME),
), key="number")

NAMES = Table("versions", "The names of all versions: a version whose hash is not listed was changed on its way", (
    Column("version", "string", "SHA-256 of the version's text as a name (RFC 6920).", required=True, pattern=NAME),
), key="version")

TABLES = (LOTS, SITES, DIFFERENCES, NAMES)
#: The names of the estimates: each is three columns.
RANGES = tuple(column.name.removesuffix("_low") for column in LOTS.columns if column.name.endswith("_low"))


def field_of(column: Column, met: Iterable[str] = ()) -> dict[str, Any]:
    """The column as a field of a Table Schema (Data Package 2.0).

    met: values that stand in the column; those of a newer program are added to the values it may have.
    """
    limits: dict[str, Any] = {}
    if column.required:
        limits["required"] = True
    if column.values:
        more = sorted(set(met) - set(column.values)) if column.keys_of else []
        limits["enum"] = [*column.values, *more]
    if column.pattern:
        limits["pattern"] = column.pattern
    if column.minimum is not None:
        limits["minimum"] = column.minimum
    if column.maximum is not None:
        limits["maximum"] = column.maximum
    field: dict[str, Any] = {"name": column.name, "type": column.type, "description": column.description}
    if column.unit:
        field["unit"] = column.unit
    if column.term:
        field["skos:exactMatch"] = column.term
    return {**field, "constraints": limits} if limits else field


def _lines(table: Table) -> Iterator[str]:
    yield f"| column of `{table.path}` | type | unit | meaning |"
    yield "| --- | --- | --- | --- |"
    for column in table.columns:
        words = column.description
        if column.values:
            words += " One of " + ", ".join(f"`{value}`" for value in column.values) + "."
        if column.option:
            words += f" Only with the option {column.option}."
        kind = column.type if not column.required else f"{column.type}, required"
        yield f"| `{column.name}` | {kind} | {column.unit} | {words} |".replace('" | "', '" &#124; "')


def columns_text(tables: Iterable[Table] = TABLES) -> str:
    """The columns of tables as Markdown tables, for the docs."""
    return "\n\n".join("\n".join(_lines(table)) for table in tables) + "\n"
