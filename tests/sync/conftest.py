"""Devices that are closed at the end of a test."""

import pytest

from tests.sync.island import START, Device


@pytest.fixture
def devices(tmp_path):
    """Makes devices, each in a folder of its own beside a folder that they may share."""
    made = []

    def make(number=None, *, now=START, folder=None):
        number = len(made) + 1 if number is None else number
        made.append(Device(folder or tmp_path / f"data-{number}", number, now=now))
        return made[-1]

    yield make
    for device in made:
        device.close()


@pytest.fixture
def shared(tmp_path):
    """A folder that several devices share."""
    folder = tmp_path / "shared"
    folder.mkdir()
    return folder
