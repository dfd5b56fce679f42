"""The power may go at any moment: what was acknowledged is there, and what was not is not there by halves."""

import os
import random

import pytest

from tests.durability.crashes import SETTINGS, crash
from tests.durability.disks import image

LONG = bool(os.environ.get("FIELD_APP_LONG"))
IMAGES = 20_000 if LONG else 400

pytest.importorskip("apsw", reason="the package apsw lends SQLite a disk that forgets")


def test_nothing_is_lost_when_the_power_goes():
    """In every image of the disk the store finds all acknowledged saves, whole, and can save again."""
    found = crash(IMAGES)
    assert (found["images"], found["inconsistent"], found["lost"]) == (IMAGES, 0, 0)


@pytest.mark.parametrize(("words", "fault"), [("journal delete, synchronous full", "lost"),
                                              ("journal memory, synchronous full", "inconsistent")])
def test_settings_that_lose_data_are_caught(words, fault):
    """With a setting that is known to lose data the same images show the loss, so the test can see one."""
    more, holds = SETTINGS[words]
    assert not holds
    found = crash(IMAGES // 4, more)
    assert found[fault] > IMAGES // 100


DEEDS = [("write", "a", 0, b"x" * 1024), ("sync", "a", False), ("write", "a", 0, b"y" * 1024), ("create", "b"),
         ("write", "b", 0, b"z"), ("sync", "b", True), ("delete", "b", False), ("truncate", "a", 10)]


def images(until):
    return [image(DEEDS, until, random.Random(seed), ["a"]) for seed in range(300)]


def test_the_disk_keeps_what_was_synced_and_forgets_the_rest():
    """In the model itself, what was synced is there; what was not may be there, be gone, or be torn by sectors."""
    assert {one["a"] for one in images(2)} == {b"x" * 1024}
    torn = {b"x" * 512 + b"y" * 512, b"y" * 512 + b"x" * 512}
    assert {one["a"] for one in images(3)} == {b"x" * 1024, b"y" * 1024, *torn}


def test_names_of_files_last_only_when_their_folder_was_synced():
    """A new file may be gone until then, and a removed one may be back."""
    assert {one.get("b") for one in images(5)} == {None, b"", b"z"}
    assert {one.get("b") for one in images(6)} == {b"z"}
    assert {one.get("b") for one in images(7)} == {b"z", None}
    assert {len(one["a"]) for one in images(8)} == {1024, 10}
