"""The scale and the weighed sample of a load reach other devices as they were told."""

import pytest

from field_app.core.gather import WindfallForm
from field_app.sync import group_bytes, merge_bytes
from tests.ui.fieldwork import FieldBag


@pytest.fixture
def bags(tmp_path):
    made = [FieldBag(tmp_path / name) for name in ("one", "two")]
    yield made
    for bag in made:
        bag.book.close()


@pytest.mark.parametrize("form", [
    {"gross": "14.2", "tare": "1.1", "division": "20", "scale": "III"},
    {"count": "170", "sample": "680; 705; 722", "sample_each": "10"}])
def test_two_books_meet(bags, form):
    """What one device was told of scale and sample, the other shows with the same range."""
    mine, other = bags
    site = mine.tree("Mill lane")
    lot = mine.book.log(WindfallForm("black-walnut", "whole-fruit", site=site, **form))
    merge_bytes(other.book, group_bytes(mine.book), "the other device")
    found, = other.book.lots()
    assert found.facts == lot.facts
    assert found.net == lot.net
