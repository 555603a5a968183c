"""What fills the window: the views, the card, the lists of one document, and the commands that tie them together."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from html import escape
from pathlib import Path

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QLabel, QMessageBox, QSplitter, QVBoxLayout, QWidget

from desk import __version__
from desk.ui.actions import BREAKS, COMMANDS, KeysDialog, make_actions
from desk.ui.announce import announce
from desk.ui.dimension_panel import DimensionPanel
from desk.ui.document import Document, Evaluated
from desk.ui.dress import icon, variant_of
from desk.ui.files import Files
from desk.ui.findings_panel import FindingsPanel
from desk.ui.focus import FocusKeeper, stepping
from desk.ui.front import Front
from desk.ui.handover import Handover
from desk.ui.note_card import NoteCard
from desk.ui.pace import Pace
from desk.ui.pages import PageName, Pages
from desk.ui.play_door import PlayDoor
from desk.ui.recovery import Recovery
from desk.ui.sheet import SECTIONS, Sheet
from desk.ui.spacing import Spacing
from desk.ui.store import Store
from desk.ui.strip import Strip, next_finding
from desk.views.theme import Variant, theme

Slot = Callable[[], object]
OF_THE_DRAWINGS = ("lock", "add_item", "remove_item", "fit", "zoom_in", "zoom_out", "true_size")
"""Commands that there is nothing for while the shop is in view."""
SPOKEN = 8000
"""Milliseconds a message stays."""


class Workroom(QObject):
    """The content of the window of one document (see desk.ui.front.Guest)."""

    def __init__(
        self,
        front: Front,
        document: Document,
        store: Store,
        recovery: Recovery,
        pace: Pace,
    ) -> None:
        super().__init__(front)
        self.front = front
        self.pace, self.store, self.recovery = pace, store, recovery
        self.theme = front.theme
        self.document = document
        self.files = Files(front, self.document, store, recovery, pace)
        self.handover = Handover(front, self.document, store)
        self.sheet = Sheet(self.document, self.theme, pace)
        self.card = NoteCard(self.document, self.theme, pace)
        self.findings = FindingsPanel(self.document, self.theme)
        self.dimensions = DimensionPanel(self.document, self.theme)
        self.pages = Pages(document, self.theme, pace, self.sheet, self.dimensions)
        self.play = PlayDoor(self, self.sheet)
        self.actions_by_id = make_actions(front, self._slots())
        self.strip = Strip(self.document, self.theme, self.actions_by_id)
        self.notice = QLabel()
        self._shared = False
        self._build()
        self._menus()
        self._wire()
        self._take_place()
        self._show_design()
        FocusKeeper(front, self._home)

    # --- building

    def _build(self) -> None:
        self.front.setAcceptDrops(True)
        self.sheet.column.addWidget(self.card)
        self.lists = QSplitter(Qt.Orientation.Vertical)
        self.lists.addWidget(self.findings)
        self.lists.addWidget(self.pages.aside)
        self.desk = QSplitter(Qt.Orientation.Horizontal)
        self.desk.addWidget(self.pages.middle)
        self.desk.addWidget(self.lists)
        self.spacing = Spacing(self.desk, self.sheet, self.lists, self.store)
        self.notice.setObjectName("notice")
        self.notice.setWordWrap(True)
        self.notice.setTextFormat(Qt.TextFormat.RichText)
        self.notice.hide()
        self.middle = QWidget()
        column = QVBoxLayout(self.middle)
        column.setContentsMargins(6, 0, 6, 0)
        column.setSpacing(4)
        column.addWidget(self.strip)
        column.addWidget(self.notice)
        column.addWidget(self.desk, 1)
        self.front.setCentralWidget(self.middle)
        self.front.guest = self
        self.sheet.section.setFocus()
        self.front.statusBar().setSizeGripEnabled(False)

    def _menus(self) -> None:
        for name, menu in self.front.menus.items():
            for command in COMMANDS:
                if command.menu != name:
                    continue
                if command.id in BREAKS:
                    menu.addSeparator()
                if command.id == "recent":
                    self.recent_menu = menu.addMenu(command.words)
                    self.recent_menu.aboutToShow.connect(self._list_recent)
                else:
                    menu.addAction(self.actions_by_id[command.id])

    def _slots(self) -> dict[str, Slot]:
        slots: dict[str, Slot] = {
            "new": self._once_taken(self.files.new),
            "open": self._once_taken(self.files.open),
            "save": self._once_taken(self.files.save),
            "save_as": self._once_taken(self.files.save_as),
            "export": self._once_taken(self.handover.export_parts),
            "picture": self._once_taken(self.handover.save_picture),
            "copy_picture": self._once_taken(self.handover.copy_picture),
            "quit": self.front.close,
            "undo": stepping(self.document, self.document.undo),
            "redo": stepping(self.document, self.document.redo),
            "find": self.find,
            "lock": self.dimensions.toggle_lock,
            "add_item": self.dimensions.add_item,
            "remove_item": self.dimensions.remove_item,
            "fit": self.sheet.fit,
            "zoom_in": partial(self.sheet.zoom_by, 1.25),
            "zoom_out": partial(self.sheet.zoom_by, 0.8),
            "true_size": self.sheet.true_size,
            "find_finding": self.findings.go_search,
            "next_finding": partial(self.go_to_next, "", 1),
            "previous_finding": partial(self.go_to_next, "", -1),
            "drawings": partial(self.show_page, "drawings"),
            "shop": partial(self.show_page, "shop"),
            "next_pane": self.next_pane,
            "reset_layout": self.reset_layout,
            "keys": self.show_keys,
            "about": self.about,
        }
        slots |= {key: partial(self.show_section, key) for key in SECTIONS} | self.play.slots()
        return slots | {f"look_{look}": partial(self.set_look, look) for look in ("system", "light", "dark")}

    def _wire(self) -> None:
        self.document.opened.connect(self.sheet.fit)
        self.strip.asked_next.connect(lambda status: self.go_to_next(status, 1))
        self.document.designed.connect(self._show_design)
        self.document.evaluated.connect(self._show_evaluation)
        self.document.failed.connect(self._show_failure)
        self.document.broke.connect(self._show_fault)
        self.notice.linkActivated.connect(lambda _link: self.files.save_as())
        self.document.refused.connect(self.say)
        self.handover.told.connect(self.say)
        self.card.ball_asked.connect(self.play.watch)
        self.sheet.section_pane.switched.connect(lambda _key: self._show_section_marks())
        self.document.pointed.connect(self._point)
        for look in ("system", "light", "dark"):
            self.actions_by_id[f"look_{look}"].setChecked(self.store.look() == look)
        self._show_section_marks()

    def begin(self, path: Path | None) -> None:
        """Fill the window: the file asked for, else the starting design; then offer work left behind."""
        self.front.setWindowIcon(icon("lanewright"))
        if path is None or not self.files.read(path):
            self.document.evaluate()
        self.files.offer_lost_work()

    def _take_place(self) -> None:
        """Lay the panes out at once, so that the places of the last session fit."""
        self.middle.show()
        for layout in (self.front.layout(), self.middle.layout()):
            if layout is not None:
                layout.activate()
        self.spacing.restore()

    # --- following the document

    def _show_design(self) -> None:
        document = self.document
        front = self.front
        if front.isWindowModified() != document.session.dirty:
            front.setWindowModified(document.session.dirty)
        title = f"{document.design.name}[*] – Lanewright"
        place = str(document.path) if document.path else ""
        if (front.windowTitle(), front.windowFilePath()) != (title, place):
            front.setWindowFilePath(place)
            front.setWindowTitle(title)
        for name, can, label in (
            ("undo", document.session.can_undo, document.session.undo_label),
            ("redo", document.session.can_redo, document.session.redo_label),
        ):
            action = self.actions_by_id[name]
            if action.isEnabled() != can:
                action.setEnabled(can)
            tip = f"{name.capitalize()}: {label}" if label else name.capitalize()
            if action.toolTip() != tip:
                action.setToolTip(tip)

    def _show_evaluation(self, evaluation: Evaluated) -> None:
        if evaluation.design != self.document.design:
            return
        if self.notice.isVisible():
            self.notice.hide()
        for name in ("export", "picture", "copy_picture"):
            self.actions_by_id[name].setEnabled(True)
        if not self._shared:
            self._shared = True
            self.spacing.share()

    def _show_failure(self, text: str) -> None:
        self._put_up(
            f"No cabinet can be made of these numbers: {text}. The views show the last one that could."
        )

    def _show_fault(self, text: str) -> None:
        self._put_up(
            f"A fault in the program: {text}. The views show the last design that could be worked out. "
            "Your numbers are kept, and undo takes the last step back.",
            "Save the design",
        )

    def _put_up(self, text: str, link: str = "") -> None:
        """Show a notice above the views, with a link that saves the design; nothing can be exported meanwhile."""
        self.notice.setText(escape(text) + (f' <a href="save">{link}</a>' if link else ""))
        self.notice.show()
        for name in ("export", "picture", "copy_picture"):
            self.actions_by_id[name].setEnabled(False)

    def say(self, text: str) -> None:
        """Show a message for a while, and have it read out."""
        self.front.statusBar().showMessage(text, SPOKEN)
        announce(self.front, text)

    # --- going about

    def show_section(self, key: str) -> None:
        """Switch the section, and to the drawings if they are not shown."""
        self.show_page("drawings")
        self.sheet.show_section(key)
        self._show_section_marks()

    def show_page(self, name: PageName) -> None:
        """Show the drawings or the shop."""
        self.pages.show(name, self.card, self.sheet.column)
        for key in OF_THE_DRAWINGS:
            self.actions_by_id[key].setEnabled(name == "drawings")
        self._show_section_marks()

    def _home(self) -> QWidget | None:
        """Where the focus goes when what had it is gone; the shop page sees to that itself."""
        return self.sheet.section if self.pages.shown == "drawings" else None

    def _show_section_marks(self) -> None:
        shown = self.pages.shown
        for key in SECTIONS:
            self.actions_by_id[key].setChecked(key == self.sheet.section_id and shown == "drawings")
        for key in ("drawings", "shop"):
            self.actions_by_id[key].setChecked(key == shown)

    def find(self) -> None:
        """Put the cursor into the search field of the dimensions."""
        self.show_page("drawings")
        self.dimensions.go_search()

    def _point(self, address: str) -> None:
        """With the shop in view, go to a number there; to the drawings for one that is not there."""
        shop = self.pages.shop
        if address and self.pages.shown == "shop" and shop is not None and not shop.point_at(address):
            self.show_page("drawings")

    def _once_taken(self, act: Slot) -> Slot:
        """An action that first takes what is being typed on the shop page."""

        def run() -> object:
            self.pages.take()
            return act()

        return run

    def go_to_next(self, status: str, step: int) -> None:
        """Choose the next finding of a status; for "" of those not clear that the list of findings shows."""
        listed = self.document.findings if status else self.findings.shown()
        key = next_finding(listed, self.document.finding, status, step)
        if key:
            self.document.choose(key)

    def next_pane(self) -> None:
        """Move the focus round the panes."""
        shop = self.pages.shop
        every = [
            *self.sheet.canvases.values(),
            *([shop.tabs[shop.shown]] if shop is not None and shop.shown else []),
            *self.play.panes(),
            self.findings.list,
            self.dimensions.search,
            self.dimensions.tree,
        ]
        stops: list[QWidget] = [stop for stop in every if stop.isVisible()]
        at = next((k for k, widget in enumerate(stops) if widget.hasFocus()), -1)
        stops[(at + 1) % len(stops)].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def show_keys(self) -> None:
        """Show the sheet of keys."""
        KeysDialog(self.front, self.actions_by_id).exec()

    def about(self) -> None:
        """Say what this is."""
        QMessageBox.about(
            self.front,
            "About Lanewright",
            f"Lanewright {__version__}\nFits a tabletop roll-up target game to your balls, stock and bits.",
        )

    # --- look

    def set_look(self, look: str) -> None:
        """Choose paper, slate, or what the desktop has."""
        self.store.set_look(look)
        for name in ("system", "light", "dark"):
            self.actions_by_id[f"look_{name}"].setChecked(name == look)
        self.set_theme(variant_of(look))

    def set_theme(self, variant: Variant) -> None:
        """Paint everything in this variant."""
        if variant == self.theme.variant:
            return
        self.theme = theme(variant)
        self.front.set_theme(self.theme)
        for part in (
            self.strip,
            self.sheet,
            self.card,
            self.findings,
            self.dimensions,
            self.pages,
            self.play,
        ):
            part.set_theme(self.theme)

    def desktop_changed(self) -> None:
        """Follow the desktop's light and dark, if that is the look chosen."""
        if self.store.look() == "system":
            self.set_theme(variant_of("system"))

    # --- files

    def _list_recent(self) -> None:
        self.recent_menu.clear()
        paths = self.store.recent()
        for path in paths:
            action = self.recent_menu.addAction(f"{path.name}   {path.parent}")
            action.setEnabled(path.exists())
            action.triggered.connect(partial(self._open_recent, path))
        if not paths:
            self.recent_menu.addAction("None yet").setEnabled(False)

    def _open_recent(self, path: Path, _on: bool = False) -> None:
        self.receive(path)

    def receive(self, path: Path) -> None:
        """Open a file dropped on the window."""
        self.pages.take()
        self.files.open_path(path)

    # --- place on the screen

    def reset_layout(self) -> None:
        """Put the panes back to where they were at first."""
        self.spacing.reset()
        self.sheet.fit()

    def resized(self) -> None:
        """Share the space anew."""
        self.spacing.share()

    def may_close(self) -> bool:
        """Whether unsaved changes are saved or given up."""
        self.pages.take()
        return self.files.may_leave()

    def closed(self) -> None:
        """Remember the place and end cleanly."""
        self.show_page("drawings")
        self.store.set_bytes("geometry", self.front.saveGeometry())
        self.spacing.save()
        self.recovery.clear()
        self.play.closed()
        self.pace.stop()
