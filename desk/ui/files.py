"""New, open, save, recent, and never losing work: what a document window does with files.

Reading and writing are imported when first needed, so that the window opens fast.
"""

from __future__ import annotations

import re
from pathlib import Path

from PySide6.QtWidgets import QWidget

from desk.design.starting import starting_design
from desk.ui import ask
from desk.ui.document import Document
from desk.ui.pace import Pace
from desk.ui.recovery import Recovery
from desk.ui.store import Store

QUIET = 5.0
"""Seconds without a change before a snapshot is written."""


class Files:
    """The file side of one document."""

    def __init__(
        self, window: QWidget, document: Document, store: Store, recovery: Recovery, pace: Pace
    ) -> None:
        self._window, self._document, self._store = window, document, store
        self._recovery, self._pace = recovery, pace
        document.designed.connect(self._changed)

    def new(self) -> bool:
        """Start over with the starting design."""
        if not self.may_leave():
            return False
        self._document.open(starting_design(), None)
        return True

    def open(self) -> bool:
        """Ask for a file and open it."""
        if not self.may_leave():
            return False
        path = ask.file_to_open(self._window, self._store.folder("designs"))
        return path is not None and self.read(path)

    def open_path(self, path: Path) -> bool:
        """Open this file, asking about unsaved changes first."""
        return self.may_leave() and self.read(path)

    def read(self, path: Path) -> bool:
        """Open this file; when it cannot be read, show every problem and keep the document."""
        from desk.design.file import DesignFileError, load

        try:
            design = load(path)
        except DesignFileError as error:
            ask.show_problems(self._window, error)
            return False
        self._document.open(design, path)
        self._remember(path)
        return True

    def save(self) -> bool:
        """Save to the document's file, or ask for one."""
        path = self._document.path
        return self.save_as() if path is None else self._write(path)

    def save_as(self) -> bool:
        """Ask for a file and save to it."""
        proposal = self._document.path or self._store.folder("designs") / file_name(
            self._document.design.name, ask.EXTENSION
        )
        path = ask.file_to_save(self._window, proposal)
        return path is not None and self._write(path)

    def may_leave(self) -> bool:
        """Whether the document may be left: saved, or the person gives the changes up."""
        if not self._document.session.dirty:
            return True
        answer = ask.what_of_changes(self._window, self._document.design.name)
        if answer == "drop":
            self._recovery.clear()
        return answer == "drop" or (answer == "save" and self.save())

    def offer_lost_work(self) -> None:
        """Offer what earlier sessions left behind."""
        for lost in self._recovery.lost():
            answer = ask.take_up(self._window, lost.design.name, f"{lost.made:%d %B, %H:%M}")
            if answer == "later":
                continue
            if answer == "drop" or self.may_leave():
                self._recovery.drop(lost)
            if answer == "open":
                self._document.open(lost.design, lost.path, saved=False)
                return

    def _write(self, path: Path) -> bool:
        from desk.design.file import DesignFileError, save

        design = self._document.design
        try:
            save(design, path)
        except DesignFileError as error:
            ask.tell(self._window, error.what, "\n".join(str(p) for p in error.problems))
            return False
        self._document.saved(design, path)
        self._remember(path)
        return True

    def _remember(self, path: Path) -> None:
        self._store.add_recent(path)
        self._store.set_folder("designs", path.resolve().parent)

    def _changed(self) -> None:
        if self._document.session.dirty:
            self._pace.debounce("snapshot", QUIET, self._snapshot)
        else:
            self._pace.cancel("snapshot")
            self._recovery.clear()

    def _snapshot(self) -> None:
        if self._document.session.dirty:
            self._recovery.keep(self._document.design, self._document.path)


def file_name(name: str, extension: str) -> str:
    """A file name from a design's name that every file system takes; "1/2 in" becomes 1-2-in, never 12-in."""
    apart = re.sub(r"(?<=\d)\s*[/,.⁄]\s*(?=\d)", "-", name)
    plain = re.sub(r"[^\w\- ]+", "", apart).strip().replace(" ", "-").lower()
    return f"{plain or 'cabinet'}{extension}"
