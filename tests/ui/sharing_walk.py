"""What a person does on the screen where files go out and come in."""

import asyncio

import flet as ft

from field_app.ui import Services, screens
from field_app.ui.parts.unbroken import apart
from tests.ui.driver import Driver, walk

__all__ = ["SHARE", "done", "opened", "take", "words_of", "written"]

SHARE = "/dye-day/share"


async def opened(device, route=SHARE, *, told="yes", folder="", **how):
    """The screens of a device; told: whether this device was told of exact places; folder: the remembered one."""
    kept = {"field-app.told-exact-places": told, "field-app.shared-folder": folder}
    replies = {"get": lambda call: kept.get(call["key"], ""), "set": True, "save_file": "/home/group.zip",
               **how.pop("replies", {})}
    return await Driver.open(screens(Services(book=device.book)), route=route, replies=replies, **how)


async def done(d):
    """Wait until the work beside the screen is done."""
    await d.settle()
    for _ in range(500):
        if not d.find("share-busy"):
            return await d.settle()
        await asyncio.sleep(0.01)
    raise AssertionError("the work did not end")


async def take(d, *files):
    """Pick files, as (name, bytes), in the dialog that the button opens on the device."""
    picker = d.one("share-take").action.file_picker
    picked = [{"id": number, "name": name, "size": len(data or b""), "path": None, "bytes": data}
              for number, (name, data) in enumerate(files)]
    await d.fire(picker, "result", {"files": picked})
    await done(d)


async def written(d):
    """The group file that the screen gives to the device."""
    await d.tap("share-write")
    await done(d)
    call = d.calls("save_file")[-1]
    return call["file_name"], bytes(call["src_bytes"])


def words_of(d, key):
    """The words of what has this key."""
    return "\n".join(apart(c.value) for c in walk(d.one(key)) if isinstance(c, ft.Text))
