"""Fixtures for tests of the phone's app in a real browser.

Without Chromium, Playwright or the package index they are skipped; with FIELD_APP_NEED_BROWSER=1 they fail instead.
The folder is built once, and one phone visits it once; each test gets a phone that remembers that visit.
"""

from __future__ import annotations

import itertools
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import pytest

from field_app.core.problems import FolderFault
from field_app.phone.build import build
from tests.browser.phone import Elsewhere, find_chromium
from tests.phone.handset import Handset, Host

if TYPE_CHECKING:
    from playwright.sync_api import Playwright

HERE = Path(__file__).parent
#: The folder does not lie at the root of its host, as on most hosts.
BASE = "/book/"
#: Files that need no browser.
PLAIN = {"test_icons.py", "test_pack.py", "test_records.py", "test_serve.py", "test_shelf.py"}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests of this folder that need a browser carry the mark, so that ``-m "not browser"`` leaves them out."""
    for item in items:
        if HERE in item.path.parents and item.path.name not in PLAIN:
            item.add_marker("browser")


def _missing(what: str) -> NoReturn:
    if os.environ.get("FIELD_APP_NEED_BROWSER"):
        pytest.fail(f"{what}, and FIELD_APP_NEED_BROWSER is set")
    pytest.skip(what)


@pytest.fixture(scope="package")
def chromium() -> str:
    """The browser's path."""
    path = find_chromium()
    if path is None:
        _missing("there is no Chromium on this machine")
    return path


@pytest.fixture(scope="package")
def playwright() -> Iterator[Playwright]:
    """What drives the browser."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        _missing("Playwright is not installed")
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="package")
def built(chromium: str, playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder as the command builds it."""
    folder = tmp_path_factory.mktemp("phone") / "folder"
    try:
        build(folder, base=BASE, say=lambda _: None)
    except FolderFault as fault:
        _missing(str(fault.problem))
    return folder


@pytest.fixture(scope="package")
def _house(built: Path) -> Iterator[Host]:
    house = Host(built)
    yield house
    house.stop()


@pytest.fixture
def host(_house: Host, built: Path) -> Iterator[Host]:
    """A host with the built folder, at one address for all tests."""
    yield _house
    _house.folder = built
    _house.stop()
    _house.start()


@pytest.fixture(scope="package")
def shots(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder for pictures: FIELD_APP_SHOTS, or one that goes away."""
    folder = Path(os.environ.get("FIELD_APP_SHOTS") or tmp_path_factory.mktemp("shots"))
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@pytest.fixture(scope="package")
def phones(playwright: Playwright, chromium: str, shots: Path) -> Iterator[Callable[[Path], Handset]]:
    """Makes phones; afterwards none of them may have asked another host, or met an error in its page."""
    world, made = Elsewhere(), []

    def make(profile: Path) -> Handset:
        made.append(Handset(playwright, profile, chromium, world, shots))
        return made[-1]

    yield make
    for phone in made:
        phone.close()
    world.close()
    assert world.asked() == []


@pytest.fixture(scope="package")
def visited(_house: Host, phones: Callable[[Path], Handset], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What a phone remembers that visited the host once, and was closed again."""
    profile = tmp_path_factory.mktemp("visited") / "profile"
    phone = phones(profile)
    phone.open(_house.address)
    phone.settled()
    phone.close()
    assert phone.complaints() == []
    return profile


@pytest.fixture
def new_handset(visited: Path, phones: Callable[[Path], Handset], tmp_path: Path) -> Iterator[Callable[[], Handset]]:
    """Makes phones that have the app, whole, and work without the host; their pages must end without an error."""
    made, turn = [], itertools.count()

    def make() -> Handset:
        profile = tmp_path / f"profile-{next(turn)}"
        shutil.copytree(visited, profile, symlinks=True, ignore=shutil.ignore_patterns("Singleton*"))
        made.append(phones(profile))
        return made[-1]

    yield make
    for phone in made:
        phone.close()
    assert [complaint for phone in made for complaint in phone.complaints()] == []


@pytest.fixture
def handset(new_handset: Callable[[], Handset], host: Host) -> Handset:
    """A phone on which the app is open."""
    phone = new_handset()
    phone.open(host.address)
    return phone
