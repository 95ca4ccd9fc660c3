"""Formulas and conditions: what they come to, what they depend on, what they refuse."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.formula import Amount, Formula, Kind, parse_condition, parse_equation, parse_formula
from booklet.problems import Fault, Where

VALUES: dict[str, float | Amount] = {
    "bust_girth": 1000.0,
    "waist": 750.0,
    "back_dart": 7.0,
    "fuller": Amount.of_kind(0.35, "ratio"),
    "slope": Amount.of_kind(30, "angle"),
}
RUNS = {
    "ring(front.neckline, back.neckline)": 560.0,
    "sleeve.lower": 300.0,
    "left_front.waist": 250.0,
    "back.waist": 200.0,
    "head[back_notch..front_notch]": 320.0,
    "back.side[hip..hem]": 400.0,
    "ring part(front.armhole, back.armhole)": 480.0,
}
HERE = Where("draft.yaml", 12)


def lookup(name: str) -> float | Amount:
    return VALUES[name]


def length_of(run: str) -> float:
    return RUNS[run]


def work(text: Any, unit: str = "in", kind: Kind = "length") -> float:
    return parse_formula(text, unit, HERE).evaluate(lookup, length_of, kind)


def refusal(text: Any, kind: Kind = "length") -> str:
    with pytest.raises(Fault) as caught:
        work(text, kind=kind)
    (problem,) = caught.value.problems
    assert problem.where == HERE
    return problem.code + ": " + problem.sentence()


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        # Block relations of the trade (b/6 + 1.5, (b + 4)/4, b/12 + 1.5): common practice, no source.
        ("40 / 6 + 1.5", 8.1667),
        ("(44 + 4) / 4", 12.0),
        ("36 / 12 + 1.5", 4.5),
        ("2 + 3 * 4", 14),
        ("2 * -3 + 10", 4),
        ("10 - 2 - 3", 5),
        ("12 / 2 / 3", 2),
        ("-2 ** 2 + 10", 6),
        ("2 ** -1", 0.5),
        ("1 1/2", 1.5),
        ("1½", 1.5),
        ("1 1/2 + ½", 2),
        ("1 - 1/2", 0.5),
        ("1/3 * 6", 2),
        ("round_to(8.1667, 1/8)", 8.125),
        ("round_to(-0.5, 1)", -1),
        ("min(3, 2, 4) + max(1, 2)", 4),
        ("hypot(3, 4)", 5),
        ("abs(-3)", 3),
        ("sqrt(2.25)", 1.5),
        ("2 in * sin(30)", 1),
        ("2 in * cos(60 deg)", 1),
        ("2 in * tan(45°)", 2),
        (0.1, 0.1),
        (3, 3),
    ],
)
def test_a_bare_result_is_a_length_in_the_files_unit(text: Any, inches: float) -> None:
    assert work(text) / 25.4 == pytest.approx(inches, abs=5e-5)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("bust_girth / 4 + 1", 250 + 25.4),
        ("(bust_girth + 4) / 4", 250 + 25.4),
        ("5/8 in + 2 cm", 35.875),
        ("2 * 5/8 in", 31.75),
        ("12 mm", 12),
        ("1 1/2 cm", 15),
        ("max(0, waist - bust_girth)", 0),
        ("min(bust_girth, 10)", 254),
        ("bust_girth * fuller", 350),
        ("bust_girth * 8 %", 80),
        ("bust_girth * sin(slope)", 500),
        ("sqrt(bust_girth * bust_girth)", 1000),
        ("bust_girth ** 2 / waist", 1e6 / 750),
        ("hypot(bust_girth, 1)", math.hypot(1000, 25.4)),
        ("round_to(bust_girth / 4, 1/8)", 250.825),
        ("{'cm': 2.5, 'in': 1}", 25.4),
    ],
)
def test_lengths_ratios_and_bare_numbers_meet_as_they_should(text: Any, mm: float) -> None:
    value = {"cm": 2.5, "in": 1} if text.startswith("{") else text
    assert work(value) == pytest.approx(mm, abs=1e-9)


def test_of_a_pair_the_booklets_unit_counts() -> None:
    pair = {"cm": 1.5, "in": "5/8"}
    by_unit = [parse_formula(pair, "in", booklet_unit=u).evaluate(lookup, length_of) for u in ("cm", "in")]
    assert by_unit == [15.0, 15.875]


@pytest.mark.parametrize(
    ("text", "mm", "runs"),
    [
        (
            "length of ring(front.neckline, back.neckline)",
            560,
            ("ring(front.neckline, back.neckline)",),
        ),
        ("length of left_front.waist + back.waist", 450, ("left_front.waist", "back.waist")),
        ("max(bust_girth, length of sleeve.lower / 1.5)", 1000, ("sleeve.lower",)),
        ("length of head[back_notch..front_notch]", 320, ("head[back_notch..front_notch]",)),
        ("back.side[hip..hem] * 2", 800, ("back.side[hip..hem]",)),
    ],
)
def test_an_edge_stands_for_its_length(text: str, mm: float, runs: tuple[str, ...]) -> None:
    formula = parse_formula(text, "cm")
    assert formula.runs == runs
    assert formula.evaluate(lookup, length_of) == pytest.approx(mm)


def test_a_formula_tells_the_names_it_depends_on_once_each_in_order() -> None:
    formula = parse_formula("max(waist, bust_girth) - waist / 2 + length of sleeve.lower", "cm")
    assert (formula.names, formula.runs) == (("waist", "bust_girth"), ("sleeve.lower",))


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("bust_girth / waist", "ratio", 4 / 3),
        ("8 %", "ratio", 0.08),
        ("0.35", "ratio", 0.35),
        ("atan((bust_girth - waist) / 25 cm)", "angle", 45),
        ("30", "angle", 30),
        ("7", "count", 7),
        ("round_to(waist / 100 mm, 1)", "count", 8),
    ],
)
def test_other_kinds_stay_plain_numbers(text: str, kind: Kind, value: float) -> None:
    assert work(text, kind=kind) == pytest.approx(value)


@pytest.mark.parametrize("text", ["1-1/2", "waist/4-1/2", "1-½", "1–1/2"])
def test_digits_hyphen_fraction_is_refused_with_both_ways_to_write_it(text: str) -> None:
    told = refusal(text)
    assert told.startswith("formula-fraction: draft.yaml:12: in the formula")
    whole = "4" if "4" in text else "1"
    assert f"Write '{whole} 1/2' for {whole} and 1/2, or '{whole} - 1/2' to subtract." in told


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("bust_girth + fuller", "adds a length and a ratio"),
        ("fuller - bust_girth", "subtracts a ratio and a length"),
        ("bust_girth / waist", "comes out as a ratio, not as a length. Give a number its unit"),
        ("bust_girth * waist", "comes out as an area"),
        ("bust_girth ** 0.5", "a length to the power of 0.5"),
        ("sqrt(bust_girth)", "square root of a length"),
        ("sqrt(-4)", "below zero"),
        ("2 ** 9", "a power must be a plain number from -8 to 8"),
        ("2 ** waist", "a power must be"),
        ("(-8) ** 0.5", "no number that can be measured"),
        ("10 / 0", "divides by zero"),
        ("1/0 in", "divides by zero"),
        ("0 ** -1", "divides by zero"),
        ("waist / (waist - waist)", "divides by zero"),
        ("nan", "no number that can be measured"),
        ("inf + 1", "no number that can be measured"),
        (float("nan"), "cannot be measured"),
        (float("inf"), "cannot be measured"),
        (10**300, "cannot be measured"),
        ("999999 m", "comes out as 999999 m"),
        ("tan(90)", "has no end"),
        ("sin(waist)", "wants an angle in degrees and gets a length"),
        ("atan(waist)", "wants a ratio and gets a length. Divide by a length"),
        ("round_to(waist, 0)", "step that is not above zero"),
        ("open(1)", "there is no function 'open'. The functions are min, max"),
        ("min(1)", "min wants 2 to 12 values and gets 1"),
        ("hypot(1, 2, 3)", "hypot wants 2 values and gets 3"),
        ('__import__("os")', "means nothing"),
        ("waist; 1", "means nothing"),
        ("2 ^ 3", "Write ** for a power"),
        ("1,5", "Write decimals with a point"),
        ("1e5", "'e5' cannot stand where it stands"),
        ("waist < 3", "Only a condition compares"),
        ("2 waist", "'waist' cannot stand where it stands"),
        ("1 +", "a number or a name is missing at the end"),
        ("(1 + 2", "')' is missing at the end"),
        ("length of", "an edge is missing after 'length of'"),
        ("length of 3", "an edge is missing"),
        ("ring(front.neckline", "is never closed"),
        ("", "is no formula"),
        (None, "is no formula"),
        (True, "is no formula"),
        ([1, 2], "is no formula"),
        ("x" * 600, "600 characters long, at most 500"),
        ("1+" * 120 + "1", "words, at most 160"),
        ("(" * 40 + "1" + ")" * 40, "nested too deep"),
        ("9" * 20, "means nothing"),
    ],
)
def test_what_a_formula_refuses_and_how_it_says_so(text: Any, words: str) -> None:
    assert words in refusal(text)


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("waist", "ratio", "comes out as a length, not as ratio is declared"),
        ("7.5", "count", "which is no count"),
        ("-1", "count", "which is no count"),
    ],
)
def test_a_result_of_another_kind_is_refused(text: str, kind: Kind, words: str) -> None:
    assert words in refusal(text, kind)


def test_a_refusal_in_the_lookup_comes_through_as_it_is() -> None:
    def unknown(name: str) -> float:
        raise Fault.of("unknown-value", f"there is no value '{name}'")

    with pytest.raises(Fault, match="there is no value 'wast'"):
        parse_formula("wast / 2", "cm").evaluate(unknown, length_of)


SUMS = st.recursive(
    st.sampled_from(["waist", "2 cm", "5/8 in", "back.waist"]),
    lambda part: st.tuples(part, st.sampled_from("+-"), part).map(lambda t: f"({t[0]} {t[1]} {t[2]})"),
    max_leaves=12,
)


@given(SUMS, st.integers(-4, 4))
def test_with_units_given_the_files_unit_changes_nothing(text: str, factor: int) -> None:
    in_three = [
        parse_formula(f"{text} * {factor}", u).evaluate(lookup, length_of) for u in ("mm", "cm", "in")
    ]
    assert in_three == pytest.approx([in_three[0]] * 3, abs=1e-9)


@given(st.integers(0, 400), st.integers(1, 16))
def test_a_bare_number_added_is_that_many_of_the_files_unit(number: int, parts: int) -> None:
    for unit, mm in (("mm", 1), ("cm", 10), ("in", 25.4)):
        worked = parse_formula(f"waist + {number}/{parts}", unit).evaluate(lookup, length_of)
        assert worked == pytest.approx(750 + number / parts * mm, abs=1e-9)


@given(st.text(alphabet="0123456789./ +-*()[],<>=abcwaistlengthofringmx%°½", max_size=40))
def test_any_text_gives_a_formula_or_a_fault_and_nothing_else(text: str) -> None:
    try:
        formula = parse_formula(text, "cm", HERE)
    except Fault:
        return
    assert isinstance(formula, Formula)


@pytest.mark.parametrize(
    ("when", "holds"),
    [
        ("back_dart > 6 mm", True),
        ("back_dart > 1", False),
        ("back_dart >= 7 mm and back_dart <= 7 mm", True),
        ("back_dart == 0.7", True),
        ("back_dart != 0.7", False),
        ("not back_dart > 6 mm", False),
        ("(bust_girth - waist) > 20 or waist < 1", True),
        ("(waist < 1 or waist > 1) and back_dart < 1", True),
        ("fuller < 0.5", True),
        ("sleeve.lower > 29", True),
        ({"neck": "wide"}, True),
        ({"neck": "slit"}, False),
        ({"neck": ["slit", "wide"], "lined": True}, True),
        ([{"neck": "wide"}, "back_dart > 6 mm"], True),
        ([{"neck": "wide"}, "back_dart > 8 mm"], False),
    ],
)
def test_conditions(when: Any, holds: bool) -> None:
    condition = parse_condition(when, "cm", HERE)
    assert condition.holds(lookup, length_of, {"neck": "wide", "lined": "true"}) is holds


def test_a_condition_tells_what_it_depends_on() -> None:
    condition = parse_condition([{"neck": ["slit", "wide"]}, "back_dart > 6 mm and back.waist > 1"], "cm")
    assert condition.names == ("back_dart",)
    assert condition.runs == ("back.waist",)
    assert condition.options == (("neck", ("slit", "wide")),)


def test_a_condition_asks_no_value_when_the_choices_already_fail() -> None:
    def never(name: str) -> float:
        raise AssertionError(name)

    condition = parse_condition([{"neck": "slit"}, "back_dart > 6 mm"], "cm")
    assert not condition.holds(never, length_of, {"neck": "wide"})


@pytest.mark.parametrize(
    ("when", "words"),
    [
        ("back_dart", "a comparison (<, <=, >, >=, ==, !=) is missing at the end"),
        ("1 < 2 < 3", "compares twice in a row"),
        ("back_dart = 2", "Write == to compare"),
        ("fuller > 1 cm", "in the condition 'fuller > 1 cm' it compares a ratio and a length"),
        ({"neck": None}, "a choice is missing"),
        (None, "is no condition"),
    ],
)
def test_what_a_condition_refuses(when: Any, words: str) -> None:
    with pytest.raises(Fault) as caught:
        parse_condition(when, "cm", HERE).holds(lookup, length_of, {})
    assert words in str(caught.value)
    assert str(caught.value).startswith("draft.yaml:12: ")


def test_an_equation_has_two_sides() -> None:
    left, right = parse_equation("length of ring(front.neckline, back.neckline) = waist + 2 cm", "in")
    assert left.runs == ("ring(front.neckline, back.neckline)",)
    assert right.evaluate(lookup, length_of) == 770
    with pytest.raises(Fault, match="Write two formulas with one = between"):
        parse_equation("waist + 2", "in", HERE)


def test_what_a_name_in_a_formula_has_to_say_gets_the_place_of_the_formula() -> None:
    where = Where("draft.yaml", 7)

    def lookup(name: str) -> float:
        raise Fault.of("unknown-value", f"there is no '{name}'", None)

    for wrong in (parse_formula("square + 1", "cm", where), parse_condition("square > 1", "cm", where)):
        with pytest.raises(Fault) as caught:
            if isinstance(wrong, Formula):
                wrong.evaluate(lookup, lambda run: 1.0)
            else:
                wrong.holds(lookup, lambda run: 1.0, {})
        assert [p.where for p in caught.value.problems] == [where]
