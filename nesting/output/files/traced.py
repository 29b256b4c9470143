"""What a photograph gave: the pieces as SVG to plan from or edit, and drawn over it to look at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from pieces.geometry import bounds
from pieces.piece import Outline
from pieces.trace.board import opencv
from pieces.trace.tracing import Traced, Tracing

_GAP_MM = 20.0
_WIDEST_PX = 2000
_RED, _WHITE = (40, 40, 220), (255, 255, 255)


def pieces_svg(pieces: Sequence[Traced]) -> bytes:
    """The pieces side by side, true to size in mm, each a path; as `file` of an order reads it."""
    placed: list[tuple[Outline, float]] = []
    x = _GAP_MM
    tall = 0.0
    for piece in pieces:
        left, low, right, high = bounds(piece.outline)
        placed.append((tuple((a - left + x, high - b + _GAP_MM) for a, b in piece.outline), x))
        x += right - left + _GAP_MM
        tall = max(tall, high - low)
    wide, tall = x, tall + 2 * _GAP_MM
    paths = "\n".join(
        f'<path id="piece-{number}" d="M{" L".join(f"{a:.3f} {b:.3f}" for a, b in outline)} Z"/>'
        for number, (outline, _) in enumerate(placed, 1)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.3f}mm" height="{tall:.3f}mm" '
        f'viewBox="0 0 {wide:.3f} {tall:.3f}">\n'
        f'<g fill="none" stroke="black" stroke-width="0.4">\n{paths}\n</g>\n</svg>\n'
    ).encode()


def over_photograph(tracing: Tracing) -> bytes:
    """The photograph with each outline as it was taken and the error to expect, as PNG."""
    cv2: Any = opencv()
    picture = tracing.picture
    shrink = min(1.0, _WIDEST_PX / max(picture.shape[:2]))
    seen = cv2.resize(picture, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    for number, piece in enumerate(tracing.pieces, 1):
        mm = np.array(piece.outline) * (1.0, -1.0)
        ring = (tracing.camera.in_picture(mm) + 0.5) * shrink - 0.5
        drawn = np.round(ring * 16).astype(np.int32)
        cv2.polylines(seen, [drawn], True, _RED, 2, cv2.LINE_AA, 4)
        for x, y in drawn:
            cv2.circle(seen, (int(x), int(y)), 40, _RED, -1, cv2.LINE_AA, 4)
        text = f"piece-{number}: within {piece.within_mm:.1f} mm"
        middle = ring.mean(axis=0)
        at = (int(middle[0] - 9 * len(text)), int(middle[1]))
        for colour, width in ((_WHITE, 8), (_RED, 2)):
            cv2.putText(seen, text, at, cv2.FONT_HERSHEY_SIMPLEX, 1.0, colour, width, cv2.LINE_AA)
    _, data = cv2.imencode(".png", seen)
    return bytes(data)
