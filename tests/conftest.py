"""How many examples the laws try: few every day, many on `HYPOTHESIS=deep`; no clock judges."""

import os

from hypothesis import HealthCheck, settings

settings.register_profile(
    "everyday", max_examples=50, deadline=None, derandomize=True, database=None
)
settings.register_profile(
    "deep",
    max_examples=5000,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile(os.environ.get("HYPOTHESIS", "everyday"))
