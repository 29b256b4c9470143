"""The tasks that the page may ask for by name; the server knows no more of them."""

from __future__ import annotations

FOLLOW_UPS = frozenset({"finish-round", "keep", "pick", "print", "widths"})
"""On a job that is over, which runs again: told of and settled like planning itself."""
QUESTIONS = frozenset({"change-over", "check", "client", "cutting", "layout"})
"""About a job, short, answered at once by the reader's process."""
PAPER = frozenset({"corners", "sheet", "sizes", "trace"})
"""About photographs, patterns and drawings, whose content comes along; answered at once, too."""
