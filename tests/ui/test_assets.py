"""The page around the screens, its icons, and what they take over from the client's own."""

import json
import re
import struct
from pathlib import Path

import flet_web
import pytest

from field_app.main import ASSETS

CLIENT = Path(flet_web.__file__).parent / "web"
SCRIPT = re.compile(r"<script\b.*?</script>", re.DOTALL)
OURS = '<script src="closed.js"></script>'


def test_the_scripts_of_the_page_are_those_of_the_client() -> None:
    """But for one script of ours, the page runs what the client's own page runs, in the same order."""
    mine, theirs = (SCRIPT.findall((root / "index.html").read_text(encoding="utf-8")) for root in (ASSETS, CLIENT))
    assert [script for script in mine if script != OURS] == theirs
    assert mine.count(OURS) == 1
    assert mine.index(OURS) < mine.index('<script src="python.js"></script>')


def test_the_page_keeps_the_places_where_the_client_is_set_up() -> None:
    """What the server fills in, and what the client removes when it draws, is still there, once."""
    page = (ASSETS / "index.html").read_text(encoding="utf-8")
    for place in ('<base href="/">', "<!-- fletAppConfig -->", 'id="loading"'):
        assert page.count(place) == (CLIENT / "index.html").read_text(encoding="utf-8").count(place) == 1


def test_the_page_names_nothing_from_elsewhere() -> None:
    """Neither page, nor script, nor manifest, nor mark names another host, but for the name of a file format."""
    for name in ("index.html", "closed.js", "manifest.json", "mark.svg"):
        text = (ASSETS / name).read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert "//" not in re.sub(r"^\s*//.*$| // .*$", "", text, flags=re.MULTILINE), name


def test_no_picture_of_the_client_is_left() -> None:
    """Every icon that page and manifest name is ours, in the size that is promised."""
    page = (ASSETS / "index.html").read_text(encoding="utf-8")
    manifest = json.loads((ASSETS / "manifest.json").read_text(encoding="utf-8"))
    sizes = {icon["src"]: icon["sizes"] for icon in manifest["icons"]}
    sizes |= {"favicon.png": "48x48", "icons/apple-touch-icon-192.png": "192x192"}
    named = set(re.findall(r'(?:href|src)="([^"]+\.png)"', page)) | set(sizes)
    assert named == set(sizes)
    for name, size in sizes.items():
        data = (ASSETS / name).read_bytes()
        assert data.startswith(b"\x89PNG\r\n\x1a\n")
        width, height = struct.unpack(">II", data[16:24])
        assert f"{width}x{height}" == size
        assert data != (CLIENT / name).read_bytes()
    assert (ASSETS / "mark.svg").exists()


@pytest.mark.parametrize("name", ["index.html", "manifest.json"])
def test_the_name_is_ours(name: str) -> None:
    """A person never reads the toolkit's name or advertisement."""
    text = SCRIPT.sub("", (ASSETS / name).read_text(encoding="utf-8")).replace("fletAppConfig", "")
    assert "flet" not in text.lower()
    assert "Field book" in text
