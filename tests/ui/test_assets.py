"""The page around the screens, its icons, and what they take over from the client's own."""

import json
import re
import shutil
import struct
import subprocess
from pathlib import Path

import flet_web
import pytest

import field_app.phone
from field_app.main import ASSETS
from field_app.ui.theme import DAY, NIGHT, SUN, Colours

CLIENT = Path(flet_web.__file__).parent / "web"
SCRIPT = re.compile(r"<script\b.*?</script>", re.DOTALL)
OURS = [f'<script src="{name}.js"></script>' for name in ("words", "opening", "closed")]
PHONE = Path(field_app.phone.__file__).parent / "web"


def test_the_scripts_of_the_page_are_those_of_the_client() -> None:
    """But for three scripts of ours, the page runs what the client's own page runs, in the same order."""
    mine, theirs = (SCRIPT.findall((root / "index.html").read_text(encoding="utf-8")) for root in (ASSETS, CLIENT))
    assert [script for script in mine if script not in OURS] == theirs
    assert [script for script in mine if script in OURS] == OURS
    assert mine.index(OURS[-1]) < mine.index('<script src="python.js"></script>')


def test_the_page_keeps_the_places_where_the_client_is_set_up() -> None:
    """What the server fills in, and what the client removes when it draws, is still there, once."""
    page = (ASSETS / "index.html").read_text(encoding="utf-8")
    for place in ('<base href="/">', "<!-- fletAppConfig -->", 'id="loading"'):
        assert page.count(place) == (CLIENT / "index.html").read_text(encoding="utf-8").count(place) == 1


def test_the_page_names_nothing_from_elsewhere() -> None:
    """Neither page, nor script, nor manifest, nor mark names another host, but for the name of a file format."""
    for name in ("index.html", "words.js", "opening.js", "closed.js", "manifest.json", "mark.svg"):
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


def test_every_word_of_the_page_has_its_translation() -> None:
    """What the page says by itself, here and on a phone, stands in its table, and nothing else does."""
    table = (ASSETS / "words.js").read_text(encoding="utf-8").partition("const GERMAN = {")[2].partition("};")[0]
    known = re.findall(r'^ {4}"([^"]+)":', table, re.MULTILINE)
    said = {text for path in (*ASSETS.glob("*.js"), PHONE / "page.js")
            for text in re.findall(r'say\(\s*"([^"]+)"\)', path.read_text(encoding="utf-8"))}
    assert sorted(known) == sorted(said)
    page = (ASSETS / "index.html").read_text(encoding="utf-8")
    assert 'id="loading-step">Opening the field book<' in page


def said_by(script: str, name: str, kept: str | None, asked: str, browser: str = "en-GB") -> str:
    """What a script of the page answers where the device keeps that, as JSON or not, under a name of ours."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("there is no other machine here to run the page's script")
    page = (f"const kept = {json.dumps({} if kept is None else {f'flutter.field-app.{name}': kept})};"
            "const localStorage = {getItem: (name) => kept[name] ?? null};"
            "const document = {documentElement: {dataset: {}}, getElementById: () => null};"
            "const window = {addEventListener: () => {}};"
            "class HTMLCanvasElement {}"
            f"Object.defineProperty(globalThis, 'navigator', {{value: {{language: {json.dumps(browser)}}}}});"
            f"{(ASSETS / script).read_text(encoding='utf-8')}"
            f"console.log({asked});")
    return subprocess.run([node, "-e", page], capture_output=True, text=True, check=True, encoding="utf-8").stdout


@pytest.mark.parametrize(("kept", "browser", "heard"), [
    (None, "en-GB", "Go on"), (None, "de-CH", "Weiter"), ('"en"', "de-DE", "Go on"), ('"de"', "en-US", "Weiter"),
    ("{", "en-US", "Go on"), (None, "fr-FR", "Go on")])
def test_the_page_speaks_as_was_chosen_or_as_the_browser_does(kept: str | None, browser: str, heard: str) -> None:
    """The language that was chosen on this device comes first, then the browser's; one that is not there is English."""
    said = said_by("words.js", "language", kept, "fieldBookWords.say('Go on'), document.documentElement.lang", browser)
    assert said.split() == [*heard.split(), "de" if heard == "Weiter" else "en"]


@pytest.mark.parametrize(("kept", "seen"), [
    (None, None), ('"night"', "night"), ('"sun"', "sun"), ('"day"', "day"), ('"device"', None), ("{", None),
    ('"blue"', None), ("7", None)])
def test_the_page_opens_in_the_light_that_was_chosen(kept: str | None, seen: str | None) -> None:
    """The light chosen on this device is put on the page before anything is seen; whatever else is kept is not."""
    said = said_by("opening.js", "light", kept, "JSON.stringify(document.documentElement.dataset)")
    assert json.loads(said) == ({} if seen is None else {"light": seen})


def test_the_page_has_the_grounds_and_inks_of_the_screens() -> None:
    """In each light, chosen or the browser's, the page has the colours that the first screen will have."""
    page = (ASSETS / "index.html").read_text(encoding="utf-8").lower()

    def pair(colours: Colours) -> str:
        return f"{{ --ground: {colours.ground.lower()}; --ink: {colours.hull.lower()}; }}"

    for chosen, colours in (("day", DAY), ("night", NIGHT), ("sun", SUN)):
        assert f':root[data-light="{chosen}"] {pair(colours)}' in page
    assert f"    :root {pair(DAY)}\n" in page
    assert f"@media (prefers-color-scheme: dark) {{ :root {pair(NIGHT)} }}" in page
    script = (ASSETS / "opening.js").read_text(encoding="utf-8")
    (told,) = re.findall(r"const GROUNDS = (.*);", script)
    assert json.loads(told) == [list(bytes.fromhex(one.ground[1:])) for one in (DAY, NIGHT, SUN)]
