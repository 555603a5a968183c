"""The theme on Qt's own widgets: palette, style sheet, fonts, icons in the colour of the ink."""

from __future__ import annotations

from functools import cache

from PySide6.QtCore import QByteArray, QSize, Qt
from PySide6.QtGui import QColor, QGuiApplication, QIcon, QImage, QPainter, QPalette, QPixmap
from PySide6.QtWidgets import QApplication

from desk.resources import resource_path
from desk.ui.surface import font
from desk.ui.theme import Letters, Theme, Variant


def system_variant() -> Variant:
    """The variant that goes with the desktop; light where the desktop does not tell."""
    hints = QGuiApplication.styleHints()
    return "dark" if hints.colorScheme() == Qt.ColorScheme.Dark else "light"


def dress(app: QApplication, theme: Theme) -> None:
    """Put the theme on every widget of the program, unless it is on already."""
    if app.property("look") == theme.variant:
        return
    app.setProperty("look", theme.variant)
    if app.style().name() != "fusion":
        app.setStyle("fusion")
    app.setPalette(_palette(theme))
    app.setFont(font(Letters(theme.colour("ink"), theme.text("note").families, 9.0)))
    app.setStyleSheet(_sheet(theme))


def _palette(theme: Theme) -> QPalette:
    roles = {
        QPalette.ColorRole.Window: "window",
        QPalette.ColorRole.WindowText: "ink",
        QPalette.ColorRole.Base: "panel",
        QPalette.ColorRole.AlternateBase: "sheet",
        QPalette.ColorRole.Text: "ink",
        QPalette.ColorRole.PlaceholderText: "soft_ink",
        QPalette.ColorRole.Button: "panel",
        QPalette.ColorRole.ButtonText: "ink",
        QPalette.ColorRole.Highlight: "accent_wash",
        QPalette.ColorRole.HighlightedText: "ink",
        QPalette.ColorRole.ToolTipBase: "raised",
        QPalette.ColorRole.ToolTipText: "ink",
        QPalette.ColorRole.Link: "accent",
        QPalette.ColorRole.Mid: "rule",
        QPalette.ColorRole.Accent: "accent",
    }
    palette = QPalette()
    for role, name in roles.items():
        palette.setColor(role, QColor(theme.colour(name)))
    faint = QColor(theme.colour("faint_ink"))
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, faint)
    return palette


def _sheet(theme: Theme) -> str:
    words = dict(theme.colours)
    words["serif"] = ", ".join(f'"{f}"' for f in theme.text("title").families)
    text = resource_path("window.qss").read_text(encoding="utf-8")
    for name in sorted(words, key=len, reverse=True):
        text = text.replace(f"@{name}", words[name])
    return text


@cache
def icon(name: str, colour: str) -> QIcon:
    """An icon of resources/icons drawn in one colour, at several sizes."""
    made = QIcon()
    for side in (16, 24, 32, 48):
        made.addPixmap(QPixmap.fromImage(picture(name, colour, side)))
    return made


@cache
def picture(name: str, colour: str, side: int) -> QImage:
    """An icon as an image ``side`` px wide; "currentColor" in its file becomes ``colour``."""
    from PySide6.QtSvg import QSvgRenderer

    data = resource_path(f"icons/{name}.svg").read_bytes().replace(b"currentColor", colour.encode())
    image = QImage(QSize(side, side), QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    QSvgRenderer(QByteArray(data)).render(painter)
    painter.end()
    return image
