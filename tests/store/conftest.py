"""Logs that are closed when a test ends."""

import itertools

import pytest

from field_app.store.log import Log


@pytest.fixture
def opened(tmp_path):
    """Opens the log of a folder, by default one named "data", with a device id that was not used before."""
    logs, devices = [], itertools.count(1)

    def open_log(name="data", *, device=""):
        log = Log(tmp_path / name, new_device=device or f"{next(devices):016x}")
        logs.append(log)
        return log

    yield open_log
    for log in logs:
        log.close()


@pytest.fixture
def log(opened):
    """An empty log in a new folder."""
    return opened()
