"""The notes: every layer in use explained, the scale to be measured, the cautions there."""

from __future__ import annotations

from desk.flat.figure import Figure, piece
from desk.flat.layers import layer
from desk.flat.layout import Placement
from desk.flat.notes import layers_of, notes_text

from .samples import rich

MADE = piece(rich(), Placement("rich", 1, 20.0, 15.0, turned=False), (0.0, 0.0, 300.0, 300.0))
LAYERS = layers_of([Figure((300.0, 300.0), (MADE,), ())])
TEXT = notes_text("Test piece", {"part-rich.dxf": "Rich, 1 off"}, LAYERS, ("A gap is too small.",))


def test_every_layer_in_use_is_explained_once():
    assert {each.name for each in LAYERS} == {m.layer.name for m in MADE.marks}
    lines = TEXT.splitlines()
    for each in LAYERS:
        assert lines.count(each.name) == 1
        assert each.meaning.split(".")[0] in " ".join(TEXT.split())


def test_layers_for_the_machine_come_first():
    cut = [each.cut for each in LAYERS]
    assert cut == sorted(cut, reverse=True)


def test_what_has_to_be_said_is_said():
    said = " ".join(TEXT.split())
    for words in (
        "measure the square",
        "100.00 mm by 100.00 mm",
        layer("scale").name,
        "as seen through the wood from face A",
        "Local codes and the makers' manuals",
        "Unplug or isolate the router",
        "dust",
        "part-rich.dxf Rich, 1 off",
        "WARNING ------- - A gap is too small.",
    ):
        assert words in said


def test_each_caution_names_its_source():
    cautions = " ".join(TEXT.split("Cautions")[1].split()).split("- ")[2:]
    assert len(cautions) == 5
    assert all("(Source: " in each for each in cautions)


def test_without_warnings_there_is_no_such_heading():
    assert "WARNING" not in notes_text("T", {}, LAYERS, ()).split("Layers\n")[0]


def test_muted_findings_and_sheets_have_their_own_headings():
    text = notes_text("T", {}, LAYERS, (), ("A web (tight): so. Muted because: glued",), ("2 of Oak",))
    assert "Muted findings\n--------------\n- A web (tight): so. Muted because: glued\n" in text
    assert "Sheets\n------\n- 2 of Oak\n" in text
    assert "Muted" not in TEXT
    assert "Sheets\n" not in TEXT


def test_lines_fit_a_page():
    assert max(map(len, TEXT.splitlines())) <= 96
