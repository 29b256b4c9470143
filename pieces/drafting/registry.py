"""The drafts an order may ask for, by name: those of every module here, or in a room here."""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator, Mapping
from functools import cached_property
from importlib import import_module

from pieces import drafting
from pieces.drafting.kind import DraftKind


class _Drafts(Mapping[str, DraftKind]):
    """Found when first asked for, as some of the modules that are looked through ask, too."""

    @cached_property
    def _kinds(self) -> dict[str, DraftKind]:
        found: list[DraftKind] = []
        for module in pkgutil.walk_packages(drafting.__path__, f"{drafting.__name__}."):
            found += getattr(import_module(module.name), "KINDS", ())
        return {kind.name: kind for kind in sorted(found, key=lambda kind: kind.place)}

    def __getitem__(self, name: str) -> DraftKind:
        return self._kinds[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._kinds)

    def __len__(self) -> int:
        return len(self._kinds)


DRAFTS: Mapping[str, DraftKind] = _Drafts()
"""In the order in which they are listed for the reader."""
