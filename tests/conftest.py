"""In CI every run draws the same examples, so that a change is judged by what it changes."""

import os

from hypothesis import settings

settings.register_profile("ci", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("ci")
