"""Settings for all tests."""

from hypothesis import HealthCheck, settings

# A slow machine is no fault of what is tested; speed is measured by the benchmarks alone.
settings.register_profile("field", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("field")
