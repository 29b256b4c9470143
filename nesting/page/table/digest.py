"""What stands in a page, named in its policy."""

from __future__ import annotations

import base64
import hashlib


def digest(text: str) -> str:
    """As a policy names a script or style that may stand in the page (CSP level 3, 8.3)."""
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"
