"""A new build takes the place of an old one, whole, when the person says so; what was saved stays."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import field_app
from field_app.phone.build import folder_files, write_folder
from field_app.phone.wheels import fetch
from tests.phone.conftest import BASE
from tests.phone.handset import START, Handset, Host
from tests.phone.test_no_signal import ALL, BEFORE

OLD, NEW = "What fell", "What fell here"


@pytest.fixture(scope="package")
def next_files(built: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """The folder of a program that says one thing otherwise."""
    place = tmp_path_factory.mktemp("next")
    package = place / "field_app"
    shutil.copytree(Path(field_app.__file__).parent, package, ignore=shutil.ignore_patterns("__pycache__"))
    seeds = package.parent / "seed_sites"
    shutil.copytree(Path(field_app.__file__).parents[1] / "seed_sites", seeds)
    screen = package / "ui" / "windfall.py"
    text = screen.read_text(encoding="utf-8")
    assert f'"{OLD}"' in text
    screen.write_text(text.replace(f'"{OLD}"', f'"{NEW}"'), encoding="utf-8")
    wheels = place / "wheels"
    wheels.mkdir()
    found = fetch(wheels)
    files = folder_files(found, BASE)[1]
    assert files == {path.relative_to(built).as_posix(): path.read_bytes() for path in built.rglob("*")
                     if path.is_file()}, "two builds of the same program differ"
    return folder_files(found, BASE, package)[1]


def test_an_update_keeps_what_was_saved(
    handset: Handset, host: Host, next_files: dict[str, bytes], tmp_path: Path,
) -> None:
    """A broken new build changes nothing; a whole one is offered, waits for the person, and finds every record."""
    handset.python(BEFORE)
    before = handset.python(ALL)
    handset.reload()
    handset.tap("Log a windfall")
    handset.see(OLD, timeout=60_000)
    handset.tap("5", exact=True)

    # A host that lost the end of one file: the new build is not whole, and is not offered.
    broken = tmp_path / "broken"
    write_folder(broken, {**next_files, "app.tar.gz": next_files["app.tar.gz"][:-1000]})
    host.folder = broken
    host.stop()
    host.start()
    look = """() => navigator.serviceWorker.getRegistration().then(found => found.update()).then(
        found => found.installing ? new Promise(done => {
            found.installing.onstatechange = event => done(event.target.state); })
            : found.waiting ? "installed" : "redundant")"""
    assert handset.page.evaluate(look) == "redundant"
    assert "update" not in handset.data()

    whole = tmp_path / "whole"
    write_folder(whole, next_files)
    host.folder = whole
    host.stop()
    host.start()
    assert handset.page.evaluate(look) == "installed"
    handset.told("update", "ready")
    handset.see("3.9 kg (3.8–4.1)")  # the entry that is being made is still there: 5 kg less the usual pail
    handset.shot("phone-update")
    assert OLD in handset.words()
    with handset.page.expect_navigation(timeout=START):
        handset.page.get_by_role("button", name="Use it now").click()
    handset.started()
    assert handset.python(ALL) == before
    host.stop()
    handset.flight_mode()
    handset.reload()
    assert handset.python(ALL) == before
    handset.see(NEW, timeout=60_000)  # the screen that was open, as the new build draws it
    names = handset.page.evaluate("() => caches.keys()")
    assert len({name.rpartition("-")[2] for name in names}) == 1, f"the old build is still kept: {names}"
