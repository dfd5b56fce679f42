"""What a screen reader and a keyboard find on every screen, measured in the tree that the browser gives them."""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from tests import screens
from tests.browser.phone import Phone, Served

#: Everything that can be tapped or typed into, every heading and every picture: role, name, size and place [CSS px].
FOUND = """() => {
    const spoken = node => (node.getAttribute('aria-label') || node.textContent || '').trim();
    const told = node => {
        const at = node.getBoundingClientRect();
        const list = node.parentElement.closest('[role=group]')?.getBoundingClientRect();
        const field = ['INPUT', 'TEXTAREA'].includes(node.tagName);
        return {role: field ? 'field' : node.getAttribute('role') || node.tagName.toLowerCase(), name: spoken(node),
                taps: field || node.hasAttribute('flt-tappable'), wide: at.width, high: at.height,
                top: at.top, foot: at.bottom,
                seen: at.top >= 0 && at.bottom <= innerHeight && (!list || at.bottom < list.bottom - 1)};
    };
    return [...document.querySelectorAll('flt-semantics-host :is([role], [flt-tappable], input, textarea, h1, h2)')]
        .map(told);
}"""
#: What has the focus of the keyboard: name, and where it is [CSS px].
FOCUSED = """() => {
    const node = document.activeElement, at = node.getBoundingClientRect();
    const name = (node.getAttribute('aria-label') || node.textContent || '').trim();
    return {name, top: at.top, foot: at.bottom, left: at.left, right: at.right};
}"""
#: How something that is tapped may be called in the tree.
TAPPED = {"button", "checkbox", "link", "field", "radio", "switch", "tab", "menuitem"}
#: Screens on which something is drawn that no text beside it tells.
DRAWN = ("morning", "round", "tree", "find", "lot", "liquor-made", "figure", "hand-over", "photograph",
         "lot-liquor", "draw")
#: Least size of what is tapped [CSS px]; WCAG 2.2 asks for 24 (success criterion 2.5.8), the look for 48.
LEAST = 48
#: High enough that nearly all of a screen is in view at once [CSS px].
HIGH = 2400


def test_everything_has_its_name_its_role_and_its_size(
    start_app: Callable[..., Served], phone: Phone, tmp_path: Path, shots: Path,
) -> None:
    """On every screen one title leads, what is tapped has a name, the right role and 48 px, and pictures have words."""
    with ThreadPoolExecutor(1) as apart:  # in this thread the loop of the browser is open
        apart.submit(screens.go_on, tmp_path / "demo", tmp_path / "other").result()
    app = start_app(tmp_path / "demo", as_of=screens.SEASON)
    phone.page.set_viewport_size({"width": 390, "height": HIGH})
    phone.open(app.address)
    found: dict[str, list[dict[str, Any]]] = {}
    for name, address in screens.SCREENS.items():
        route, _, tap = address.partition(" ")
        if name != "today":
            phone.go(route)
        if tap and phone.page.get_by_role("button", name=tap).count():
            phone.tap(tap)
            phone.rest(calm=450)
        if name in DRAWN:  # some is worked out after the first drawing, which takes its time on a busy machine
            phone.page.locator("flt-semantics-host [role=img]").first.wait_for(state="attached")
        found[name] = phone.page.evaluate(FOUND)
    (shots / "for-screen-readers.json").write_text(json.dumps(found, indent=1, ensure_ascii=False), encoding="utf-8")
    assert {name: heads for name, all_there in found.items()
            if len(heads := [one["name"] for one in all_there if one["role"] == "h1"]) != 1 or not heads[0]} == {}
    there = [(name, one) for name, all_there in found.items() for one in all_there]
    tapped = [(name, one) for name, one in there if one["taps"]]
    assert len(tapped) > 500
    assert [(name, one) for name, one in there if not one["name"] and (one["taps"] or one["role"] == "img")] == []
    assert [(name, one["role"], one["name"]) for name, one in tapped if one["role"] not in TAPPED] == []
    assert [(name, one["name"], one["wide"], one["high"]) for name, one in tapped
            if one["seen"] and min(one["wide"], one["high"]) < LEAST - 0.5] == []
    assert [name for name in DRAWN if not any(one["role"] == "img" for one in found[name])] == []


def test_the_keyboard_goes_from_the_top_to_the_dock(
    start_app: Callable[..., Served], phone: Phone, tmp_path: Path,
) -> None:
    """The tab key goes down the screen, then to the main action, and last to the four places."""
    screens.made_demo(tmp_path / "demo").close()
    app = start_app(tmp_path / "demo", as_of=screens.SEASON)
    phone.page.set_viewport_size({"width": 390, "height": HIGH})
    phone.open(app.address)
    for route, last in (("/trees", ["Add a tree", "Today", "you are here\nTrees", "Lots", "Dye day"]),
                        ("/lots/904D/step", ["Keep this step"]), ("/dye-day/hand-over", ["Make the lot file"])):
        phone.go(route)
        steps = stops(phone)
        names = [step["name"] for step in steps]
        assert len(steps) > 8, f"{route}: {names}"
        assert names[-len(last):] == last, f"{route}: {names}"
        for one, other in itertools.pairwise(steps):
            beside = other["top"] < one["foot"] and other["left"] >= one["right"] - 1
            assert beside or other["top"] >= one["foot"] - 1, f"{route}: {one} before {other}"


def stops(phone: Phone) -> list[dict[str, Any]]:
    """Where the tab key stops, until it is where it began."""
    found: list[dict[str, Any]] = []
    for _ in range(90):
        phone.page.keyboard.press("Tab")
        phone.page.wait_for_timeout(60)
        now = phone.page.evaluate(FOCUSED)
        if found and now == found[0]:
            break
        # On its way out of a field the focus lies on the page for a moment.
        if now["foot"] - now["top"] < HIGH and (not found or now != found[-1]):
            found.append(now)
    return found
