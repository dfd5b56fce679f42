"""Every screen speaks the language of the person, with records and without."""

from __future__ import annotations

import asyncio
import datetime as dt
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from field_app.core.habits import PLAIN, go_by
from field_app.ids import new_id
from field_app.store import open_book
from field_app.ui import Services, screens
from field_app.words import LANGUAGES
from tests.ui.driver import Driver
from tests.words.unspoken import SEASON, addresses, bracketed, typed, unspoken

#: The same in every language: botanical names, a paper size, bytes, the names of languages; and what is typed for an
#: old recipe, in English.
SAME = re.compile(r"(Juglans|Quercus|Alnus|Betula|Castanea|Salix|Tsuga|Frangula)\b.*|Letter|[\d.,]+ [kMG]B"
                  r"|wool 20 yd 54 in heavy|2 pails fresh hull|English|Deutsch")
#: What can be looked at while there is no record.
EMPTY = ("/", "/trees", "/trees/new", "/trees/season", "/trees/past", "/trees/come-back", "/lots", "/lots/labels",
         "/lots/find", "/dye-day", "/dye-day/plan/new", "/dye-day/colour", "/dye-day/cloth", "/dye-day/need",
         "/dye-day/old", "/dye-day/hand-over", "/dye-day/share", "/round", "/windfall", "/materials", "/pots",
         "/this-device", "/shown", "/nowhere")


@pytest.fixture
def spoken() -> Iterator[None]:
    yield
    go_by(PLAIN)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    folder = tmp_path_factory.mktemp("words") / "demo"
    subprocess.run([sys.executable, "-m", "field_app.cli", "demo", str(folder)], check=True, capture_output=True)
    book = open_book(folder, clock=lambda: dt.datetime.fromisoformat(SEASON), new_id=new_id)
    yield book
    book.close()


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Any]:
    book = open_book(tmp_path / "book", clock=lambda: dt.datetime.fromisoformat(SEASON), new_id=new_id)
    yield book
    book.close()


def past_the_catalogue(book: Any, routes: list[str]) -> list[str]:
    """What the screens show that came neither from the catalogue nor from what somebody typed."""
    known, found = typed(book), []

    async def look(route: str) -> None:
        d = await Driver.open(screens(Services(book=book)), route=route)
        await d.settle(80)
        d.check_alive()
        found.extend(f"{route}: {text}" for _, text in unspoken(d.top(), known) if not SAME.fullmatch(text))

    with bracketed():
        for route in routes:
            asyncio.run(look(route))
    return found


def test_a_season_of_records_is_shown_in_words_of_the_catalogue(demo: Any) -> None:
    """No screen of the demo shows a word past the catalogue."""
    assert past_the_catalogue(demo, addresses(demo)) == []


def test_an_empty_book_is_shown_in_words_of_the_catalogue(empty: Any) -> None:
    """Nor does one that has nothing to show yet."""
    assert past_the_catalogue(empty, list(EMPTY)) == []


@pytest.mark.parametrize("language", [code for code in LANGUAGES if code != "en"])
def test_every_screen_opens_in_every_language(demo: Any, spoken: None, language: str) -> None:
    """Each place of a text can be filled in each language, on every screen."""
    async def look(route: str) -> None:
        d = await Driver.open(screens(Services(book=demo, said={"language": language})), route=route)
        await d.settle(80)
        d.check_alive()
        assert not d.find("error-home"), route
        assert d.texts(), route

    for route in addresses(demo):
        asyncio.run(look(route))
