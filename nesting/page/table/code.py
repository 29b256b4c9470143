"""An address as a square code for the terminal, for a phone to read."""

from __future__ import annotations

_QUIET = 4
"""Empty modules on each side (ISO/IEC 18004, 7.3.2)."""
_HALVES = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}


def code(text: str) -> str:
    """The code in half blocks, two rows of it a line; empty where no encoder is installed."""
    try:
        import cv2
    except ImportError:
        return ""
    image = cv2.QRCodeEncoder.create().encode(text)
    rows, columns = (image < 128).nonzero()  # without the margin that it comes with
    inner = image[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1] >= 128
    # Light on dark terminals: what is lit is paper.
    size = len(inner) + 2 * _QUIET
    lit = [[1] * size for _ in range(size + size % 2)]
    for y, line in enumerate(inner.tolist()):
        lit[y + _QUIET][_QUIET : _QUIET + len(line)] = [int(one) for one in line]
    return "\n".join(
        "".join(_HALVES[top, low] for top, low in zip(lit[y], lit[y + 1], strict=True))
        for y in range(0, len(lit), 2)
    )
