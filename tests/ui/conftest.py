"""What several tests of the screens stand on."""

import pytest

from tests.sync.island import Device


@pytest.fixture
def devices(tmp_path):
    """Makes devices of several people, each with a data folder of its own."""
    made = []

    def make(**how):
        made.append(Device(tmp_path / f"data-{len(made) + 1}", len(made) + 1, **how))
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
