"""The sharing picture as a file's bytes, painted by Qt without a screen."""

from __future__ import annotations

import os

from PySide6.QtCore import QBuffer, QIODevice
from PySide6.QtGui import QGuiApplication, QImageWriter

from desk.evaluate import Evaluation
from desk.ui.picture import render_picture
from desk.views.theme import theme


class PictureError(OSError):
    """Qt could not write the picture."""


def png(evaluation: Evaluation) -> bytes:
    """The picture as PNG; starts Qt where it does not run yet. Raises PictureError when Qt cannot write it."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QGuiApplication.instance() or QGuiApplication(["lanewright"])
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QImageWriter(buffer, b"PNG")
    written = writer.write(render_picture(evaluation, theme("print")))
    del app
    if not written:
        raise PictureError(
            f"the picture cannot be made: {writer.errorString()}; choose a name that ends in .svg"
        )
    return bytes(buffer.data().data())
