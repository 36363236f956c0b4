"""Settings every test shares."""

from hypothesis import settings

# Drawn examples are the same on every machine and in every run: a find becomes an @example.
settings.register_profile("same", derandomize=True, database=None, deadline=None, max_examples=100)
settings.load_profile("same")
