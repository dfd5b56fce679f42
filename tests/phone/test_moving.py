"""A full copy goes from a phone to a desktop and on to another phone: the same versions everywhere."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from pathlib import Path

from field_app.core.forms import SiteForm, WindfallForm
from field_app.store import back_up, restore
from tests.phone.handset import Handset, Host
from tests.phone.test_no_signal import BEFORE, BUSHEL, desktop

TEXTS = """
import hashlib
import re
json.dumps([hashlib.sha256(text).hexdigest() for text in book.log_book.texts()])
"""
NOW_MS = 1_790_000_000_000


def test_a_full_copy_moves_everything(
    handset: Handset, new_handset: Callable[[], Handset], host: Host, tmp_path: Path,
) -> None:
    """What a phone writes, the desktop restores; what the desktop writes, another phone puts back: all the same."""
    handset.python(BEFORE)
    handset.reload()
    handset.visit("/this-device")
    handset.see("Where your records are")
    handset.see("room for more", timeout=30_000)
    handset.see("Never yet")
    handset.shot("phone-this-device")
    with handset.page.expect_download(timeout=60_000) as coming:
        handset.tap("Write a full copy")
    file = tmp_path / coming.value.suggested_filename
    coming.value.save_as(file)
    handset.see(re.compile("^today, "), timeout=30_000)
    handset.shot("phone-copied")
    phone_has = handset.python(TEXTS)
    handset.close()

    restore(file, tmp_path / "desktop", new_device="d" * 16, now_ms=NOW_MS)
    book = desktop(tmp_path / "desktop")
    assert [hashlib.sha256(text).hexdigest() for text in book.log_book.texts()] == phone_has
    book.log(WindfallForm(new_site=SiteForm("Oak ride", "44.01, -28.01"), **BUSHEL))  # type: ignore[arg-type]
    back_up(book.log_book, tmp_path / "desktop.zip")
    desktop_has = [hashlib.sha256(text).hexdigest() for text in book.log_book.texts()]
    book.close()

    other = new_handset()
    other.open(host.address)
    other.visit("/this-device")
    with other.page.expect_file_chooser(timeout=60_000) as dialog:
        other.tap("Put a full copy back")
    dialog.value.set_files([str(tmp_path / "desktop.zip")])
    other.see(re.compile("2 lots and 2 trees more than before"), timeout=60_000)
    other.shot("phone-put-back")
    assert other.python(TEXTS) == desktop_has
    other.reload()
    assert other.python(TEXTS) == desktop_has

#: What stands in for the sheet of a phone, which a browser without windows does not have: it keeps what it is given.
SHEET = """
navigator.canShare = what => what.files.every(file => file instanceof File);
navigator.share = async what => {
    if (!navigator.userActivation.isActive) throw new DOMException("no tap", "NotAllowedError");
    window.given = {title: what.title, text: what.text, name: what.files[0].name, type: what.files[0].type,
                    data: [...new Uint8Array(await what.files[0].arrayBuffer())]};
    if (window.stops) throw new DOMException("stopped", "AbortError");
};
"""


def test_a_full_copy_goes_through_the_sheet_of_the_phone(
    new_handset: Callable[[], Handset], host: Host, tmp_path: Path,
) -> None:
    """Where the browser hands files to other apps, the full copy goes to the one that is chosen, whole."""
    phone = new_handset()
    phone.page.add_init_script(SHEET)
    phone.open(host.address)
    phone.python(BEFORE)
    phone.reload()
    phone.visit("/this-device")
    phone.page.evaluate("() => { window.stops = true; }")
    phone.tap("Send a full copy")
    phone.see("Nothing was sent", timeout=30_000)
    phone.page.evaluate("() => { window.stops = false; }")
    phone.tap("Send a full copy")
    phone.see(re.compile("It is with the app you chose"), timeout=30_000)
    phone.shot("phone-sent")
    given = phone.page.evaluate("() => window.given")
    assert (given["type"], given["name"][-4:], given["title"]) == ("application/zip", ".zip", given["name"])
    assert "exact places" in given["text"]
    file = tmp_path / given["name"]
    file.write_bytes(bytes(given["data"]))
    restore(file, tmp_path / "desktop", new_device="d" * 16, now_ms=NOW_MS)
    book = desktop(tmp_path / "desktop")
    assert [hashlib.sha256(text).hexdigest() for text in book.log_book.texts()] == phone.python(TEXTS)
    book.close()
