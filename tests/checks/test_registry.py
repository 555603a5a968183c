"""The register: what is refused, what is shown, what stands as a conflict."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from msgspec.structs import replace

from desk.cabinet.model import Member
from desk.checks.context import Context
from desk.checks.finding import Place, Source
from desk.checks.needs import Need
from desk.checks.registry import (
    MOST_PLACES,
    CannotEvaluate,
    Draft,
    Rating,
    Register,
    Sieve,
    Told,
    evaluate,
    rate,
    worse,
)
from desk.checks.run import checks, run
from desk.shapes.frame import Frame
from tests.checks.helpers import cabinet, on_end, pin, plate, screw

NEED = Need("some", 2.0, 0.5, "mm", Source("somebody", "practice"))
EMPTY = cabinet([plate("a", 12.0)])


def draft(key: str, measured: float, like: object = None, parts: tuple[str, ...] = ("a",)) -> Draft:
    place = Place(EMPTY.parts[0].frame, "point", ((measured, 0.0),))
    return Draft(
        key, parts, rate(NEED, measured), lambda: Told(f"title {key}", f"because {key}", (place,)), like
    )


def found(*drafts: Draft | Exception, nothing: str = "There is none."):
    register = Register()

    @register.check(1, "one", "Family", "One", nothing=nothing)
    def one(ctx: Context) -> Iterator[Draft]:
        for item in drafts:
            if isinstance(item, Exception):
                raise item
            yield item

    return evaluate(register.all()[0], Context(EMPTY))


@pytest.mark.parametrize(("number", "key"), [(1, "other"), (2, "one")])
def test_a_second_registration_is_refused(number, key):
    register = Register()
    register.check(1, "one", "Family", "One")(lambda ctx: ())
    with pytest.raises(ValueError, match=f"check {number} '{key}': 1 'one' is registered already"):
        register.check(number, key, "Family", "Again")(lambda ctx: ())


def test_checks_come_by_number():
    numbers = [c.number for c in checks()]
    assert numbers == sorted(set(numbers))
    assert len({c.id for c in checks()}) == len(numbers)


@pytest.mark.parametrize(
    ("measured", "status", "margin", "short"),
    [
        (1.999, "conflict", -0.001, 0.501),
        (2.0, "tight", 0.0, 0.5),
        (2.499, "tight", 0.499, 0.001),
        (2.5, "clear", 0.5, 0.0),
    ],
)
def test_a_lower_limit(measured, status, margin, short):
    rating = rate(NEED, measured)
    assert rating.status == status
    assert rating.margin == pytest.approx(margin)
    assert rating.short == pytest.approx(short)
    assert rating.source == NEED.source


@pytest.mark.parametrize(
    ("measured", "status"), [(2.001, "conflict"), (2.0, "tight"), (1.501, "tight"), (1.5, "clear")]
)
def test_an_upper_limit(measured, status):
    rating = rate(NEED, measured, upper=True)
    assert rating.status == status
    assert rating.margin == pytest.approx(2.0 - measured)


def test_a_need_in_diameters_scales_limit_and_tight_margin():
    rating = rate(NEED, 9.0, scale=4.0, unit="mm")
    assert (rating.needed, rating.margin, rating.status, rating.short) == (8.0, 1.0, "tight", 1.0)


def test_the_worse_of_two_is_the_worse_status_then_the_smaller_margin():
    clear, tight, conflict = rate(NEED, 3.0), rate(NEED, 2.2), rate(NEED, 1.0)
    assert worse(clear, tight, conflict) is conflict
    assert worse(clear, tight) is tight
    assert worse(rate(NEED, 2.1), tight).margin == pytest.approx(0.1)
    assert worse(Rating("clear", None, None, None, "", NEED.source), clear) is clear


def test_one_clear_finding_with_the_least_margin():
    (one,) = found(draft("a", 9.0), draft("b", 3.0), draft("c", 5.0))
    assert (one.key, one.status, one.title, one.margin) == ("one/b", "clear", "title b", 1.0)


def test_every_wrong_reading_is_shown_and_no_clear_one_beside_it():
    shown = found(draft("a", 9.0), draft("b", 1.0), draft("c", 2.2), draft("d", 0.5))
    assert [(f.key, f.status) for f in shown] == [
        ("one/d", "conflict"),
        ("one/b", "conflict"),
        ("one/c", "tight"),
    ]


def test_alike_readings_become_one_with_their_parts_and_a_few_places():
    count = MOST_PLACES + 3
    (one,) = found(*(draft(f"k{n:02}", 1.0, "same", (f"rib-{n}", "rod")) for n in reversed(range(count))))
    assert one.key == "one/k00"
    assert one.title.endswith(f"({count} alike)")
    assert set(one.parts) == {"rod", *(f"rib-{n}" for n in range(count))}
    assert len(one.places) == MOST_PLACES


def test_alike_readings_of_different_status_stay_apart():
    assert [f.status for f in found(draft("a", 1.0, "same"), draft("b", 2.1, "same"))] == [
        "conflict",
        "tight",
    ]


def test_nothing_to_look_at_is_said():
    (one,) = found()
    assert (one.status, one.because, one.margin) == ("clear", "There is none.", None)


def test_a_check_that_must_find_something_to_look_at_and_does_not_is_a_conflict():
    (one,) = found(nothing="")
    assert (one.status, one.key) == ("conflict", "one/not-evaluated")
    assert "nothing that this check could be made on" in one.because


def test_what_cannot_be_evaluated_is_a_conflict_and_hides_nothing_wrong():
    shown = found(draft("a", 9.0), draft("b", 1.0), CannotEvaluate("no such stock", ("a",)))
    assert {f.key for f in shown} == {"one/b", "one/not-evaluated"}
    missing = next(f for f in shown if f.key.endswith("not-evaluated"))
    assert (missing.status, missing.because, missing.parts) == ("conflict", "no such stock", ("a",))


def test_words_that_cannot_be_had_are_a_conflict_too():
    def silent() -> Told:
        raise CannotEvaluate("no place to show", ("b",))

    lost = [Draft(key, ("a",), rate(NEED, 1.0), silent) for key in ("a", "b")]
    shown = found(draft("c", 1.0), *lost)
    assert {(f.key, f.status) for f in shown} == {("one/c", "conflict"), ("one/not-evaluated", "conflict")}
    (alone,) = found(Draft("a", ("a",), rate(NEED, 9.0), silent))
    assert (alone.status, alone.because, alone.parts) == ("conflict", "no place to show", ("b",))


@pytest.mark.parametrize("kind", ["dowel", "screw"])
def test_a_joint_that_misses_its_part_is_a_finding(kind):
    """The pin runs along y, the part lies askew to it."""
    member = Member("high", 8.0, None, "dowel" if kind == "dowel" else "clearance")
    far = Member("a", 8.0, 10.0, "dowel" if kind == "dowel" else "pilot")
    missing = replace(on_end("high", 90.0), frame=Frame((0.0, 0.0, 90.0), (0.0, 0.6, 0.8), (1.0, 0.0, 0.0)))
    joint = pin((member, far), 0.0, 20.0) if kind == "dowel" else screw((member, far), 20.0)
    joined = ["dowel-play", "dowel-depth", "hole-edge", "screw-point", "screw-bite", "stack"]
    shown = run(cabinet([plate("a", 24.0), missing], [joint]), joined)
    said = [f for f in shown if "runs neither through the faces of High nor into its edge" in f.because]
    assert said
    assert {f.status for f in said} == {"conflict"}
    assert {f.parts for f in said} == {("high",)}


def test_any_other_exception_passes_through():
    with pytest.raises(ZeroDivisionError):
        found(draft("a", 9.0), ZeroDivisionError())


def test_findings_come_worst_first_then_by_number():
    shown = run(cabinet([plate("a", 12.0)], ball=16.0), ["small-ball", "part-fits", "web", "stack"])
    assert [f.number for f in shown] == [54, 43, 45, 47]
    assert [f.status for f in shown] == ["tight", "clear", "clear", "clear"]


def test_an_unknown_check_is_refused_by_name():
    with pytest.raises(KeyError, match="no check is called nonsense"):
        run(EMPTY, ["nonsense", "web"])


def test_the_sieve_lets_through_what_can_be_shown():
    sieve = Sieve()
    assert [sieve.wants(m, 0.5) for m in (3.0, 4.0, 2.0, 2.0, 0.4, -1.0, 1.9)] == [
        True,
        False,
        True,
        False,
        True,
        True,
        True,
    ]


def test_a_material_that_the_table_lacks_is_told():
    odd = cabinet([plate("a", 12.0)])
    stocks = (replace(odd.shop.stocks[0], material="cheese"), *odd.shop.stocks[1:])
    (one,) = run(replace(odd, shop=replace(odd.shop, stocks=stocks)), ["web"])
    assert one.status == "conflict"
    assert "cheese" in one.because
    assert one.parts == ("a",)
