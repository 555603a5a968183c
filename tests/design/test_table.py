"""The table of dimensions: every declared number and choice is walked, and bad tables are refused."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from desk.design import table
from desk.resources import table as resource_table

EVERY_SPEC = [*table.specs(), *(s for name in table.LISTS for s in table.list_fields(name))]


@pytest.mark.parametrize("spec", EVERY_SPEC, ids=lambda s: s.address)
def test_every_declared_number_is_sane(spec):
    assert spec.label.strip() == spec.label != ""
    assert spec.unit in ("length", "angle", "count", "speed", "ratio")
    assert spec.hard[0] <= spec.soft[0] <= spec.default <= spec.soft[1] <= spec.hard[1]
    assert spec.hard[0] < spec.hard[1]
    assert 0 < spec.step <= spec.hard[1] - spec.hard[0]
    assert 0 <= spec.tolerance < spec.hard[1] - spec.hard[0]
    assert set(spec.views) <= {"lane", "channel", "plan", "face", "rear"}
    assert spec.unit == "length" or not spec.scales, "only lengths grow with the ball"
    if spec.unit == "count":
        assert all(n == int(n) for n in (*spec.hard, *spec.soft, spec.default, spec.step))


def test_addresses_and_labels_are_unique():
    addresses = [s.address for s in EVERY_SPEC] + [c.id for c in table.choices()]
    assert len(addresses) == len(set(addresses))
    labels = [s.label for s in table.specs()]
    assert len(labels) == len(set(labels))


def test_every_group_has_a_dimension_and_every_dimension_a_group():
    assert {s.group for s in table.specs()} == {g.id for g in table.groups()}


@pytest.mark.parametrize("choice", table.choices(), ids=lambda c: c.id)
def test_every_choice_has_options(choice):
    assert choice.label
    if choice.options_from is None:
        assert choice.default in choice.options
        assert len(set(choice.options)) == len(choice.options) >= 2
    else:
        assert not choice.options
    assert table.choice(choice.id) is choice
    assert table.choice_defaults()[choice.id] == choice.default


def test_the_spec_of_a_list_item_names_the_item():
    spec = table.spec("targets.2.hole")
    assert (spec.address, spec.list_name, spec.item) == ("targets.2.hole", "targets", 2)
    assert spec.title == "Hole diameter (target 2)"
    assert spec.hard == table.list_fields("targets")[2].hard
    assert table.spec("ball.diameter").title == "Ball diameter"


@pytest.mark.parametrize(
    "address",
    [
        "",
        "ball",
        "ball.diameters",
        "ball.1.diameter",
        "targets.hole",
        "targets.0.hole",
        "targets.01.hole",
        "targets.-1.hole",
        "targets.1.kind",
        "targets.1.hole.x",
        "stocks.1.id",
        "rings.1.hole",
        "stock.wall",
        "targets.٣.hole",
    ],
)
def test_unknown_addresses_are_refused_by_name(address):
    with pytest.raises(table.UnknownAddress, match=r"there is no dimension") as caught:
        table.spec(address)
    assert f"'{address}'" in str(caught.value)


def test_an_unknown_choice_is_refused():
    with pytest.raises(table.UnknownAddress, match=r"there is no choice 'ball\.diameter'"):
        table.choice("ball.diameter")


@pytest.mark.parametrize(
    ("address", "parts"),
    [
        ("targets.12.up", ("targets", 12, "up")),
        ("silhouette.1.nothing", ("silhouette", 1, "nothing")),
        ("ball.diameter", None),
        ("lane.1.width", None),
        ("targets.0.up", None),
    ],
)
def test_addresses_are_split(address, parts):
    assert table.split(address) == parts


def _data() -> dict[str, Any]:
    return copy.deepcopy(resource_table("dimensions.toml"))


def test_the_shipped_table_reads_twice_alike():
    assert table.read(_data()) == table.read(_data())


@pytest.mark.parametrize(
    ("kind", "reason"),
    [
        ("dimension", "ball.diameter is declared twice"),
        ("group", "ball is declared twice"),
        ("field", "targets.across is declared twice"),
        ("choice", "ball.material is declared twice"),
    ],
)
def test_repeated_ids_are_refused(kind, reason):
    data = _data()
    data[kind].append(copy.deepcopy(data[kind][0]))
    with pytest.raises(table.TableError, match=reason):
        table.read(data)


@pytest.mark.parametrize(
    ("kind", "change", "reason"),
    [
        ("dimension", {"id": "nowhere.width"}, "the group must be declared"),
        ("dimension", {"id": "ball.Diameter"}, "an id is group.name"),
        ("dimension", {"unit": "furlong"}, "unit"),
        ("dimension", {"default": "16"}, "default"),
        ("dimension", {"default": 5.5}, "hard must hold soft"),
        ("dimension", {"soft": [4.0, 40.0]}, "hard must hold soft"),
        ("dimension", {"hard": [5.0, 60.0, 70.0]}, "hard"),
        ("dimension", {"step": 0.0}, "the step must be above zero"),
        ("dimension", {"tolerance": -0.1}, "tolerance"),
        ("dimension", {"views": ["cellar"]}, "views"),
        ("dimension", {"colour": "red"}, "colour"),
        ("field", {"list": "rails"}, "list"),
        ("choice", {"default": "cheese"}, "give either options"),
        ("choice", {"options_from": "stocks"}, "give either options"),
        ("choice", {"id": "ball.diameter"}, "ball.diameter is declared twice"),
    ],
)
def test_senseless_rows_are_refused(kind, change, reason):
    data = _data()
    place = next(k for k, row in enumerate(data[kind]) if not row.get("options_from"))
    data[kind][place].update(change)
    with pytest.raises(table.TableError, match=reason):
        table.read(data)


def test_a_missing_key_and_an_unknown_table_are_refused():
    data = _data()
    del data["dimension"][0]["label"]
    with pytest.raises(table.TableError, match="label"):
        table.read(data)
    with pytest.raises(table.TableError, match="unknown table colour"):
        table.read({**_data(), "colour": []})
