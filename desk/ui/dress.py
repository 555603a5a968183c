"""The theme on Qt's own widgets: palette, style sheet, fonts, icon."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QGuiApplication, QIcon, QImage, QPainter, QPalette, QPixmap
from PySide6.QtWidgets import QApplication

from desk.resources import resource_path
from desk.ui.surface import font
from desk.views.theme import Letters, Theme, Variant


def variant_of(look: str) -> Variant:
    """The variant of a look; "system" is what goes with the desktop, light where the desktop does not tell."""
    if look in ("light", "dark"):
        return cast(Variant, look)
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


def icon(name: str) -> QIcon:
    """An icon of resources/icons at several sizes."""
    from PySide6.QtSvg import QSvgRenderer

    renderer = QSvgRenderer(str(resource_path(f"icons/{name}.svg")))
    made = QIcon()
    for side in (16, 24, 32, 48, 128):
        image = QImage(QSize(side, side), QImage.Format.Format_ARGB32_Premultiplied)
        image.fill(Qt.GlobalColor.transparent)
        painter = QPainter(image)
        renderer.render(painter)
        painter.end()
        made.addPixmap(QPixmap.fromImage(image))
    return made
