"""Designs to start from."""

from __future__ import annotations

from functools import cache

import msgspec

from desk.design.model import Design
from desk.resources import table as resource_table


@cache
def starting_design() -> Design:
    """The complete cabinet for 16 mm marbles that a new document opens with."""
    return msgspec.convert(resource_table("starting.toml"), Design, strict=True)
