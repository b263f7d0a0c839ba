"""No test here is measured by the clock: two cores are shared with whatever else runs."""

from hypothesis import settings

settings.register_profile("quantities", deadline=None)
settings.load_profile("quantities")
