"""Every save that was shown as saved is there afterwards, whole, however the phone was switched off."""

from __future__ import annotations

import os
import random

from tests.phone.handset import Handset, Host

#: FIELD_APP_LONG=1 asks for the long run.
LONG = bool(os.environ.get("FIELD_APP_LONG"))
CLOSES, KILLS = (300, 200) if LONG else (15, 8)

# Logs one load after the other through the app's own book, and says each when it is saved.
SAVING = """
import asyncio
from field_app.core.forms import SiteForm, WindfallForm
async def saving():
    if not book.sites():
        book.add_site(SiteForm("Mill lane", "44.0123, -28.0057"))
    while True:
        lot = book.log(WindfallForm(site="Mill lane", material="black-walnut", part="whole-fruit", ripeness="fallen",
                                    gross="9.1", tare="1.1", note="x" * 2000))
        print("saved", lot.id)
        await asyncio.sleep(0)
kept = asyncio.ensure_future(saving())
"""
# All that is there, read back strictly; and the size of what was set aside.
THERE = """
from field_app.store.inspection import inspect
assert inspect(book.log_book) == (), inspect(book.log_book)
json.dumps([lot.id for lot in book.lots(limit=-1)])
"""


def saved(handset: Handset) -> set[str]:
    return {line.split()[1] for line in handset.said if line.startswith("saved ")}


def switched_off(handset: Handset, address: str, times: int, off: str, rng: random.Random) -> tuple[int, int]:
    """Switch it off so many times while it saves; how many saves were told, and how many more were there [1]."""
    told: set[str] = set()
    for turn in range(times):
        handset.begin(SAVING)
        handset.page.wait_for_timeout(rng.uniform(400, 1600))
        if off == "die":
            told |= saved(handset)
            handset.die()
        elif turn % 3 == 2:
            told |= saved(handset)
            handset.restart()
        else:
            told |= saved(handset)
            handset.page.close()
            handset.page = handset.context.new_page()
            handset.page.on("console", lambda message: handset.said.append(message.text))
            told |= saved(handset)
            handset.said.clear()
        handset.open(address)
        there = set(handset.python(THERE))
        assert told <= there, f"lost after {turn + 1} times: {sorted(told - there)}"
        told = there
    return len(told), len(there)


def test_saves_outlive_the_page(handset: Handset, host: Host) -> None:
    """The page, or the whole browser, is closed while it saves, at random moments."""
    told, there = switched_off(handset, host.address, CLOSES, "close", random.Random(7))
    print(f"{CLOSES} closes: {there} saves there, none lost")
    assert told >= CLOSES


def test_saves_outlive_the_browser(handset: Handset, host: Host) -> None:
    """The whole browser is killed while it saves, at random moments."""
    told, there = switched_off(handset, host.address, KILLS, "die", random.Random(8))
    print(f"{KILLS} kills: {there} saves there, none lost")
    assert told >= KILLS
