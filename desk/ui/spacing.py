"""How the window's width and height are shared among its panes, at first and as the person leaves them."""

from __future__ import annotations

from PySide6.QtWidgets import QSplitter

from desk.ui.front import HANDLE, heights, widths
from desk.ui.sheet import Sheet
from desk.ui.store import Store


class Spacing:
    """The splitters of the window. Once the person has moved one, all stay where they are put."""

    def __init__(self, desk: QSplitter, sheet: Sheet, lists: QSplitter, store: Store) -> None:
        self._sheet, self._store = sheet, store
        self._kept = False
        self._splitters = {
            "desk": desk,
            "sheet": sheet,
            "left": sheet.left,
            "column": sheet.column,
            "lists": lists,
        }
        for splitter in self._splitters.values():
            splitter.setChildrenCollapsible(False)
            splitter.setHandleWidth(HANDLE)
            splitter.splitterMoved.connect(self._moved)

    def restore(self) -> None:
        """Put the panes where the last session left them, if it moved them."""
        saved = {name: self._store.bytes_of(f"layout {name}") for name in self._splitters}
        self._kept = not any(data.isEmpty() for data in saved.values())
        if self._kept:
            for name, splitter in self._splitters.items():
                splitter.restoreState(saved[name])
        self.share()

    def save(self) -> None:
        """Remember where the person put the panes."""
        for name, splitter in self._splitters.items() if self._kept else ():
            self._store.set_bytes(f"layout {name}", splitter.saveState())

    def reset(self) -> None:
        """Forget where the person put the panes."""
        self._store.forget_layout(tuple(f"layout {name}" for name in self._splitters))
        self._kept = False
        self.share()

    def share(self) -> None:
        """Give the panes sizes that suit the window and the drawings, unless the person has set them."""
        if self._kept:
            return
        desk = self._splitters["desk"]
        section, face, lists = widths(desk.width())
        desk.setSizes([section + face + HANDLE, lists])
        self._sheet.setSizes([section, face])
        beside, listed = heights(desk.height())
        self._sheet.column.setSizes(list(beside))
        self._splitters["lists"].setSizes(list(listed))
        self._sheet.share_heights()

    def _moved(self, _at: int, _which: int) -> None:
        self._kept = True
