"""The cut list and the hardware list as comma separated text: C locale, UTF-8, mm, one header row.

The lists of a design in inches have columns in inches before those in mm, and name hardware as it is sold by the inch.

Warnings the export was made with, and findings the person has muted, stand above the header, each on a line that begins
with "#".
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence

from desk.cabinet.model import AxisJoint, Cabinet
from desk.flat.curves import exact_bounds
from desk.flat.groups import Group
from desk.flat.layout import Layout, grain_along
from desk.flat.measures import bought, inches, size, told
from desk.flat.operations import counted, operations
from desk.flat.plates import material_words
from desk.units import Unit

CUT_COLUMNS = (
    "label",
    "count",
    "stock",
    "material",
    "nominal_mm",
    "measured_mm",
    "length_mm",
    "width_mm",
    "grain",
    "area_mm2",
    "on_sheet_number",
    "operations",
    "by_hand",
    "drawing",
)
HARDWARE_COLUMNS = ("kind", "name", "diameter_mm", "length_mm", "count", "remark")

Row = tuple[str, ...]
MM = "_mm"
"""How the name of a column of lengths ends."""


def with_inches(columns: Row, rows: Sequence[Row], unit: Unit) -> tuple[Row, tuple[Row, ...]]:
    """Columns and rows of a table; in inches each run of columns in mm comes once more, in inches, before it."""
    if unit == "mm":
        return columns, tuple(rows)
    order: list[tuple[int, bool]] = []
    k = 0
    while k < len(columns):
        end = k
        while end < len(columns) and columns[end].endswith(MM):
            end += 1
        order += [(i, True) for i in range(k, end)]
        order += [(i, False) for i in range(k, max(end, k + 1))]
        k = max(end, k + 1)
    heads = tuple(columns[i].removesuffix(MM) + "_in" if inch else columns[i] for i, inch in order)
    return heads, tuple(
        tuple((inches(float(row[i])) if row[i] else "") if inch else row[i] for i, inch in order)
        for row in rows
    )


def cut_list(
    cabinet: Cabinet,
    found: Sequence[Group],
    layout: Layout,
    by_hand: Mapping[str, tuple[str, ...]],
    drawings: Mapping[str, str],
    unit: Unit = "mm",
) -> tuple[Row, ...]:
    """One row for each group of identical parts, in the cabinet's order.

    Length runs along the face grain where the stock has one, else it is the longer side; length and width are
    over the outline with its tabs. The area is one part's face less its openings. ``by_hand`` and
    ``drawings`` are looked up by the id of a group's first part.
    """
    on_sheet = {p.part: plan.index for plan in layout.sheets for p in plan.placements}
    rows = []
    for group in found:
        part = group.parts[0]
        stock = cabinet.shop.stock(part.stock)
        x0, y0, x1, y1 = exact_bounds(part.outline.points)
        sides = (x1 - x0, y1 - y0) if grain_along(part, stock) else (y1 - y0, x1 - x0)
        sheets = sorted({on_sheet[p.id] for p in group.parts if p.id in on_sheet})
        none = "none" if not sheets else ""
        done = _said(group, hand=False)
        hand = [*_said(group, hand=True), *by_hand.get(part.id, ())]
        rows.append(
            (
                group.label,
                str(len(group.parts)),
                stock.label,
                material_words(stock),
                f"{stock.nominal:g}",
                f"{stock.measured:.2f}",
                f"{sides[0]:.2f}",
                f"{sides[1]:.2f}",
                "along the length" if stock.grained else "any",
                f"{part.area:.1f}",
                none or " ".join(map(str, sheets)),
                told("; ".join(done), unit),
                told("; ".join(hand), unit),
                drawings.get(part.id, ""),
            )
        )
    return tuple(rows)


def sheet_lines(cabinet: Cabinet, layout: Layout, unit: Unit = "mm") -> tuple[str, ...]:
    """How many sheets of each stock the layout takes, with what they cost where their price is given."""
    lines, total = [], 0.0
    for stock in cabinet.shop.stocks:
        number = sum(1 for plan in layout.sheets if plan.stock == stock.id)
        if number == 0:
            continue
        across = size(f"{stock.sheet_length:g}", f"{stock.sheet_width:g}", unit)
        cost = f", {stock.price:.2f} each, {number * stock.price:.2f} in all" if stock.price else ""
        lines.append(f"{number} of {stock.label}, {across}{cost}")
        total += number * stock.price
    return (*lines, f"together {total:.2f}, sheets without a price left out") if total else tuple(lines)


def _said(group: Group, hand: bool) -> list[str]:
    """The operations of a part in words, equal ones counted together."""
    counts: dict[str, int] = {}
    for operation in operations(group.parts[0]):
        if operation.kind.endswith("by hand") == hand:
            counts[operation.said] = counts.get(operation.said, 0) + operation.count
    return [counted(n, said) for said, n in counts.items()]


def hardware_list(cabinet: Cabinet, unit: Unit = "mm") -> tuple[Row, ...]:
    """One row for each kind, name and size of what is bought: dowels, rods, pins, screws, the balls."""
    counts: dict[Row, int] = {}
    for joint in cabinet.axis_joints:
        key = (
            joint.kind,
            joint.hardware or joint.kind,
            f"{joint.diameter:.2f}",
            f"{joint.length:.2f}",
            told(_remark(joint), unit),
        )
        counts[key] = counts.get(key, 0) + 1
    rows: list[Row] = [
        (key[0], bought(key[1], unit), *key[2:4], str(n), key[4])
        for key, n in sorted(counts.items(), key=lambda item: _order(item[0]))
    ]
    balls = cabinet.balls
    spread = told(f"plus or minus {balls.spread:.2f} mm", unit)
    return (*rows, ("ball", f"{balls.material} ball", f"{balls.diameter:.2f}", "", str(balls.count), spread))


def _order(key: Row) -> tuple[str, str, float, float, str]:
    return key[0], key[1], float(key[2]), float(key[3]), key[4]


def _remark(joint: AxisJoint) -> str:
    said = []
    if joint.kind == "rod":
        said.append("cut to length")
    if joint.glued:
        said.append("glued")
    if joint.head > 0:
        said.append(f"head {joint.head:.2f} mm")
    return ", ".join(said)


def as_csv(columns: Row, rows: Sequence[Row], warnings: Sequence[str] = (), muted: Sequence[str] = ()) -> str:
    """The table as text, with the warnings and the muted findings as comment lines above it."""
    out = io.StringIO(newline="")
    for word, lines in (("WARNING", warnings), ("MUTED", muted)):
        for line in lines:
            out.write(f"# {word}: {' '.join(line.split())}\r\n")
    writer = csv.writer(out)
    writer.writerow(columns)
    writer.writerows(rows)
    return out.getvalue()
