"""The real program in a real browser: it starts, shows its screens, asks nobody, and ends cleanly."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from field_app.ui.theme import DAY, NIGHT, Colours
from tests.browser.phone import ROOT, Phone, Served

SEASON = "2026-10-08T15:00:00-02:00"


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """A folder with the demo scenario, filled by the command."""
    folder = tmp_path / "demo"
    subprocess.run([sys.executable, "-m", "field_app.cli", "demo", str(folder)], cwd=ROOT, check=True,
                   capture_output=True)
    return folder


def test_an_empty_book_opens_and_closes(app: Served, phone: Phone) -> None:
    """On an empty folder the first screen shows, and the program ends with code 0 while it is open."""
    phone.open(app.address)
    assert phone.page.title() == "Field book"
    phone.shot("program-empty")
    phone.excuse()
    assert app.stop() == 0
    assert app.said[0] == f"The field book in {app.folder} is open at {app.address}"
    assert len(app.said) == 2, app.said


@pytest.mark.parametrize(("device", "chosen", "ground"), [
    ("dark", "device", NIGHT), ("light", "night", NIGHT), ("dark", "day", DAY), ("light", "device", DAY)])
def test_while_it_opens_the_page_has_its_ground(
    start_app: Callable[..., Served], phone: Phone, tmp_path: Path, device: str, chosen: str, ground: Colours,
) -> None:
    """From the first look to the first screen the ground is that of the light chosen, or else of the device."""
    command = [sys.executable, "-m", "field_app.cli", "--data", str(tmp_path / "book"), "shown", "--light", chosen]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    app = start_app()
    phone.page.emulate_media(color_scheme=device)  # type: ignore[arg-type]  # one of the two it knows
    phone.open(app.address)
    phone.visit("/lots")  # what the page keeps of the light is read at its next opening
    seen = phone.opening(lambda: phone.page.reload(wait_until="domcontentloaded"))
    assert seen == [tuple(bytes.fromhex(ground.ground[1:]))]


def test_where_the_page_cannot_read_what_is_painted_it_still_opens(app: Served, phone: Phone) -> None:
    """In a browser that says it is of iOS the client paints straight to the display; there the title has to do."""
    phone.page.add_init_script("Object.defineProperty(navigator, 'vendor', {get: () => 'Apple Computer, Inc.'});")
    phone.open(app.address)
    phone.page.locator(".opening").wait_for(state="detached")
    assert phone.page.evaluate("document.documentElement.dataset.opened") == "unread"


def test_a_page_whose_program_was_stopped_says_so(app: Served, phone: Phone) -> None:
    """When the program is stopped, its page says so, and what to do, instead of waiting for ever."""
    phone.open(app.address)
    phone.excuse()
    assert app.stop() == 0
    notice = phone.page.get_by_role("alert")
    notice.get_by_role("heading", name="The field book was closed").wait_for(timeout=15_000)
    assert "Start field-app again, and open the address it prints." in notice.inner_text()
    phone.shot("program-closed")


def test_a_lost_line_is_no_end(app: Served, phone: Phone) -> None:
    """While the program answers, a lost connection shows no notice; and a notice goes when it answers again."""
    phone.open(app.address)
    notice = phone.page.get_by_role("alert")
    lose = "() => { new WebSocket(document.baseURI.replace('http', 'ws') + 'nowhere') }"
    phone.page.evaluate(lose)
    phone.page.wait_for_timeout(4000)
    assert notice.count() == 0
    phone.page.route("**/version.json", lambda route: route.abort())
    phone.page.evaluate(lose)
    notice.wait_for(timeout=15_000)
    phone.page.unroute("**/version.json")
    notice.wait_for(state="detached", timeout=15_000)
    phone.rest()


def test_every_place_of_the_demo_opens_by_its_address(
    start_app: Callable[..., Served], phone: Phone, demo: Path,
) -> None:
    """Each of the four places shows something of its own when its address is opened, and again after a reload."""
    app = start_app(demo, as_of=SEASON)
    phone.open(app.address)
    seen = {}
    for route in ("/", "/trees", "/lots", "/dye-day"):
        phone.visit(route)
        seen[route] = phone.words()
        phone.shot(f"program{route.replace('/', '-')}")
    assert len(set(seen.values())) == 4
    assert "Mill lane" in seen["/trees"]
    phone.visit("/trees")
    phone.reload()
    phone.see("Mill lane")


def test_a_taken_port_ends_it_with_a_word(app: Served, tmp_path: Path) -> None:
    """A second program on the same port says so, says what to do, and ends with code 2."""
    second = subprocess.run(
        [sys.executable, "-m", "field_app.cli", "--no-browser", "--port", str(app.port), "--data",
         str(tmp_path / "other")], cwd=ROOT, text=True, capture_output=True, check=False, timeout=60)
    assert (second.returncode, second.stdout) == (2, "")
    assert second.stderr.startswith(f"port: {app.port} is in use by another program")
    assert "--port 0" in second.stderr
    assert "Traceback" not in second.stderr


def test_a_killed_program_starts_again_on_its_folder(
    start_app: Callable[..., Served], phone: Phone, demo: Path,
) -> None:
    """After a power cut the same folder opens again, and the old tab's address asks to open the new one."""
    first = start_app(demo, as_of=SEASON)
    phone.open(first.address)
    old = phone.home
    phone.excuse()
    first.kill()
    second = start_app(demo, "--port", str(first.port), as_of=SEASON)
    answer = phone.page.goto(old)
    assert answer is not None
    assert answer.status == 403
    phone.open(second.address)
    phone.visit("/trees")
    phone.see("Mill lane")
