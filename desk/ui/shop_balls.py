"""The part of the shop page for the balls and for the finish: readings and coats, and what comes of them."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel

from desk.design import edit, table
from desk.design.model import Design
from desk.shop.materials import ball_mass, ball_material
from desk.shop.supplies import ball_grades, ball_sizes, films
from desk.ui.document import Document
from desk.ui.shop_fields import Entry, Field, Link, Note, Pick, chain
from desk.ui.shop_parts import Part, choice_pick, number_entry, unit_beside
from desk.ui.shop_texts import decimal, mean_text, parse_readings, readings_text
from desk.units import Unit, format_length
from desk.views.theme import Theme

NUMBER, WORDS, LONG = 92, 210, 560
"""Widths of fields, px: of a number, of words to pick, the greatest of the readings."""
EXAMPLES: dict[Unit, str] = {"mm": "16.02 15.98 16.1", "in": "0.498 0.501 1/2"}
NEAR = 0.3
"""mm: a size that balls are sold in is named when the diameter is this near to it."""
BARE = {"bare": "masked and left bare", "lacquered": "lacquered with the rest"}
OWN_FILM = ""
"""Key of the option for a film that no finish of the table has."""


def read_balls(design: Design) -> str:
    """The caliper readings as text."""
    return readings_text(design.ball_readings, design.unit)


def write_balls(design: Design, text: str) -> Design:
    """The design with readings of the balls; nothing given takes them out. Raises UnitError, EditError."""
    found = parse_readings(text, design.unit) if text.strip() else ()
    return edit.put_readings(design, "ball.diameter", found)


def ball_words(design: Design) -> str:
    """Largest and smallest ball, weight, the nearest size in the trade, and the grade whose lots are as even."""
    diameter, spread, unit = design.value("ball.diameter"), design.value("ball.spread"), design.unit
    material = ball_material(design.choice("ball.material"), design.tables)
    grams = 1000 * ball_mass(diameter, material.density)
    near = min(ball_sizes(), key=lambda size: abs(size.diameter - diameter))
    sold = f" Sold as {near.size} ({near.what})." if abs(near.diameter - diameter) <= NEAR else ""
    ends = f"{decimal(diameter - spread, unit)} to {decimal(diameter + spread, unit)} {unit}"
    even = next((g.id for g in ball_grades().values() if 0 < 2 * spread <= g.lot), "")
    graded = f" As even as a lot of grade {even}." if even else ""
    return f"From {ends}, about {grams:.3g} g each.{sold}{graded}"


def film_of(design: Design) -> str:
    """The finish of the table whose coat is as thick as the design's; "" for none."""
    coat = design.value("finish.film")
    return next((key for key, film in films(design.tables).items() if abs(film.coat - coat) < 1e-6), OWN_FILM)


def film_options(design: Design) -> tuple[tuple[str, str], ...]:
    """Finishes of the table, and the film of one's own where that is what the design has."""
    known = tuple((key, film.label) for key, film in films(design.tables).items())
    return known if film_of(design) else (*known, (OWN_FILM, "Your own film"))


def write_film(design: Design, key: str) -> Design:
    """The design with the coat of a finish of the table."""
    return edit.put(design, "finish.film", films(design.tables)[key].coat) if key else design


def film_words(design: Design) -> tuple[tuple[str, str], ...]:
    """What film is left where: (surface, thickness)."""
    film = design.value("finish.coats") * design.value("finish.film")
    thick = f"{film_text(film, design.unit)} {design.unit}" if film else "bare"
    joints = thick if design.choice("finish.joints") == "lacquered" else "bare"
    return (("Faces, edges and the ball's way", thick), ("Mating faces, mortises and holes", joints))


def coat_words(design: Design) -> str:
    """What the table says of one coat of the finish."""
    film = films(design.tables).get(film_of(design))
    if film is None:
        return "No finish of the table has this coat."
    low, high = (film_text(mm, design.unit) for mm in film.range)
    return f"Usually {low} to {high} {design.unit} a coat: {film.source_of('film').text}."


def film_text(mm: float, unit: Unit) -> str:
    """A film's thickness without its unit, to a thousandth of a mm."""
    return format_length(round(mm, 4), unit)


def notes_of(design: Design) -> dict[str, str]:
    """What stands beside the fields."""
    count = len(design.ball_readings)
    read = f"{count} readings: {mean_text(design.ball_readings, design.unit)} {design.unit}" if count else ""
    told = "From the readings. A size typed here takes them out." if count else ""
    film = design.value("finish.coats") * design.value("finish.film")
    lost = f"A channel gets narrower by {film_text(2 * film, design.unit)} {design.unit}." if film else ""
    return {
        "readings": read,
        "ball.diameter": told or table.spec("ball.diameter").help,
        "ball.spread": told or table.spec("ball.spread").help,
        "ball.count": table.spec("ball.count").help,
        "ball.material": ball_words(design),
        "film": coat_words(design),
        "finish.coats": lost,
    }


class BallsPart(Part):
    """Balls above, finish below; fields in one column, what comes of them beside it."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document, theme)
        self.fields: dict[str, Field] = {}
        self._units: dict[str, QLabel] = {}
        self._notes: dict[str, Note] = {}
        self._films: list[QLabel] = []
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(6)
        self._grid.setColumnMinimumWidth(0, 190)
        self._grid.setColumnStretch(2, 1)
        self.column.addLayout(self._grid)
        self._balls()
        self._finish()
        self.column.addStretch(1)
        chain(list(self.fields.values()))
        self.refresh()

    def _balls(self) -> None:
        document = self.document
        self._head("Balls")
        readings = Entry(document, Link(read_balls, write_balls, lambda: "Measure the balls"))
        readings.setAccessibleName("Caliper readings of the balls")
        readings.setToolTip("Measure several balls, each across several ways, and type all readings")
        self._row("readings", "Caliper readings", readings, below=True)
        for address in ("ball.diameter", "ball.spread", "ball.count"):
            self._row(address, table.spec(address).label, number_entry(document, address))
        self._row("ball.material", "Made of", choice_pick(document, "ball.material"))

    def _finish(self) -> None:
        document = self.document
        self._head("Finish")
        finish = Pick(document, Link(film_of, write_film, lambda: "Choose the finish"), film_options)
        finish.setAccessibleName("Finish")
        self._row("film", "Finish", finish)
        for address in ("finish.film", "finish.coats"):
            self._row(address, table.spec(address).label, number_entry(document, address))
        key = "finish.joints"
        link = Link(
            lambda d: d.choice(key),
            lambda d, option: edit.put_choice(d, key, option),
            lambda: "Set what stays bare",
        )
        joints = Pick(document, link, lambda _design: tuple(BARE.items()))
        joints.setAccessibleName(table.choice(key).label)
        self._row(key, "Joints and holes are", joints)
        self._head("What film is left")
        for surface, _ in film_words(document.design):
            line = self._grid.rowCount()
            thick = QLabel()
            for column, label in enumerate((QLabel(surface), thick)):
                label.setContentsMargins(6 * column, 3, 0, 3)
                self._grid.addWidget(label, line, column)
            self._films.append(thick)

    def _head(self, words: str) -> None:
        label = QLabel(words)
        label.setObjectName("heading")
        line = self._grid.rowCount()
        if self.fields:
            self._grid.setRowMinimumHeight(line, 12)
            line += 1
        self._grid.addWidget(label, line, 0, 1, 3)

    def _row(self, key: str, words: str, field: Field, below: bool = False) -> None:
        """A caption, a field with its unit, and a line of words beside it, or below a field that is long."""
        line = self._grid.rowCount()
        caption, unit, note = QLabel(words), QLabel(), Note(always=not below)
        caption.setBuddy(field)
        unit.setObjectName("quiet")
        self._grid.addWidget(caption, line, 0)
        if below:
            field.setMaximumWidth(LONG)
            self._grid.addWidget(field, line, 1, 1, 2)
            self._grid.addWidget(note, line + 1, 1, 1, 2)
        else:
            field.setFixedWidth(NUMBER if isinstance(field, Entry) else WORDS)
            both = QHBoxLayout()
            both.setSpacing(6)
            both.addWidget(field)
            both.addWidget(unit)
            both.addStretch(1)
            self._grid.addLayout(both, line, 1)
            self._grid.addWidget(note, line, 2)
        self.fields[key], self._units[key], self._notes[key] = field, unit, note
        field.told.connect(note.warn)

    def refresh(self) -> None:
        """Follow the design."""
        design = self.document.design
        for key, field in self.fields.items():
            field.refresh()
            if isinstance(field, Entry) and key != "readings":
                self._units[key].setText(unit_beside(design, key))
        readings = self.fields["readings"]
        if isinstance(readings, Entry):
            readings.setPlaceholderText(f"for example {EXAMPLES[design.unit]}")
        for key, words in notes_of(design).items():
            self._notes[key].say(words)
        for label, (_, thick) in zip(self._films, film_words(design), strict=True):
            label.setText(thick)

    def go_to(self, address: str) -> bool:
        """Put the cursor into a field."""
        field = self.fields.get(address)
        if field is not None:
            field.setFocus(Qt.FocusReason.OtherFocusReason)
        return field is not None
