"""What is on offer for a dye day, and what is said of it."""

import pytest

from field_app.core.facts import LotFacts
from field_app.core.records import Draft
from field_app.handover import PlannerOptions
from field_app.ui.hand_over_choice import inside_words
from tests.ui.fieldwork import DAY, FieldBag, made, play, rows, three


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_cautions_of_handing_over(bag):
    """What moves from one place to another has its rules; they are told once each."""
    async def walk():
        three(bag)
        d = await bag.open("/dye-day/hand-over")
        assert d.texts().count("Moving walnuts in the hull to California") == 1
        assert "Moving walnut wood and bark" not in d.texts()
    play(walk)


def test_stuff_of_a_newer_version_is_not_on_offer(bag):
    """What this version can't describe is named and left out; the rest goes."""
    async def walk():
        good, _, dry = three(bag)
        facts = LotFacts.model_validate({
            "site": good.facts.site, "material": "lichen", "part": "thallus", "basis": "weighed",
            "gathered": DAY.isoformat(), "gross": {"value": "2", "unit": "kg"}})
        thing = "urn:uuid:00000000-0000-7000-8000-0000000000ff"
        bag.book.log_book.append([Draft(thing, "lot", facts.as_json())], now_ms=int(DAY.timestamp() * 1000))
        d = await bag.open("/dye-day/hand-over", replies={"save_file": "/home/lots.zip"})
        assert f"Not on offer: {bag.book.lot(thing).code}" in d.texts()
        data = await made(d)
        assert {row["code"] for row in rows(data, "lots.csv")} == {good.code, dry.code}
        d.check_alive()
    play(walk)


def test_the_words_on_what_is_inside_follow_the_options(bag):
    """Each rounding that the file can have has its words."""
    site = bag.book.site(bag.tree("Mill lane"))
    lot = bag.lot(site.id)
    told = {places: inside_words((lot,), (site,), PlannerOptions(places=places))[1] for places in (1, 2, 3, 5, None)}
    assert "about 10 km" in told[1]
    assert "about 1 km" in told[2]
    assert "about 100 m" in told[3]
    assert "5 decimals" in told[5]
    assert "exactly" in told[None]
    assert all(text.startswith("Where 1 tree stands,") for text in told.values())
