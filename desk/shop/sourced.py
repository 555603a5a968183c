"""What every shop table shares: how sure a number is, and the inch."""

from __future__ import annotations

from typing import Literal

Flag = Literal["published", "practice", "memory", "derived", "choice"]
"""From a standard or handbook, common workshop practice, from memory, worked out from these, or our own choice."""

INCH = 25.4
"""mm."""
