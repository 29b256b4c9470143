"""Photographs opened with limits: pixels alone are kept, never what a phone writes beside them."""

from __future__ import annotations

import io
import warnings
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pieces.errors import Fault, OrderFault
from pieces.files import contents
from pieces.trace.board import opencv

Picture = NDArray[np.uint8]
"""Rows of pixels, each blue, green and red."""
LARGEST_BYTES = 80_000_000
MOST_PIXELS = 64_000_000
_LEAST_PIXELS = 1_000_000


def refused(path: Path, message: str, remedy: str) -> OrderFault:
    """The fault to raise where a photograph can't be taken."""
    return OrderFault([Fault(str(path), "", message, remedy)])


def opened(path: Path) -> Picture:
    """The pixels of a photograph, upright as it was taken.

    Raises
    ------
    OrderFault : it can't be read, is none, or is too large or too small
    """
    from PIL import Image  # comes with what draws our plans

    cv2: Any = opencv()
    too_large = ("The file is far too large for a photograph.", "Save it as JPEG.")
    data = contents(path, "photograph", LARGEST_BYTES, too_large)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data)) as image:
                wide, tall = image.size
    except Exception as error:  # damaged files fail in whatever way the library has
        raise _none(path) from error
    if wide * tall > MOST_PIXELS:
        raise refused(
            path,
            f"It has {wide * tall / 1e6:.0f} million pixels, more than the "
            f"{MOST_PIXELS / 1e6:.0f} that are read.",
            "Take it with fewer; 12 million are plenty.",
        )
    if wide * tall < _LEAST_PIXELS:
        raise refused(
            path,
            f"It has {wide} by {tall} pixels, too few to measure by.",
            "Send the photograph itself and no small copy of it; 12 million pixels are good.",
        )
    found = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    if found is None:
        raise _none(path)
    result: Picture = found
    return result


def _none(path: Path) -> OrderFault:
    return refused(
        path,
        "This is no photograph that can be read, or it is damaged.",
        "Save it as JPEG or PNG.",
    )
