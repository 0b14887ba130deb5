"""One profile for hypothesis: the same examples at every run, and no limit on the time of one."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "griplife", deadline=None, derandomize=True, max_examples=60, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("griplife")
