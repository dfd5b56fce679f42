"""What goes into the folder, where no network is needed."""

import ast
import hashlib
import io
import re
import sys
import tarfile
import zipfile
from pathlib import Path

import flet_web
import pytest

import field_app
from field_app.phone.client import ClientChanged, client_files, patched
from field_app.phone.described import without_descriptions
from field_app.phone.lock import lock_text
from field_app.phone.pack import app_archive, app_files, lean_library, wheel_files
from field_app.phone.page import page_files
from field_app.phone.wheels import LOCK, ROOTS, locked

PACKAGE = Path(field_app.__file__).parent


def wheel(folder: Path, name: str, files: dict[str, str]) -> Path:
    path = folder / name
    with zipfile.ZipFile(path, "w") as archive:
        for file, text in files.items():
            archive.writestr(file, text)
    return path


def test_the_lock_names_every_root():
    """Each package that the phone needs is pinned with its hash, and pinned as it was asked for."""
    pins = locked(LOCK.read_text(encoding="utf-8"))
    for root in ROOTS:
        name, exact = re.fullmatch(r"([a-z0-9-]+)(?:==(.*))?.*", root).groups()  # type: ignore[union-attr]
        assert name in pins, f"run python -m field_app.phone.lock: {name} is not locked"
        assert exact in (None, pins[name])


@pytest.mark.parametrize("line", ["flet", "flet==1.0.5", "flet>=1.0.5 --hash=sha256:" + "0" * 64,
                                  "https://example.org/flet.whl"])
def test_a_loose_lock_is_no_lock(line):
    """A line without an exact version and a hash is an error."""
    with pytest.raises(ValueError, match="is not a pin with a hash"):
        locked(line)


def test_the_lock_is_written_as_it_is_read(tmp_path):
    """The lock that is made from wheels names their versions and hashes, without what is never imported."""
    one = wheel(tmp_path, "Some_Thing-1.2-py3-none-any.whl", {"some_thing.py": ""})
    two = wheel(tmp_path, "httpx-0.28-py3-none-any.whl", {"httpx.py": ""})
    text = lock_text([one, two])
    assert locked(text) == {"some-thing": "1.2"}
    assert hashlib.sha256(one.read_bytes()).hexdigest() in text


def test_packages_come_without_what_is_never_imported(tmp_path):
    """Tests, types and installers' notes stay out; licences and versions stay in; geopy starts without its services."""
    made = wheel(tmp_path, "geopy-2.5.0-py3-none-any.whl", {
        "geopy/__init__.py": "from geopy.geocoders import *  # noqa\nfrom geopy.point import Point\n"
                             "del options  # noqa\n",
        "geopy/geocoders/__init__.py": "", "geopy/point.py": "", "geopy/point.pyi": "",
        "geopy-2.5.0.dist-info/RECORD": "", "geopy-2.5.0.dist-info/METADATA": "Version: 2.5.0\n\nA page",
        "geopy-2.5.0.dist-info/licenses/LICENSE": ""})
    assert dict(wheel_files([made])) == {
        "geopy/__init__.py": b"from geopy.point import Point\n", "geopy/point.py": b"",
        "geopy-2.5.0.dist-info/METADATA": b"Version: 2.5.0\n", "geopy-2.5.0.dist-info/licenses/LICENSE": b""}


def test_descriptions_give_way_and_nothing_else_does():
    """Every module of the toolkit does without its descriptions what it did with them, line by line."""
    import flet
    import pydantic

    def meant(code):
        tree = ast.parse(code)
        for node in ast.walk(tree):
            if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
                node.value.value = "."
        return ast.dump(tree), [node.lineno for node in ast.walk(tree) if isinstance(node, ast.stmt)]

    before = after = 0
    for package in (flet, pydantic):
        for path in Path(package.__file__).parent.rglob("*.py"):
            code = path.read_bytes()
            lean = without_descriptions(code)
            assert meant(lean) == meant(code), path
            before, after = before + len(code), after + len(lean)
    assert after < 0.75 * before


def test_our_own_files_without_the_desk(tmp_path):
    """The phone gets the core, the store, the screens and the demo; not the commands, the server or the builder."""
    names = {name for name, _ in app_files(PACKAGE, PACKAGE.parent / "seed_sites")}
    assert {"field_app/main.py", "field_app/core/materials.toml", "field_app/ui/today.py",
            "field_app/phone/inside/start.py"} <= names
    assert not [name for name in names if re.search(r"/cli|ui/serve|phone/(build|lock|web)|assets|\.pyc|\.po", name)]
    assert "field_app/words/de.mo" in names


def test_an_archive_knows_no_time_and_no_owner():
    """The same files give the same bytes, in whatever order they come."""
    files = {"b/c.py": b"1", "a.py": b"2"}
    data = app_archive(files)
    assert data == app_archive(dict(reversed(files.items())))
    with tarfile.open(fileobj=io.BytesIO(data)) as archive:
        assert [(entry.name, entry.mtime, entry.uid, entry.uname) for entry in archive] == [
            ("__pypackages__/a.py", 0, 0, ""), ("__pypackages__/b/c.py", 0, 0, "")]


def test_the_library_keeps_what_is_imported():
    """The standard library loses servers and debuggers, and keeps what the app stands on."""
    packed = io.BytesIO()
    kept = ["sqlite3/__init__.py", "encodings/cp437.py", "encodings/cp1252.py", "encodings/latin_1.py",
            "json/decoder.py", "zoneinfo/_tzpath.py"]
    with zipfile.ZipFile(packed, "w") as archive:
        for name in (*kept, "pdb.py", "http/server.py", "encodings/cp1006.py", "unittest/case.py"):
            archive.writestr(name, "pass")
    with zipfile.ZipFile(io.BytesIO(lean_library(packed.getvalue()))) as lean:
        assert lean.namelist() == sorted(kept)
        assert {entry.compress_type for entry in lean.infolist()} == {zipfile.ZIP_DEFLATED}


def test_a_changed_client_stops_the_build():
    """A text that is not there, or there twice, is never changed in silence."""
    for text in ("b", "aa"):
        with pytest.raises(ClientChanged, match="not once"):
            patched(text, "a file", {"a": "c"})


def test_the_client_is_pruned_and_changed():
    """The client that is installed takes every change; other renderers and its service worker are not along."""
    files = client_files(Path(flet_web.get_package_web_dir()))
    theirs = (Path(flet_web.get_package_web_dir()) / "flutter_bootstrap.js").read_bytes()
    word = b"serviceWorkerVersion:"
    assert files["flutter_bootstrap.js"].count(word) == theirs.count(word) - 1
    assert b"fieldBook.worker" in files["python.js"]
    assert b"Apache License" in files["licences.txt"]  # what others wrote travels with its licence
    assert not [name for name in files if re.search(r"skwasm|wimp|\.symbols|flutter_service_worker|python\.exe", name)]


def test_the_page_lets_nothing_out():
    """The policy names no host, the page no address but its own, and the manifest lies at the base."""
    files = page_files(PACKAGE / "assets", "/book/")
    page = files["index.html"].decode()
    assert page.count('http-equiv="Content-Security-Policy"') == 1
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)[1]  # type: ignore[index]
    assert "default-src 'self'" in policy
    assert "http" not in policy
    assert "'unsafe-eval'" not in policy
    assert re.findall(r"(?:src|href)=\"(?:https?:)?//", page) == []
    assert '<base href="/book/">' in page
    assert b'"scope": "/book/"' in files["manifest.json"]
    assert b'"purpose": "maskable"' in files["manifest.json"]
    assert {name for name in files if name.startswith("icons/")} >= {"icons/icon-maskable-512.png"}


def test_whatever_is_imported_is_along():
    """Each package that the phone's files import is locked, is the runtime's own, or is used at the desk alone."""
    runtime = set(sys.stdlib_module_names) | {"field_app", "js", "pyodide", "flet_js"}
    desk = {"sqlite_utils": "store/inspection.py", "platformdirs": "main.py",  # on the phone no screen leads there
            "zxingcpp": "ui/code_reader.py", "PIL": "ui/code_reader.py"}  # the page reads codes by itself
    pins = {name.replace("-", "_") for name in locked(LOCK.read_text(encoding="utf-8"))}
    for name, data in app_files(PACKAGE, PACKAGE.parent / "seed_sites"):
        if not name.endswith(".py"):
            continue
        for node in ast.walk(ast.parse(data)):
            modules = ([alias.name for alias in node.names] if isinstance(node, ast.Import)
                       else [node.module or ""] if isinstance(node, ast.ImportFrom) else [])
            for top in {module.partition(".")[0] for module in modules} - runtime - pins:
                assert name == f"field_app/{desk.get(top)}", (
                    f"{name} imports {top}: add it to ROOTS in field_app/phone/wheels.py, "
                    "then run python -m field_app.phone.lock")
