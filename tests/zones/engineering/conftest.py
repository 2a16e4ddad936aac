"""Property tests judge results, not the speed of a machine that others use too; speed: tests/benchmarks."""

from hypothesis import HealthCheck, settings

settings.register_profile("no deadline", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("no deadline")
