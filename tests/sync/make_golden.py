"""Makes the files that every later version must be able to read: python -m tests.sync.make_golden

To be run again only together with a new number of the format, under new names; the old ones stay.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from field_app.handover import planner_file
from field_app.sync import merge_bytes
from tests.sync.island import DECADE, Device, at, windfall

FOLDER = Path(__file__).parent / "golden"
GROUP, PLANNER = FOLDER / "group-1.zip", FOLDER / "planner-1.zip"


def scene(folder: Path) -> tuple[bytes, bytes]:
    """A group file and a planner's file of two devices that did everything there is to do, one by a wrong clock."""
    one, two = Device(folder / "one", 1), Device(folder / "two", 2)
    two.clock.now += DECADE
    one.site("Mill lane")
    one.site("Old orchard", "43.98765, -27.99123")
    lot = one.lot(gross="14,2 kg", position=at(44.01239, -28.00554), note="under the big limb – „links“")
    one.lot("Old orchard", gross="", count="120")
    merge_bytes(two.book, one.file(), "one.zip")
    one.book.correct(lot.id, windfall(gross="31 lb 4 oz", tare="2½ lb"))
    two.book.correct(lot.id, windfall("Old orchard", gross="13 kg", ripeness="browned"))
    one.step(lot.id, "strained", volume="12 L", nuts="2 kg")
    one.draw(lot.id, "7 L", by="the dye house", purpose="shawl, medium brown")
    two.draw(lot.id, "8 kg", ref="day-1")
    gone = two.lot(gross="2 kg")
    two.book.withdraw(gone.id)
    merge_bytes(one.book, two.file(), "two.zip")
    files = one.file(), planner_file(one.book.lots(limit=-1), one.book.sites(), made=one.clock())
    one.close()
    two.close()
    return files


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        for path, data in zip((GROUP, PLANNER), scene(Path(folder)), strict=True):
            path.write_bytes(data)
