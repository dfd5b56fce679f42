"""Fixtures for tests in a real browser.

Without Chromium or Playwright these tests are skipped; with FIELD_APP_NEED_BROWSER=1 they fail instead.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.phone import FLAGS, Elsewhere, Phone, Served, find_chromium

if TYPE_CHECKING:
    from playwright.sync_api import Browser

HERE = Path(__file__).parent


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Every test of this folder carries the mark, so that ``-m "not browser"`` leaves them out."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker("browser")


def _missing(what: str) -> None:
    if os.environ.get("FIELD_APP_NEED_BROWSER"):
        pytest.fail(f"{what}, and FIELD_APP_NEED_BROWSER is set")
    pytest.skip(what)


@pytest.fixture(scope="package")
def elsewhere() -> Iterator[Elsewhere]:
    """What the browser meets in place of every other host."""
    world = Elsewhere()
    yield world
    world.close()


# Of this package and not of the whole run: while Playwright is open, its event loop runs in this thread, and
# tests elsewhere could not run one of their own.
@pytest.fixture(scope="package")
def chromium(elsewhere: Elsewhere) -> Iterator[Browser]:
    """One Chromium for all tests of this folder."""
    path = find_chromium()
    if path is None:
        _missing("there is no Chromium on this machine")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        _missing("Playwright is not installed")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=path, args=[*FLAGS, f"--proxy-server=http://127.0.0.1:{elsewhere.port}"])
        yield browser
        browser.close()


@pytest.fixture
def shots(tmp_path: Path) -> Path:
    """The folder for pictures: FIELD_APP_SHOTS, or one that goes away."""
    folder = Path(os.environ.get("FIELD_APP_SHOTS") or tmp_path / "shots")
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@pytest.fixture
def new_phone(chromium: Browser, elsewhere: Elsewhere, shots: Path) -> Iterator[Callable[..., Phone]]:
    """Makes phones; afterwards none of them may have asked another host, or met an error in its page."""
    phones: list[Phone] = []

    def make(**options: object) -> Phone:
        phones.append(Phone(chromium, shots, **options))  # type: ignore[arg-type]  # as the caller says
        return phones[-1]

    before = len(elsewhere.asked())
    yield make
    for phone in phones:
        phone.close()
    assert [url for phone in phones for url in phone.requests.left()] == []
    assert elsewhere.asked()[before:] == []
    assert [error for phone in phones for error in phone.errors] == []


@pytest.fixture
def phone(new_phone: Callable[..., Phone]) -> Phone:
    """One phone, which knows where it is."""
    return new_phone()


@pytest.fixture
def start_app(tmp_path: Path) -> Iterator[Callable[..., Served]]:
    """Starts the real program on a folder (an empty one, if none is named) and stops it afterwards.

    Each one must have ended cleanly, unless the test itself killed it.
    """
    programs: list[Served] = []

    def start(folder: Path | None = None, *options: str, as_of: str = "") -> Served:
        clock = {"FIELD_APP_NOW": as_of} if as_of else {}
        programs.append(Served(folder or tmp_path / "book", *options, environment=clock))
        return programs[-1]

    yield start
    for program in programs:
        killed = program.process.poll() is not None
        code = program.stop()
        assert killed or code == 0, "\n".join(program.said)
        assert not [line for line in program.said if "Traceback" in line], "\n".join(program.said)


@pytest.fixture
def app(start_app: Callable[..., Served]) -> Served:
    """The real program on an empty folder."""
    return start_app()
