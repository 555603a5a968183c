"""The sharing picture as bytes: what cannot be written is not passed over."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from desk.design.starting import starting_design
from desk.evaluate import evaluate
from desk.ui import snapshot


def test_the_bytes_are_a_png(qapp: QApplication) -> None:
    """The first eight bytes of a PNG file: W3C PNG Specification, section 5.2."""
    assert snapshot.png(evaluate(starting_design())).startswith(b"\x89PNG\r\n\x1a\n")


def test_a_picture_that_cannot_be_written_is_an_error(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(snapshot, "render_picture", lambda *_: QImage())
    with pytest.raises(snapshot.PictureError, match=r"cannot be made: .+\.svg"):
        snapshot.png(evaluate(starting_design()))
