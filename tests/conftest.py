"""Settings for all tests."""

import os

from hypothesis import HealthCheck, settings

# A slow machine is no fault of what is tested; speed is measured by the benchmarks alone.
settings.register_profile("field", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("field")

# Whoever tried the program in this shell may have pointed it at data, or at another time.
for name in ("FIELD_APP_DATA", "FIELD_APP_NOW"):
    os.environ.pop(name, None)
