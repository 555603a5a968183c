"""Shared by all tests: no screen, the same random cases on every run, deepest layer first."""

from __future__ import annotations

import os

import pytest
from hypothesis import settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")

ORDER = (
    "test_units",
    "shapes",
    "design",
    "shop",
    "cabinet",
    "ball",
    "checks",
    "flat",
    "views",
    "test_",
    "ui",
)
"""Where tests lie, bottom layer first, so that the first failure is the deepest cause."""


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Run the tests in the order of the layers they test."""
    here = config.rootpath / "tests"

    def depth(item: pytest.Item) -> int:
        place = str(item.path.relative_to(here)) if item.path.is_relative_to(here) else ""
        return next((k for k, start in enumerate(ORDER) if place.startswith(start)), len(ORDER))

    items.sort(key=depth)
