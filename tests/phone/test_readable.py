"""Every control on the phone has a name, text may be twice as large, and each way a fix can fail has its words."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

from field_app.ui.app import routes
from tests.phone.handset import START, Handset, Host, wait
from tests.phone.test_no_signal import BEFORE

#: What can be tapped or typed into, with the name that a screen reader gives it.
CONTROLS = """() => {
    const name = node => (node.getAttribute('aria-label') || node.textContent || node.getAttribute('aria-description')
                          || (node.labels && node.labels[0]?.textContent) || '').trim();
    return [...document.querySelectorAll(
        'flt-semantics [role], flt-semantics[role], flt-semantics input, flt-semantics textarea, flt-semantics-img')]
        .filter(node => ['button', 'link', 'checkbox', 'radio', 'switch', 'tab', 'textbox', 'slider', 'combobox',
                         'img', 'menuitem'].includes(node.getAttribute('role'))
                        || ['INPUT', 'TEXTAREA'].includes(node.tagName))
        .map(node => [node.getAttribute('role') || node.tagName.toLowerCase(), name(node),
                      Math.round(node.getBoundingClientRect().width), Math.round(node.getBoundingClientRect().height)]);
}"""
#: One of each thing that has a screen of its own; gives what stands for it in addresses.
ONE_OF_EACH = """
from field_app.core.cloth_lists import ClothForm
from field_app.core.plan_deeds import BathForm, LotForm, PlanForm
from field_app.core.vessels import VesselForm
from field_app.store import add_cloth, add_plan, add_vessel
lot, site = book.lots()[0].id, book.sites()[0].id
pot = add_vessel(book, VesselForm("big enamel", volume="60 L", diameter="45 cm")).id
cloth = add_cloth(book, ClothForm("Shawls", ["wool 3 kg"])).id
plan = add_plan(book, PlanForm("Harvest dyeing", "2026-10-10", lots=[LotForm(book.lots()[0])],
                               baths=[BathForm("wool 1 kg")])).id[-36:]
json.dumps({"lots/:id": "lots/" + lot, "trees/:id": "trees/" + site, ":site": site, "pots/:id": "pots/" + pot,
            "cloth/:id": "cloth/" + cloth, "plan/:id": "plan/" + plan, ":plan": plan, ":key": "black-walnut",
            ":figure": "dry-fresh"})
"""


def places(handset: Handset) -> list[str]:
    """Every address of the app, with the ids of what this phone holds; there is no photograph on it."""
    there: dict[str, str] = handset.python(ONE_OF_EACH)
    found: set[str] = set()

    def walk(some: list, before: str) -> None:
        for route in some:
            path = "/".join(part for part in (before, route.path or "") if part)
            if "*" not in path and ":photograph" not in path:
                address = f"/{path}"
                for name, value in there.items():
                    address = address.replace(name, value)
                found.add(address)
            walk(route.children or [], path)

    walk(routes(), "")
    assert [place for place in found if ":" in place.replace("urn:uuid:", "")] == []
    return sorted(found)


def test_every_control_has_a_name(handset: Handset, shots: Path) -> None:
    """On every screen, whatever can be tapped or typed into tells what it is; no screen fails on the phone."""
    handset.python(BEFORE)
    handset.reload()
    listed = {}
    for place in places(handset):
        handset.visit(place)
        assert "Something went wrong" not in handset.words(), f"{place}: {handset.said[-15:]}"
        listed[place] = handset.page.evaluate(CONTROLS)
        assert listed[place], f"{place} has nothing to tap"
    (shots / "controls.json").write_text(json.dumps(listed, indent=1, ensure_ascii=False), encoding="utf-8")
    nameless = [(place, control) for place, controls in listed.items() for control in controls if not control[1]]
    assert nameless == []
    assert len(listed) >= 45


def test_text_may_be_twice_as_large(new_handset: Callable[[], Handset], host: Host) -> None:
    """With the browser's text at 200 %, text is drawn larger, and the main job can still be done."""
    handset = new_handset()
    handset.open(host.address)
    before = handset.page.get_by_role("heading").first.bounding_box()
    handset.python(BEFORE)
    handset.page.add_init_script(
        "new MutationObserver(() => { document.documentElement?.style.setProperty('font-size', '200%'); })"
        ".observe(document, {childList: true})")
    handset.reload()
    after = handset.page.get_by_role("heading").first.bounding_box()
    assert before is not None
    assert after is not None
    assert after["height"] > 1.4 * before["height"]
    handset.shot("phone-large-today")
    handset.tap("Log a windfall")
    handset.tap(re.compile("Mill lane"))
    for sign in ("1", "4", "decimal sign", "2"):
        handset.tap(sign, exact=True)
    handset.shot("phone-large-windfall")
    handset.tap("Save this windfall")
    handset.see(re.compile("Saved as "), timeout=60_000)
    handset.shot("phone-large-saved")


def test_no_fix_is_no_dead_end(handset: Handset) -> None:
    """Refused, not to be had, or poor: the browser's own answers get plain words, and the position can be typed."""
    cdp = handset.context.new_cdp_session(handset.page)
    origin = handset.page.evaluate("location.origin")

    def may(setting: str) -> None:
        cdp.send("Browser.setPermission", {"permission": {"name": "geolocation"}, "setting": setting, "origin": origin})

    may("denied")
    handset.tap("Log a windfall")
    handset.tap("a new place")
    handset.tap("I stand beside it now")
    handset.see(re.compile("Allow it in the settings of the device or browser"), timeout=60_000)
    handset.see(re.compile("Type or paste the position, or leave it out"))
    handset.shot("phone-refused")
    may("granted")
    cdp.send("Emulation.setGeolocationOverride", {})  # the device has no position
    handset.tap("I stand beside it now")
    handset.see(re.compile("the device could not tell where it is|no fix within the time", re.I), timeout=START)
    handset.shot("phone-no-fix")
    handset.write("or type or paste the position", "44.0123, -28.0057")
    cdp.send("Emulation.setGeolocationOverride", {"latitude": 44.0123, "longitude": -28.0057, "accuracy": 300})
    handset.tap("I stand beside it now")
    handset.see("Too rough to tell one tree from the next", timeout=60_000)
    handset.shot("phone-poor-fix")
    handset.tap("Type it instead")
    handset.put_cursor(re.compile("or type or paste the position"))
    typed = "document.activeElement?.value"
    wait(lambda: handset.page.evaluate(typed) == "44.0123, -28.0057", 15_000,
         lambda: f"the field holds {handset.page.evaluate(typed)}", handset.page)


def test_while_it_opens_the_page_has_its_ground(handset: Handset) -> None:
    """From the first look to the first screen the ground is that of the night, without white or other words between."""
    handset.page.emulate_media(color_scheme="dark")
    assert handset.opening(lambda: handset.page.reload(wait_until="domcontentloaded"), limit=START) == [(23, 18, 14)]
