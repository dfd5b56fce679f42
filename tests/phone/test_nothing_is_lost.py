"""Every save that was shown as saved is there afterwards, whole, however the phone was switched off."""

from __future__ import annotations

import os
import random

from tests.phone.handset import START, Handset, Host, wait

#: FIELD_APP_LONG=1 asks for the long run; FIELD_APP_CLOSES and FIELD_APP_KILLS for any number, FIELD_APP_SEED for other
#: moments, so that a long run can be taken in pieces.
LONG = bool(os.environ.get("FIELD_APP_LONG"))
CLOSES = int(os.environ.get("FIELD_APP_CLOSES", "300" if LONG else "15"))
KILLS = int(os.environ.get("FIELD_APP_KILLS", "200" if LONG else "8"))
SEED = int(os.environ.get("FIELD_APP_SEED", "7"))

# Logs one load after the other through the app's own book, and says each when it is saved.
SAVING = """
import asyncio
from field_app.core.forms import SiteForm, WindfallForm
async def saving():
    if not book.sites():
        book.add_site(SiteForm("Mill lane", "44.0123, -28.0057"))
    while True:
        lot = book.log(WindfallForm(site="Mill lane", material="black-walnut", part="whole-fruit", ripeness="fallen",
                                    gross="9.1", tare="1.1", note="x" * 1000))
        print("saved", lot.id)
        await asyncio.sleep(0)
kept = asyncio.ensure_future(saving())
"""
# All that is there, read back strictly, every save with its number.
THERE = """
versions = book.log_book.versions()
assert [version.seq for version in versions] == list(range(1, len(versions) + 1)), [v.seq for v in versions]
json.dumps([version.thing for version in versions if version.kind == "lot"])
"""


def saved(said: list[str]) -> set[str]:
    return {line.split()[1] for line in said if line.startswith("saved ")}


def switched_off(handset: Handset, address: str, times: int, off: str, rng: random.Random) -> int:
    """Switch it off so many times while it saves, and look each time; how many saves are there in the end [1]."""
    told: set[str] = set()
    for turn in range(times):
        said = handset.said
        said.clear()
        handset.begin(SAVING)
        wait(lambda: saved(said), START, lambda: f"nothing is saved; {said[-3:]}", handset.page)  # noqa: B023 - at once
        handset.page.wait_for_timeout(rng.uniform(0, 900))
        if off == "die":
            handset.die()
        elif turn % 3 == 2:
            handset.restart()
        else:
            handset.close_tab()
        told |= saved(said)
        handset.open(address, seen=False)
        there = set(handset.python(THERE))
        assert told <= there, f"lost after {turn + 1} times: {sorted(told - there)}"
        told = there
        print(f"{off} {turn + 1}: {len(told)} saves there", flush=True)
    return len(told)


def test_saves_outlive_the_page(handset: Handset, host: Host) -> None:
    """The page, or the whole browser, is closed while it saves, at random moments."""
    there = switched_off(handset, host.address, CLOSES, "close", random.Random(SEED))
    print(f"{CLOSES} closes: {there} saves there, none lost")
    assert there >= CLOSES


def test_saves_outlive_the_browser(handset: Handset, host: Host) -> None:
    """The whole browser is killed while it saves, at random moments."""
    there = switched_off(handset, host.address, KILLS, "die", random.Random(SEED + 1))
    print(f"{KILLS} kills: {there} saves there, none lost")
    assert there >= KILLS
