"""Every check's cabinets, one module a group of checks; ``PAIRS`` is all of them by the check's id."""

from __future__ import annotations

import importlib
import pkgutil

from tests.checks.pairs.base import Pair

PAIRS: dict[str, Pair] = {}
for _module in pkgutil.iter_modules(__path__):
    if _module.name == "base":
        continue
    _own: dict[str, Pair] = importlib.import_module(f"{__name__}.{_module.name}").PAIRS
    if PAIRS.keys() & _own.keys():
        raise ValueError(f"{_module.name} repeats {sorted(PAIRS.keys() & _own.keys())}")
    PAIRS.update(_own)
