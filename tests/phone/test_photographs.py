"""Photographs on a phone: kept before it says so, there after a kill, and in a full copy both ways."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable
from pathlib import Path

from field_app.store import back_up, restore
from tests.phone.handset import BOOK, Handset, Host
from tests.phone.test_no_signal import BEFORE, desktop
from tests.photographs import photograph

NOW_MS = 1_790_000_000_000
# Every photograph of the book: what it shows, and the hash of what lies on the shelf.
SHELF = """
import hashlib
async def shelf():
    return json.dumps([[one.of, hashlib.sha256(await book.album.read(one)).hexdigest()] for one in book.album.all()])
await shelf()
"""


def shelf_of(handset: Handset) -> list[list[str]]:
    """What the phone's shelf holds, read anew."""
    found: list[list[str]] = json.loads(handset.worker.evaluate(
        "code => self.pyodide.runPythonAsync(code)", BOOK + SHELF))
    return found


def small_ones(handset: Handset) -> list[int]:
    """The sizes of the small pictures [byte]."""
    found: list[int] = json.loads(handset.worker.evaluate(
        "code => self.pyodide.runPythonAsync(code)",
        BOOK + "json.dumps([len(await book.album.small(one)) for one in book.album.all()])"))
    return found


def add(handset: Handset, button: str, *files: Path) -> None:
    """Pick files for a button, as from the camera."""
    with handset.page.expect_file_chooser(timeout=120_000) as dialog:
        handset.tap(button)
    assert dialog.value.element.get_attribute("accept") == "image/*"  # what makes a phone offer the camera
    dialog.value.set_files([str(file) for file in files])


def down(handset: Handset) -> None:
    """Push the screen up to its end."""
    handset.page.mouse.move(190, 400)
    for _ in range(14):
        handset.page.mouse.wheel(0, 400)
        handset.page.wait_for_timeout(60)
    handset.rest()


def test_photographs_stay_on_the_phone_and_move_with_a_full_copy(
    handset: Handset, new_handset: Callable[[], Handset], host: Host, tmp_path: Path,
) -> None:
    """Kept, shown, there after the browser was killed; from phone to desktop and on to another phone, bit for bit."""
    first, second = tmp_path / "heap.jpg", tmp_path / "pail.png"
    first.write_bytes(photograph(size=(4000, 3000), way_up=6, grain=True))
    second.write_bytes(photograph("PNG", shade=50))
    hashes = [hashlib.sha256(file.read_bytes()).hexdigest() for file in (first, second)]
    code = handset.python(BEFORE)
    host.stop()
    handset.flight_mode()
    handset.reload()
    handset.visit(f"/lots/{code}")
    down(handset)
    add(handset, "Add a photograph", first)
    handset.see(f"photograph of lot {code}", timeout=120_000)
    # It is on the screen, so it was kept: nothing may take it away any more, not even an empty battery.
    handset.die()
    host.start()
    handset.open(host.address)
    assert [sha256 for _, sha256 in shelf_of(handset)] == hashes[:1]
    handset.visit(f"/lots/{code}")
    down(handset)
    add(handset, "Add another", second)
    handset.see(f"photograph 2 of 2 of lot {code}", timeout=120_000)
    handset.page.wait_for_timeout(2000)
    down(handset)
    handset.shot("phone-photographs")
    # The row shows pictures that the browser drew small; a damaged file is told all the same.
    assert all(0 < size < 40_000 for size in small_ones(handset))
    handset.tap(re.compile("photograph 1 of 2"))
    handset.see("4000 × 3000 pixels", timeout=120_000)
    handset.page.wait_for_timeout(2000)
    handset.shot("phone-photograph")
    with handset.page.expect_download(timeout=120_000) as coming:
        handset.tap("Save a copy")
    coming.value.save_as(tmp_path / "bare.jpg")
    assert b"Pinhole" not in (tmp_path / "bare.jpg").read_bytes()
    phone_has = shelf_of(handset)

    handset.visit("/this-device")
    handset.see("Where your records are")
    with handset.page.expect_download(timeout=120_000) as coming:
        handset.tap("Write a full copy")
    coming.value.save_as(tmp_path / "phone.zip")
    handset.see(re.compile("2 photographs are in it"), timeout=30_000)
    handset.shot("phone-photographs-copied")
    handset.close()

    done = restore(tmp_path / "phone.zip", tmp_path / "desktop", new_device="d" * 16, now_ms=NOW_MS)
    assert done.photographs == 2
    book = desktop(tmp_path / "desktop")
    assert sorted([one.of, one.sha256] for one in book.album.all()) == sorted(phone_has)
    assert sorted(path.stem for path in (tmp_path / "desktop" / "photographs").iterdir()) == sorted(hashes)
    assert back_up(book.log_book, tmp_path / "desktop.zip").photographs == 2
    book.close()

    other = new_handset()
    other.open(host.address)
    other.visit("/this-device")
    with other.page.expect_file_chooser(timeout=120_000) as dialog:
        other.tap("Put a full copy back")
    dialog.value.set_files([str(tmp_path / "desktop.zip")])
    other.see(re.compile("2 photographs came along"), timeout=120_000)
    other.reload()
    assert sorted(shelf_of(other)) == sorted(phone_has)


def test_a_full_phone_says_so_and_keeps_what_it_had(handset: Handset, tmp_path: Path) -> None:
    """With no room left a photograph is refused in plain words, nothing half is left, and it can be tried again."""
    file = tmp_path / "heap.jpg"
    file.write_bytes(photograph(size=(2000, 1500), grain=True, quality=95))
    code = handset.python(BEFORE)
    handset.reload()
    handset.visit(f"/lots/{code}")
    down(handset)
    handset.room(1)  # what the browser set aside beforehand is less than the photograph
    add(handset, "Add a photograph", file)
    handset.see("A photograph was not kept", timeout=120_000)
    handset.see(re.compile("there is no room left on this phone"))
    handset.shot("phone-photograph-no-room")
    assert shelf_of(handset) == []
    handset.room(None)
    down(handset)
    handset.tap("Try again")
    handset.see(f"photograph of lot {code}", timeout=120_000)
    assert [sha256 for _, sha256 in shelf_of(handset)] == [hashlib.sha256(file.read_bytes()).hexdigest()]
