"""A line that is shortened."""

from __future__ import annotations

from PySide6.QtWidgets import QApplication

from desk.ui.labels import OneLine


def test_a_line_ends_with_an_ellipsis_only_where_there_is_no_room(qapp: QApplication) -> None:
    line = OneLine()
    line.setText("Stops after 0.6 s where no rest is meant. Flight and gutter gap.")
    line.resize(900, 20)
    assert line.shown() == line.text()
    whole = line.grab().toImage()
    line.resize(200, 20)
    assert line.shown().endswith("…")
    assert line.text().startswith(line.shown().rstrip("…"))
    assert line.fontMetrics().horizontalAdvance(line.shown()) <= 200
    assert line.grab().toImage() != whole.copy(0, 0, 200, 20)
    assert line.minimumSizeHint().width() < 100
