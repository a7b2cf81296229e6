"""Settings that every test shares."""

from hypothesis import settings

# The same examples on every machine and day: a failure found elsewhere is found here too. Seeds that failed
# are kept as tests of their own. No deadline: a busy machine is no fault of the code.
settings.register_profile("repeatable", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("repeatable")
