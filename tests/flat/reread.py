"""Reads exported drawings back without the exporter: by ezdxf, and by GDAL, whose DXF reader is its own."""

from __future__ import annotations

import math
from collections import defaultdict
from pathlib import Path

import ezdxf
import numpy as np
import pyogrio
import shapely
from ezdxf.math import bulge_to_arc


def documents(folder: Path):
    """Every drawing in a folder, read by ezdxf."""
    return {path.name: ezdxf.readfile(path) for path in sorted(folder.glob("*.dxf"))}


def exact_area(polyline) -> float:
    """Signed area of a closed LWPOLYLINE, arcs exact: shoelace, and a circular segment for each bulge."""
    assert polyline.closed
    points = list(polyline.get_points("xyb"))
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1], strict=True):
        total += (x0 * y1 - x1 * y0) / 2
        if bulge:
            _, start, end, radius = bulge_to_arc((x0, y0), (x1, y1), bulge)
            sweep = (end - start) % (2 * math.pi)
            total += math.copysign(radius**2 * (sweep - math.sin(sweep)) / 2, bulge)
    return total


def areas(doc) -> dict[str, list[float]]:
    """Areas of all closed lines by layer, exact, counter-clockwise positive; circles positive."""
    found = defaultdict(list)
    for entity in doc.modelspace():
        if entity.dxftype() == "LWPOLYLINE" and entity.closed:
            found[entity.dxf.layer].append(exact_area(entity))
        elif entity.dxftype() == "CIRCLE":
            found[entity.dxf.layer].append(math.pi * entity.dxf.radius**2)
    return dict(found)


def areas_by_gdal(path: Path, step: float = 0.01) -> dict[str, list[float]]:
    """Areas of all closed lines by layer as GDAL sees them, arcs cut into chords of ``step`` degrees, unsigned.

    0.01 degrees is the finest GDAL takes; a whole circle of 20 mm radius then misses 0.000006 mm².
    """
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": str(step)})
    try:
        meta, _, geometries, fields = pyogrio.raw.read(path, columns=["Layer"])
    finally:
        pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None})
    assert list(meta["fields"]) == ["Layer"]
    found = defaultdict(list)
    for name, shape in zip(fields[0], shapely.from_wkb(geometries), strict=True):
        coords = shapely.get_coordinates(shape)
        if shape.geom_type == "LineString" and len(coords) > 3 and np.array_equal(coords[0], coords[-1]):
            found[name].append(shapely.Polygon(coords).area)
        elif shape.geom_type == "Polygon":
            found[name].append(shape.area)
    return dict(found)
