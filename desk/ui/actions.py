"""The window's commands, each declared once: words, keys, menu. Menus and the sheet of keys are made from this."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QGridLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

Keys = QKeySequence.StandardKey


@dataclass(frozen=True)
class Command:
    """One command. ``keys`` are a standard key, sequences, or nothing."""

    id: str
    menu: str
    words: str
    keys: QKeySequence.StandardKey | tuple[str, ...] = ()
    checkable: bool = False


COMMANDS: tuple[Command, ...] = (
    Command("new", "File", "&New", Keys.New),
    Command("open", "File", "&Open…", Keys.Open),
    Command("recent", "File", "Open &recent"),
    Command("save", "File", "&Save", Keys.Save),
    Command("save_as", "File", "Save &as…", ("Ctrl+Shift+S",)),
    Command("export", "File", "&Export flat parts…", ("Ctrl+E",)),
    Command("picture", "File", "Save sharing &picture…", ("Ctrl+P",)),
    Command("copy_picture", "File", "&Copy sharing picture", ("Ctrl+Shift+C",)),
    Command("quit", "File", "&Quit", Keys.Quit),
    Command("undo", "Edit", "&Undo", Keys.Undo),
    Command("redo", "Edit", "&Redo", ("Ctrl+Shift+Z", "Ctrl+Y")),
    Command("find", "Edit", "&Find a dimension", Keys.Find),
    Command("find_finding", "Edit", "Find a findin&g", ("Ctrl+Shift+F",)),
    Command("lock", "Edit", "&Lock or unlock", ("Ctrl+L",)),
    Command("add_item", "Edit", "&Add a list item"),
    Command("remove_item", "Edit", "Re&move the list item"),
    Command("lane", "View", "Section through the &lane", ("Ctrl+1",), True),
    Command("channel", "View", "Section through the &return", ("Ctrl+2",), True),
    Command("rear", "View", "&Rear section", ("Ctrl+3",), True),
    Command("drawings", "View", "&Drawings", (), True),
    Command("shop", "View", "S&hop: sheets, bits, hardware, finish", ("Ctrl+4",), True),
    Command("fit", "View", "&Fit all views", ("Ctrl+0",)),
    Command("zoom_in", "View", "Zoom &in", Keys.ZoomIn),
    Command("zoom_out", "View", "Zoom &out", Keys.ZoomOut),
    Command("true_size", "View", "True &size", ("Ctrl+9",)),
    Command("next_finding", "View", "&Next finding", ("F8",)),
    Command("previous_finding", "View", "&Previous finding", ("Shift+F8",)),
    Command("next_pane", "View", "Go to the next pane", ("F6",)),
    Command("look_system", "View", "Look of the &desktop", (), True),
    Command("look_light", "View", "&Paper", (), True),
    Command("look_dark", "View", "Sla&te", (), True),
    Command("reset_layout", "View", "Put the panes back"),
    Command("play", "Play", "&Play strip", ("F7",), True),
    Command("throw", "Play", "&Throw", ("Ctrl+T",)),
    Command("drop", "Play", "&Drop a ball", ("Ctrl+D",)),
    Command("pause", "Play", "&Pause, go on", ("Ctrl+K",)),
    Command("again", "Play", "Play &again", ("Ctrl+Shift+T",)),
    Command("clear_play", "Play", "&Clear balls and lines", ("Ctrl+Shift+K",)),
    Command("pace_true", "Play", "At t&rue speed", (), True),
    Command("pace_quarter", "Play", "At a &quarter of it", (), True),
    Command("pace_tenth", "Play", "At a te&nth of it", (), True),
    Command("run", "Play", "Run the throws, &stop them", ("Ctrl+R",)),
    Command("keys", "Help", "&Keys and mouse", Keys.HelpContents),
    Command("about", "Help", "&About Lanewright"),
)
BREAKS = frozenset(
    {
        "export",
        "quit",
        "find",
        "drawings",
        "fit",
        "next_finding",
        "look_system",
        "reset_layout",
        "throw",
        "pace_true",
        "run",
    }
)
"""Commands with a line above them in the menu."""

IN_THE_VIEWS: tuple[tuple[str, str], ...] = (
    ("Pull a handle", "drag with the left button; Ctrl for tenths of a step"),
    ("Next, previous handle", "Tab, Shift+Tab"),
    ("Nudge the handle", "arrow keys; Shift ten steps, Ctrl a tenth"),
    ("Type a value", "Enter, or just type; double-click with the mouse"),
    ("Give up a pull", "Esc"),
    ("Drop a ball", "drag a ball and let go; or Drop a ball, then arrow keys and Enter"),
    ("Move the sheet", "drag with the middle button, or hold Space; arrow keys when no handle is chosen"),
    ("Zoom", "wheel, + and −"),
    (
        "Fields of the shop",
        "Enter or Tab takes what is typed, Esc gives it up; Enter on a line of hardware takes it",
    ),
    ("Lock a row, add and remove list items", "Space, Insert, Delete in the list of dimensions"),
)


def make_actions(parent: QWidget, slots: Mapping[str, Callable[[], object]]) -> dict[str, QAction]:
    """One action for each command; every command must have a slot, "recent" excepted."""
    out = {}
    for command in COMMANDS:
        action = QAction(command.words, parent)
        if isinstance(command.keys, tuple):
            action.setShortcuts([QKeySequence(k) for k in command.keys])
        else:
            action.setShortcuts(command.keys)
        action.setCheckable(command.checkable)
        if command.id != "recent":
            slot = slots[command.id]
            action.triggered.connect(lambda _on=False, s=slot: s())
        out[command.id] = action
    return out


class KeysDialog(QDialog):
    """The sheet of keys, made from the commands."""

    def __init__(self, parent: QWidget | None, actions: Mapping[str, QAction]) -> None:
        super().__init__(parent)
        self.setWindowTitle("Keys and mouse")
        self.resize(620, 560)
        body = QWidget()
        body.setObjectName("card")
        grid = QGridLayout(body)
        grid.setHorizontalSpacing(24)
        rows = [("In the views", "", True), *((a, b, False) for a, b in IN_THE_VIEWS)]
        for menu in ("File", "Edit", "View", "Play", "Help"):
            rows.append((menu, "", True))
            for command in COMMANDS:
                keys = actions[command.id].shortcuts()
                if command.menu == menu and keys:
                    shown = ", ".join(k.toString(QKeySequence.SequenceFormat.NativeText) for k in keys[:2])
                    rows.append((command.words.replace("&", "").rstrip("…"), shown, False))
        for k, (words, keys_text, heading) in enumerate(rows):
            label = QLabel(words)
            label.setObjectName("heading" if heading else "")
            grid.addWidget(label, k, 0)
            value = QLabel(keys_text)
            value.setWordWrap(True)
            grid.addWidget(value, k, 1)
        grid.setColumnStretch(1, 1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setWidget(body)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(area)
        column.addWidget(buttons)
