"""On every screen, what a person chose holds for every figure and every day that is shown."""

import asyncio

import pytest

from field_app.core.habits import Habits
from field_app.store import keep_habits
from tests.ui.everywhere import METRIC, MONTHS, POINT, POUNDS, full_book, lines, open_folds, read, routes, typed

#: What is wrong to show, by how one is used to it.
CHOICES = {
    "us, comma, iso": (Habits("us", decimal=",", dates="iso", clock="12"),
                       (("metric", METRIC), ("a point", POINT), ("a month", MONTHS))),
    "imperial, month first": (Habits("imperial", dates="month-day", hand="left"), (("metric", METRIC),)),
    "metric": (Habits(), (("pounds", POUNDS),)),
}
#: What is meant to be so: the choices show themselves, and an old recipe is typed in old measures.
MEANT = {("/shown", "Text.value"), ("/dye-day/old", "TextField.hint_text")}


@pytest.mark.parametrize("name", CHOICES)
def test_every_screen_follows_the_choice(tmp_path, monkeypatch, name):
    """With every fold open, no screen shows a figure or a day in another way than the person chose."""
    chosen, wrong = CHOICES[name]
    open_folds(monkeypatch)
    book = full_book(tmp_path / "demo")
    keep_habits(book.log_book, chosen)
    known, found = typed(book), []
    for route in routes(book):
        for where, text in asyncio.run(read(book, route)):
            if (route, where) in MEANT:
                continue
            rest = lines(text, known)
            found += [(route, where, what, text) for what, sign in wrong if sign.search(rest)]
    book.close()
    assert not found, "\n".join(map(str, dict.fromkeys(found)))
