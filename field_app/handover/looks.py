"""Looks at trees for other programs: a table in the terms of those who observe the seasons of plants.

BBCH codes are by our own reading of the general scale; phenophases and count bins are those of USA-NPN, Plant and
Animal Phenophase Definitions (doi 10.25422/azu.data.20736700). Where a place is stands in no column.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from field_app.core.look_words import look_words
from field_app.core.looks import LookNow
from field_app.core.materials import MATERIALS
from field_app.core.sites import SiteNow
from field_app.handover.cells import escaped

__all__ = ["COLUMNS", "looks_table"]

#: The columns, in their order.
COLUMNS = ("eventDate", "locationID", "locality", "scientificName", "material", "stage", "dented", "pressed",
           "on_ground", "bbch", "phenophases", "dropped_bin", "said", "note")


def looks_table(looks: Iterable[LookNow], sites: Iterable[SiteNow], *, names: bool = False) -> bytes:
    """The table as UTF-8 CSV, oldest look first; names: with the names of the places and the notes."""
    called = {site.id: site.name for site in sites}
    file = io.StringIO(newline="")
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for look in looks:
        facts = look.facts
        stuff = MATERIALS.get(facts.material)
        writer.writerow([
            facts.at, facts.site, escaped(called.get(facts.site, "")) if names else "",
            stuff.botanical if stuff else "", facts.material, facts.stage or "", _cell(facts.dented),
            _cell(facts.pressed), _cell(facts.ground), _cell(facts.bbch), " | ".join(facts.phenophases),
            escaped(facts.dropped or ""), look_words(facts), escaped(facts.note) if names else ""])
    return file.getvalue().encode("utf-8")


def _cell(value: int | None) -> str:
    return "" if value is None else str(value)
