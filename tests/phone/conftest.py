"""Fixtures for tests of the phone's app in a real browser.

Without Chromium, Playwright or the package index they are skipped; with FIELD_APP_NEED_BROWSER=1 they fail instead.
"""

from __future__ import annotations

import itertools
import os
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
#: Files that need no browser.
PLAIN = {"test_pack.py", "test_serve.py"}


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
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder as the command builds it."""
    folder = tmp_path_factory.mktemp("phone") / "folder"
    try:
        build(folder, say=lambda _: None)
    except FolderFault as fault:
        _missing(str(fault.problem))
    return folder


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


@pytest.fixture
def host(built: Path) -> Iterator[Host]:
    """A host with the built folder."""
    place = Host(built)
    yield place
    place.stop()


@pytest.fixture
def new_handset(playwright: Playwright, chromium: str, tmp_path: Path) -> Iterator[Callable[[], Handset]]:
    """Makes phones; afterwards none of them may have asked another host, or met an error in its page."""
    shots = Path(os.environ.get("FIELD_APP_SHOTS") or tmp_path / "shots")
    shots.mkdir(parents=True, exist_ok=True)
    world, phones, turn = Elsewhere(), [], itertools.count()

    def make() -> Handset:
        phones.append(Handset(playwright, tmp_path / f"profile-{next(turn)}", chromium, world, shots))
        return phones[-1]

    yield make
    for phone in phones:
        phone.close()
    world.close()
    assert [url for phone in phones for url in phone.left] == []
    assert world.asked() == []
    assert [error for phone in phones for error in phone.errors] == []


@pytest.fixture
def handset(new_handset: Callable[[], Handset], host: Host) -> Handset:
    """A phone that has the app, whole, and works without the host from here on."""
    phone = new_handset()
    phone.open(host.address)
    phone.told("offline", "ready")
    return phone
