"""What the file holds of the shop: readings, drawer, values of one's own, mutes; what is refused and in which words."""

from __future__ import annotations

import json
from typing import Any

import msgspec
import pytest

from desk.design import edit, file
from desk.design.file import DesignFileError
from desk.design.model import DowelEntry, Mute, ScrewEntry
from desk.design.own import OwnRow
from desk.design.starting import starting_design

TEXT = file.dumps(starting_design())
NEW_KEYS = ("dowels", "screws", "ball_readings", "own", "mutes")
PIN = {"id": "p8", "label": "8 mm beech", "diameter": 8.0, "length": 40.0}
SCREW = {"id": "w6", "label": "No. 6", "size": "no6", "length": 30.0}
TEAK = {
    "table": "materials",
    "id": "teak",
    "label": "Teak",
    "like": "white-oak",
    "values": {"density": 650.0},
}


@pytest.fixture
def document() -> dict[str, Any]:
    return json.loads(TEXT)


def problems(document: dict[str, Any]) -> list[str]:
    with pytest.raises(DesignFileError) as caught:
        file.loads(json.dumps(document).encode())
    return [str(p) for p in caught.value.problems]


def test_a_file_from_before_there_was_a_shop_page_opens(document):
    """The new keys all have defaults, so the schema's number stays."""
    for key in NEW_KEYS:
        del document[key]
    del document["choices"]["overall.region"]
    for stock in document["stocks"]:
        for key in ("readings", "grain", "price"):
            del stock[key]
    assert document["schema"] == 1
    assert file.loads(json.dumps(document).encode()) == starting_design()


TOLD = [
    (
        lambda d: edit.put_readings(d, "stocks.1.measured", [8.8, 8.9, 9.1]),
        '"readings": [\n        8.8,\n        8.9,\n        9.1\n      ]',
    ),
    (
        lambda d: edit.put_readings(d, "ball.diameter", [15.8, 16.4]),
        '"ball_readings": [\n    15.8,\n    16.4\n  ]',
    ),
    (lambda d: edit.put_text(d, "stocks.2.grain", "width"), '"grain": "width"'),
    (lambda d: edit.put_price(d, 2, 41.5), '"price": 41.5'),
    (lambda d: edit.add_item(d, DowelEntry("p8", "8 mm beech", 8.0, 40.0)), '"label": "8 mm beech"'),
    (lambda d: edit.add_item(d, ScrewEntry("w6", "No. 6", "no6", 30.0)), '"size": "no6"'),
    (lambda d: edit.mute(d, "lip/hold", "filed by hand"), '"reason": "filed by hand"'),
    (lambda d: edit.put_choice(d, "overall.region", "damp-coast"), '"overall.region": "damp-coast"'),
    (lambda d: edit.put_own(d, OwnRow("needs", "web", values={"value": 4.0})), '"table": "needs"'),
    (
        lambda d: edit.put_own(
            d, OwnRow("balls", "agate", "Agate", "glass", {"friction": (0.1, 0.3)}, "a shop")
        ),
        '"friction": [\n          0.1,\n          0.3\n        ]',
    ),
]


@pytest.mark.parametrize(("change", "told"), TOLD)
def test_it_is_written_and_read_back(change, told):
    design = change(starting_design())
    data = file.dumps(design)
    assert told in data.decode()
    assert file.loads(data) == design
    assert file.dumps(file.loads(data)) == data


def test_a_stock_and_a_choice_may_name_a_row_of_ones_own(document):
    document["own"] = [TEAK, {"table": "balls", "id": "agate", "like": "glass"}]
    document["stocks"][0]["material"] = "teak"
    document["choices"]["ball.material"] = "agate"
    design = file.loads(json.dumps(document).encode())
    assert design.tables.rows("materials")["teak"].number("density") == 650.0
    assert design.options("ball.material")[-1] == "agate"
    assert design.option_label("ball.material", "agate") == "Glass"
    document["own"] = []
    assert problems(document) == [
        "$.choices.ball.material: there is no option 'agate'; there are: glass, steel, hardwood, acetal, stainless, "
        "brass, acrylic",
        "$.stocks[0].material: there is no material 'teak'; there are: birch-plywood, softwood-plywood, "
        "bamboo-plywood, mdf, hardboard, hard-maple, soft-maple, red-oak, white-oak, walnut, cherry, birch, beech, "
        "ash, poplar, pine, basswood",
    ]


@pytest.mark.parametrize(
    ("place", "value", "told"),
    [
        ("stocks/0/readings", 8.9, "$.stocks[0].readings: Expected 'array', got 'float'"),
        ("stocks/0/readings", [8.9, "9"], "$.stocks[0].readings[1]: Expected 'float', got 'str'"),
        (
            "stocks/0/readings",
            [8.9, 0.1],
            "$.stocks[0].readings[1]: a reading must lie from 0.5 mm to 62 mm, not 0.1 mm",
        ),
        (
            "stocks/0/readings",
            [8.8, 9.2],
            "$.stocks[0].measured: 8.9 is not the mean of the readings, 9; correct it or take the readings out",
        ),
        ("stocks/0/readings", [8.9] * 101, "$.stocks[0].readings: 101 readings; at most 100 are kept"),
        ("stocks/0/grain", "up", "$.stocks[0].grain: Invalid enum value 'up'"),
        ("stocks/0/price", -1.0, "$.stocks[0].price: a price must lie from 0 to 1000000, not -1"),
        ("stocks/0/price", "dear", "$.stocks[0].price: Expected 'float', got 'str'"),
        (
            "stocks/0/material",
            "cheese",
            "$.stocks[0].material: there is no material 'cheese'; there are: birch-",
        ),
        ("dowels", {}, "$.dowels: a list [ ] was expected, not an object"),
        (
            "dowels",
            [{**PIN, "diameter": 0.5}],
            "$.dowels[0].diameter: Dowel diameter (dowel 1) must lie from 1 mm",
        ),
        ("dowels", [{**PIN, "colour": 1}], "$.dowels[0]: Object contains unknown field 'colour'"),
        (
            "dowels",
            [PIN, {**PIN, "label": "x"}],
            "$.dowels[1].id: id 'p8' is used twice; '8 mm beech' has it",
        ),
        (
            "screws",
            [{**SCREW, "size": "no99"}],
            "$.screws[0].size: there is no screw 'no99'; there are: no2, no3",
        ),
        (
            "screws",
            [{**SCREW, "length": 900}],
            "$.screws[0].length: Screw length (screw 1) must lie from 5 mm",
        ),
        ("screws", [{**SCREW, "label": " "}], "$.screws[0].label: label is empty"),
        ("ball_readings", [16.0, None], "$.ball_readings[1]: Expected 'float', got 'null'"),
        ("ball_readings", [1.0], "$.ball_readings[0]: a reading must lie from 5 mm to 60 mm, not 1 mm"),
        (
            "ball_readings",
            [15.2, 16.0],
            "$.ball_readings: Ball diameter is 16, but the readings say 15.6; correct it or take the readings out",
        ),
        ("ball_readings", [15.9, 16.1], "$.ball_readings: "),
        ("own", {}, "$.own: Expected 'array', got 'object'"),
        ("own", [3], "$.own[0]: Expected 'object', got 'int'"),
        ("own", [{"table": "materials"}], "$.own[0]: Object missing required field 'id'"),
        ("own", [{**TEAK, "colour": 1}], "$.own[0]: Object contains unknown field 'colour'"),
        (
            "own",
            [{**TEAK, "table": "woods"}],
            "$.own[0].table: there is no table 'woods'; there are: materials, ",
        ),
        (
            "own",
            [{**TEAK, "like": "oak"}],
            "$.own[0].like: Woods and sheets: no 'oak' to start from; there are: ",
        ),
        ("own", [{**TEAK, "like": ""}], "$.own[0].like: Woods and sheets: a new row needs 'like'"),
        ("own", [{**TEAK, "id": "../teak"}], "$.own[0].id: id '../teak' must be 1 to 24 letters, digits"),
        (
            "own",
            [{**TEAK, "label": "a\u0007"}],
            "$.own[0].label: label holds a character that cannot be printed",
        ),
        (
            "own",
            [{**TEAK, "note": "x" * 201}],
            "$.own[0].note: note has 201 characters; at most 200 are kept",
        ),
        (
            "own",
            [{**TEAK, "values": {"weight": 1.0}}],
            "$.own[0].values.weight: Woods and sheets has no 'weight'",
        ),
        ("own", [{**TEAK, "values": {"density": "650"}}], "$.own[0].values[...]: Expected "),
        ("own", [{**TEAK, "values": {"density": None}}], "$.own[0].values[...]: Expected "),
        (
            "own",
            [{**TEAK, "values": {"density": 0.0}}],
            "$.own[0].values.density: Density must lie from 50 to 1600",
        ),
        (
            "own",
            [{**TEAK, "values": {"density": [1.0]}}],
            "$.own[0].values.density: Density: one number wanted",
        ),
        ("own", [TEAK, {**TEAK, "note": "again"}], "$.own[1].id: 'teak' of materials is given twice"),
        (
            "own",
            [{"table": "needs", "id": "small_part", "values": {"value": 1.0}}],
            "$.own[0].id: 'small_part' is set by law for the safety of children and cannot be changed; take it out",
        ),
        (
            "own",
            [{"table": "needs", "id": "slack"}],
            "$.own[0].id: Limits of the checks has no 'slack'; there are: ",
        ),
        ("mutes", [{"key": "lip/hold"}], "$.mutes[0]: Object missing required field 'reason'"),
        (
            "mutes",
            [{"key": "lip/hold", "reason": " "}],
            "$.mutes[0].reason: a mute needs a reason; write why",
        ),
        ("mutes", [{"key": "", "reason": "so"}], "$.mutes[0].key: the key names no finding"),
        (
            "mutes",
            [{"key": "lip/hold", "reason": "x" * 501}],
            "$.mutes[0].reason: the reason has 501 characters",
        ),
        (
            "mutes",
            [{"key": "lip/hold", "reason": "a\u0007"}],
            "$.mutes[0].reason: the reason holds a character",
        ),
        ("mutes", [{"key": "lip/hold", "reason": "so"}] * 2, "$.mutes[1].key: 'lip/hold' is muted twice"),
        (
            "mutes",
            [{"key": "small-ball/ball", "reason": "so"}],
            "$.mutes[0].key: 'small-ball' warns of what children can choke on and cannot be muted; take the mute out",
        ),
        (
            "choices/overall.region",
            "moon",
            "$.choices.overall.region: there is no option 'moon'; there are: most, ",
        ),
    ],
)
def test_each_fault_is_told_with_its_place(document, place, value, told):
    at: Any = document
    *path, last = place.split("/")
    for step in path:
        at = at[int(step) if isinstance(at, list) else step]
    at[last] = value
    found = problems(document)
    assert len(found) == 1, found
    assert found[0].startswith(told)


def test_a_number_of_ones_own_that_json_cannot_hold_is_refused(document):
    document["own"] = [TEAK]
    data = json.dumps(document).replace("650.0", "NaN").encode()
    with pytest.raises(DesignFileError, match="not JSON"):
        file.loads(data)
    with pytest.raises(DesignFileError, match="too large"):
        file.loads(json.dumps(document).replace("650.0", "1e999").encode())


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (
            {"own": (OwnRow("balls", "glass", values={"density": float("nan")}),)},
            r"\$\.own\[0\]\.values\.density",
        ),
        ({"mutes": (Mute("small-ball/ball", "so"),)}, r"\$\.mutes\[0\]\.key: 'small-ball' warns"),
        ({"ball_readings": (float("inf"),)}, r"\$\.ball_readings\[0\]: a reading must be a finite number"),
    ],
)
def test_a_design_made_past_the_edits_is_not_written(change, told):
    with pytest.raises(DesignFileError, match=told):
        file.dumps(msgspec.structs.replace(starting_design(), **change))
