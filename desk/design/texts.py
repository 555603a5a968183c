"""What a text in a design must keep to."""

from __future__ import annotations

import re

from desk.resources import table as resource_table

LONGEST_NAME = 200
LONGEST_NOTES = 20_000
_KEY = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,23}")


def _carved() -> frozenset[str]:
    """Characters that can stand in the lettering."""
    return frozenset(resource_table("letters.toml")["letters"]) | {" "}


def _shown() -> str:
    return "".join(sorted(_carved())).strip()


def text_fault(field: str, text: str) -> str | None:
    """Why a text cannot stand in this field (name, notes, header_text, id, label, material), or None."""
    allowed = "\n\t" if field == "notes" else ""
    if any((not c.isprintable() and c not in allowed) for c in text):
        return f"{field} holds a character that cannot be printed"
    longest = LONGEST_NOTES if field == "notes" else LONGEST_NAME
    if len(text) > longest:
        return f"{field} has {len(text)} characters; at most {longest} are kept"
    if field == "id" and not _KEY.fullmatch(text):
        return f"id '{text}' must be 1 to 24 letters, digits, '-' or '_', and start with a letter or digit"
    if field == "header_text" and (strange := sorted({c for c in text.upper() if c not in _carved()})):
        return f"header_text holds {' '.join(strange)}, for which there is no carved letter; there are {_shown()}"
    if field in ("name", "label", "material", "size") and not text.strip():
        return f"{field} is empty"
    return None
