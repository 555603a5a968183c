"""What leaves the program: flat parts for the router, a picture for others."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QWidget

from desk.ui import ask
from desk.ui.document import Document, Evaluated
from desk.ui.files import file_name
from desk.ui.store import Store
from desk.views.theme import theme

STALE = "Nothing leaves the program: the design as it is could not be worked out, and the views show an earlier one"


class Handover(QObject):
    """Exports of one document."""

    told = Signal(str)
    """What was done."""

    def __init__(self, window: QWidget, document: Document, store: Store) -> None:
        super().__init__(window)
        self._window, self._document, self._store = window, document, store

    def export_parts(self) -> None:
        """Ask for a folder and write the flat parts."""
        evaluation = self._finished()
        if evaluation is None:
            return
        from desk.ui.export_dialog import ExportDialog
        from desk.ui.outward import export

        path = self._document.path
        beside = self._store.folder("parts") if path is None else path.resolve().parent
        folder = beside / file_name(self._document.design.name, "")
        dialog = ExportDialog(
            self._window, evaluation.cabinet, evaluation.findings, evaluation.design.unit, folder, export
        )
        dialog.exec()
        if dialog.written:
            self._store.set_folder("parts", dialog.folder.parent)
            self.told.emit(f"{len(dialog.written)} files written to {dialog.folder}")

    def _finished(self) -> Evaluated | None:
        """What follows from the design as it is; None, and the reason told, when that cannot be worked out."""
        if self._document.finish():
            return self._document.evaluation
        self._document.refuse(STALE)
        return None

    def _picture(self) -> QImage | None:
        from desk.ui.picture import render_picture

        evaluation = self._finished()
        return render_picture(evaluation, theme("print")) if evaluation else None

    def copy_picture(self) -> None:
        """Put the sharing picture on the clipboard."""
        image = self._picture()
        if image is not None:
            QGuiApplication.clipboard().setImage(image)
            self.told.emit("The sharing picture is on the clipboard")

    def save_picture(self) -> None:
        """Save the sharing picture and put it on the clipboard too."""
        image = self._picture()
        proposal = self._store.folder("pictures") / file_name(self._document.design.name, ".png")
        path = ask.picture_to_save(self._window, proposal) if image is not None else None
        if image is None or path is None:
            return
        if not image.save(str(path)):
            ask.tell(self._window, f"{path} cannot be written.", "Choose another folder.")
            return
        self._store.set_folder("pictures", path.parent)
        QGuiApplication.clipboard().setImage(image)
        self.told.emit(f"Saved to {path} and copied to the clipboard")
