"""Temperatures of two devices that meet."""

import pytest

from field_app.core.weather import WeatherForm, warmth_id
from field_app.store import take_weather, warmth_series
from tests.sync.island import START, Device

HEAD = "date,min (°C),max (°C)\n"


@pytest.fixture
def two(tmp_path):
    made = [Device(tmp_path / f"data-{number}", number, now=START) for number in (1, 2)]
    yield made
    for device in made:
        device.close()


def meet(one, other):
    texts = one.texts(), other.texts()
    other.book.log_book.take_in_texts(texts[0], now_ms=0)
    one.book.log_book.take_in_texts(texts[1], now_ms=0)


def test_both_end_with_the_same_days_and_the_difference_is_told(two):
    """The same year taken in on two devices with other values: one record, the same days on both, and a difference."""
    one, other = two
    take_weather(one.book, WeatherForm(f"{HEAD}2026-09-01,9,21\n", name="mill"))
    take_weather(other.book, WeatherForm(f"{HEAD}2026-09-01,10,22\n", name="mill"))
    meet(one, other)
    assert warmth_series(one.book) == warmth_series(other.book) != ()
    (difference,) = one.book.differences(warmth_id("mill", 2026))
    assert difference.about == "temperatures"
    assert len(list(one.texts())) == 2


def test_a_table_taken_in_after_meeting_settles_it(two):
    """Taken in again once both are known, the record follows both, so nothing is apart any more."""
    one, other = two
    take_weather(one.book, WeatherForm(f"{HEAD}2026-09-01,9,21\n"))
    take_weather(other.book, WeatherForm(f"{HEAD}2026-09-01,10,22\n"))
    meet(one, other)
    take_weather(one.book, WeatherForm(f"{HEAD}2026-09-01,9.5,21.5\n2026-09-02,8,20\n"))
    meet(one, other)
    for device in two:
        assert device.book.differences(warmth_id("", 2026)) == ()
        (series,) = warmth_series(device.book)
        assert sorted(series.days.values()) == [(8, 20), (9.5, 21.5)]
