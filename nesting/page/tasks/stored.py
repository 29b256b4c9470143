"""A plan in its job's folder, to go on from: also in another process, and after a restart.

A plan that the shelf kept may come from elsewhere, so only dataclasses, enumerations and sentences
of our own are read back (Python's manual, pickle, "Restricting Globals"). The fields that they had
when it was stored are told by a digest: a release whose plans have other fields does not take it
for its own.
"""

from __future__ import annotations

import hashlib
import io
import pickle
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from pathlib import Path
from typing import Any

from nesting.fabric.plans import Plan
from pieces.errors import Fault, OrderFault
from pieces.wording import Wording

PLAN_PICKLE = "plan.pickle"
_OURS = ("nesting.", "pieces.")
_DIGEST_BYTES = 32
_REMEDY = "Its drawings are whole; plan the order again to change the layout."


def store(made: Plan, folder: Path) -> None:
    """Leave a plan in a job's folder."""
    content = pickle.dumps(made)
    (folder / PLAN_PICKLE).write_bytes(_Reader(content).digest() + content)


def stored(folder: Path) -> Plan:
    """The plan that was left there.

    Raises
    ------
    OrderFault : there is none, or another release has made it
    """
    try:
        content = (folder / PLAN_PICKLE).read_bytes()
        reader = _Reader(content[_DIGEST_BYTES:])
        if reader.digest() != content[:_DIGEST_BYTES] or not isinstance(reader.made, Plan):
            raise pickle.UnpicklingError
    except Exception as error:  # whatever damaged bytes end with
        raise OrderFault([Fault("", "", "This plan is from another release.", _REMEDY)]) from error
    return reader.made


class _Reader(pickle.Unpickler):
    """Reads a plan, and notes which classes it is made of."""

    def __init__(self, content: bytes) -> None:
        super().__init__(io.BytesIO(content))
        self._classes: dict[str, list[str]] = {}
        self.made = self.load()

    def find_class(self, module: str, name: str) -> Any:
        """One of our dataclasses, enumerations or sentences, or a decimal number; nothing else."""
        if (module, name) == ("decimal", "Decimal"):
            return Decimal
        if not module.startswith(_OURS) or "." in name:
            raise pickle.UnpicklingError(f"{module}.{name}")
        found = super().find_class(module, name)
        if found is Wording:
            return found
        if not isinstance(found, type) or not (is_dataclass(found) or issubclass(found, Enum)):
            raise pickle.UnpicklingError(f"{module}.{name}")
        members = fields(found) if is_dataclass(found) else found
        self._classes[f"{module}.{name}"] = [one.name for one in members]
        return found

    def digest(self) -> bytes:
        """Of the classes and their fields."""
        return hashlib.sha256(repr(sorted(self._classes.items())).encode()).digest()
