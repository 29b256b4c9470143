"""Two profiles of hypothesis: a third of the examples at once, all of them in the long run.

In CI the quick run draws the same examples every time, so that a change is judged by what it
changes. The long one draws new ones, by a seed that `.ci/run` prints.
"""

import os

from hypothesis import settings

settings.register_profile("quick", max_examples=33, derandomize=bool(os.environ.get("CI")))
settings.register_profile("long", max_examples=100, derandomize=False)
settings.load_profile("quick")
