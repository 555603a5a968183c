"""What every shop table shares: where a number is from, how sure it is, and the inch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Flag = Literal["published", "practice", "memory", "derived", "choice", "own"]
"""From a standard or handbook, common workshop practice, from memory, worked out from these, our own choice, or the
person's own value."""

INCH = 25.4
"""mm."""


@dataclass(frozen=True)
class Source:
    """Where a number comes from and how sure it is."""

    text: str
    flag: Flag
