"""Writes everything the workshop gets into a folder: sheets, parts, cut list, hardware list and notes.

All files are made and checked in a folder of their own first and then moved, so that a failure leaves the
person's folder as it was. ``contents.csv`` lists what was written with a digest of each file and the design's name.
The next export of that design into the same folder takes away what an earlier one left and this one no longer makes (a
part's count is in its file name), unless the file was changed since. Where it would take away another design's export,
a file that was changed, or one that no export wrote, it is refused unless the person says so.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
import unicodedata
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from desk.cabinet.model import Cabinet, Stock
from desk.flat import dxf, lists, plates
from desk.flat.earlier import CONTENTS, CONTENTS_COLUMNS, NOTES, TITLE_END, digest, left_over, refuse_loss
from desk.flat.figure import Figure
from desk.flat.groups import Group, groups
from desk.flat.layout import Layout, lay_out
from desk.flat.lint import ExportError, check, summary
from desk.flat.notes import layers_of, notes_text
from desk.flat.operations import edge_holes, has_face_b
from desk.units import Unit


def export(
    cabinet: Cabinet,
    folder: Path,
    warnings: Sequence[str] = (),
    muted: Sequence[str] = (),
    *,
    replacing: bool = False,
    unit: Unit = "mm",
) -> tuple[Path, ...]:
    """Write the flat parts and lists of a cabinet into ``folder``, made if need be; returns the files.

    ``warnings`` are sentences the caller wants in every file, such as open conflicts; with any of them,
    drawings that are doubtful are written too and say so. ``muted`` are the muted findings with their reasons, which
    stand in every file too. ``replacing`` lets it take away what refuse_loss keeps; ``unit`` is
    the one lengths are told in. Raises ExportError when the folder
    cannot be used or a drawing must not be written, and OccupiedError for what would be lost; then nothing in the
    folder has changed.
    """
    made = _made_folder(folder)
    try:
        return _export(cabinet, folder, (warnings, muted), replacing, unit)
    except OSError as error:
        reason = error.strerror or str(error)
        raise ExportError(f"cannot write into {folder}: {reason}; choose another folder") from error
    finally:
        if made:
            with suppress(OSError):  # stays when something was written into it
                folder.rmdir()


def _made_folder(folder: Path) -> bool:
    """Make the folder; tells whether it is new."""
    try:
        if folder.is_dir():
            return False
        folder.mkdir(parents=True)
    except OSError as error:
        reason = error.strerror or str(error)
        raise ExportError(f"cannot make the folder {folder}: {reason}; choose another folder") from error
    return True


def _export(
    cabinet: Cabinet,
    folder: Path,
    said_of: tuple[Sequence[str], Sequence[str]],
    replacing: bool,
    unit: Unit,
) -> tuple[Path, ...]:
    warnings, muted = said_of
    layout = lay_out(cabinet.parts, cabinet.shop)
    told = (*warnings, *(u.why for u in layout.unplaced))
    figures = compose(cabinet, layout, told, muted, unit)
    doubts = summary({name: check(figure, name, not warnings) for name, (_, figure) in figures.items()})
    if doubts:
        told = (*told, *doubts)
        figures = compose(cabinet, layout, told, muted, unit)
    texts = _texts(cabinet, layout, figures, (told, muted), unit)
    if not replacing:
        refuse_loss(folder, (*figures, *texts, CONTENTS), cabinet.name)
    with tempfile.TemporaryDirectory(prefix=".lanewright-", dir=folder) as temporary:
        fresh = Path(temporary) / "new"
        fresh.mkdir()
        said = {}
        for name, (what, figure) in figures.items():
            dxf.write(figure, fresh / name)
            said[name] = what
        for name, (what, text) in texts.items():
            (fresh / name).write_text(text, encoding="utf-8", newline="")
            said[name] = what
        rows = [(name, what, digest(fresh / name), cabinet.name) for name, what in said.items()]
        (fresh / CONTENTS).write_text(lists.as_csv(CONTENTS_COLUMNS, rows), encoding="utf-8", newline="")
        return _move([*said, CONTENTS], fresh, Path(temporary) / "old", folder)


def compose(
    cabinet: Cabinet,
    layout: Layout,
    warnings: Sequence[str] = (),
    muted: Sequence[str] = (),
    unit: Unit = "mm",
) -> dict[str, tuple[str, Figure]]:
    """Every drawing of an export: its contents in words and its figure, by file name."""
    made: dict[str, tuple[str, Figure]] = {}
    for stock in cabinet.shop.stocks:
        plans = [p for p in layout.sheets if p.stock == stock.id]
        if plans:
            figure = plates.sheets_figure(cabinet, stock, plans, warnings, muted, unit)
            what = f"{len(plans)} sheet{'s' if len(plans) > 1 else ''} of {plates.stock_words(stock, unit)}"
            made[_free(_sheet_name(stock), made)] = (what, figure)
    hand = {p.id: edge_holes(cabinet, p) for p in cabinet.parts}
    for group in groups(cabinet.parts, hand):
        number = f"-x{len(group.parts)}" if len(group.parts) > 1 else ""
        name = _free(f"part-{slug(group.label)}{number}.dxf", made)
        what = f"{group.label}, {len(group.parts)} off"
        by_hand = hand[group.parts[0].id]
        made[name] = (what, plates.part_figure(cabinet, group, by_hand, warnings, muted, unit))
        if has_face_b(group.parts[0]):
            behind = name.replace(".dxf", "-face-b.dxf")
            figure = plates.behind_figure(cabinet, group, warnings, muted, unit)
            made[_free(behind, made)] = (f"{what}, seen on face B", figure)
    return made


def slug(text: str) -> str:
    """A text as a plain file name: small letters, digits and hyphens, never empty."""
    ascii_only = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", ascii_only.lower()).strip("-")[:60].strip("-") or "unnamed"


def _sheet_name(stock: Stock) -> str:
    return f"sheets-{stock.nominal:g}mm-{slug(stock.material)}.dxf"


def _free(name: str, taken: Mapping[str, object]) -> str:
    """The name, or the first of name-2, name-3, ... that is not taken."""
    stem, k, tried = name.removesuffix(".dxf"), 1, name
    while tried in taken:
        k += 1
        tried = f"{stem}-{k}.dxf"
    return tried


def _texts(
    cabinet: Cabinet,
    layout: Layout,
    figures: Mapping[str, tuple[str, Figure]],
    said_of: tuple[Sequence[str], Sequence[str]],
    unit: Unit,
) -> dict[str, tuple[str, str]]:
    """The text files: contents in words and text, by file name."""
    hand = {p.id: edge_holes(cabinet, p) for p in cabinet.parts}
    found: tuple[Group, ...] = groups(cabinet.parts, hand)
    drawings: dict[str, str] = {}
    for name, (_, figure) in figures.items():
        if name.startswith("part-") and figure.pieces:
            drawings.setdefault(figure.pieces[0].part, name)
    cut = lists.cut_list(cabinet, found, layout, hand, drawings, unit)
    bought = lists.hardware_list(cabinet, unit)
    said = {name: what for name, (what, _) in figures.items()}
    texts = {
        "cut-list.csv": (
            "Cut list",
            lists.as_csv(*lists.with_inches(lists.CUT_COLUMNS, cut, unit), *said_of),
        ),
        "hardware-list.csv": (
            "Hardware list",
            lists.as_csv(*lists.with_inches(lists.HARDWARE_COLUMNS, bought, unit), *said_of),
        ),
    }
    said |= {name: what for name, (what, _) in texts.items()}
    layers = layers_of(figure for _, figure in figures.values())
    texts[NOTES] = (
        "What the files and layers mean",
        notes_text(
            f"{cabinet.name}{TITLE_END}", said, layers, *said_of, lists.sheet_lines(cabinet, layout, unit)
        ),
    )
    return texts


def _move(names: Sequence[str], fresh: Path, old: Path, folder: Path) -> tuple[Path, ...]:
    """Put the fresh files in place; on any failure put back what was there."""
    old.mkdir()
    aside: list[str] = []
    placed: list[str] = []
    try:
        for name in (*names, *left_over(folder, names)):
            if (folder / name).is_dir():
                raise ExportError(f"{folder / name} is a folder, and a file of that name is to be written")
            if (folder / name).exists():
                os.replace(folder / name, old / name)
                aside.append(name)
        for name in names:
            os.replace(fresh / name, folder / name)
            placed.append(name)
    except BaseException:
        for name in placed:
            with suppress(OSError):
                (folder / name).unlink()
        for name in aside:
            with suppress(OSError):
                os.replace(old / name, folder / name)
        raise
    shutil.rmtree(old, ignore_errors=True)
    return tuple(folder / name for name in names)
