"""What the window remembers between sessions: recent files, the look, folders, its place on the screen.

Everything structured is kept as one JSON string, because settings files give lists and numbers back as text.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from PySide6.QtCore import QByteArray, QSettings

RECENT = 10
LAYOUT_VERSION = 1


class Store:
    """Typed access to the settings."""

    def __init__(self, settings: QSettings) -> None:
        self._settings = settings

    def _read(self, key: str) -> Any:
        text = str(self._settings.value(key, "", type=str))
        try:
            return json.loads(text) if text else None
        except ValueError:
            return None

    def _write(self, key: str, value: object) -> None:
        self._settings.setValue(key, json.dumps(value))

    def recent(self) -> list[Path]:
        """Files opened or saved lately, the latest first."""
        found = self._read("recent")
        return [Path(p) for p in found if isinstance(p, str)] if isinstance(found, list) else []

    def add_recent(self, path: Path) -> None:
        """Put a file at the head of the recent ones."""
        whole = path.resolve()
        rest = [p for p in self.recent() if p != whole]
        self._write("recent", [str(p) for p in [whole, *rest][:RECENT]])

    def look(self) -> str:
        """ "light", "dark", or "system"."""
        found = self._read("look")
        return found if found in ("light", "dark") else "system"

    def set_look(self, look: str) -> None:
        """Remember the look."""
        self._write("look", look)

    def folder(self, purpose: str) -> Path:
        """The folder last used for a purpose; the home folder at first or when it is gone."""
        found = self._read(f"folder {purpose}")
        path = Path(found) if isinstance(found, str) else Path.home()
        return path if path.is_dir() else Path.home()

    def set_folder(self, purpose: str, folder: Path) -> None:
        """Remember the folder used for a purpose."""
        self._write(f"folder {purpose}", str(folder))

    def bytes_of(self, key: str) -> QByteArray:
        """A saved state of a window or splitter; empty when there is none of this version."""
        found = self._read(f"{key} {LAYOUT_VERSION}")
        return QByteArray.fromBase64(QByteArray(found.encode())) if isinstance(found, str) else QByteArray()

    def set_bytes(self, key: str, data: QByteArray) -> None:
        """Save the state of a window or splitter."""
        self._write(f"{key} {LAYOUT_VERSION}", data.toBase64().toStdString())

    def forget_layout(self, keys: tuple[str, ...]) -> None:
        """Forget where the window and its parts were."""
        for key in keys:
            self._settings.remove(f"{key} {LAYOUT_VERSION}")
