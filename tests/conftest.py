"""For all tests: property tests are not timed example by example, on however slow a machine."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "calm", deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
settings.load_profile("calm")
