"""Settings for all tests."""

import os

import pytest
from hypothesis import HealthCheck, settings

from field_app.core.habits import PLAIN, go_by

# A slow machine is no fault of what is tested; speed is measured by the benchmarks alone.
settings.register_profile("field", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("field")

# Whoever tried the program in this shell may have pointed it at data, or at another time.
for name in ("FIELD_APP_DATA", "FIELD_APP_NOW", "FIELD_APP_MEASURES", "FIELD_APP_DECIMAL", "FIELD_APP_DATES",
             "FIELD_APP_CLOCK", "FIELD_APP_LANGUAGE"):
    os.environ.pop(name, None)


@pytest.fixture(autouse=True)
def _plain_habits():
    """What one test is used to does not hold for the next."""
    yield
    go_by(PLAIN)
