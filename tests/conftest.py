"""Test settings that hold everywhere."""

from hypothesis import settings

# The same examples in every run, so that a failure is the change's and not the dice's.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")
