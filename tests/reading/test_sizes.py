"""A style's size table: read into bodies, and what is wrong with one told in sentences with their lines."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.steps import ROOT

from booklet.problems import Fault
from booklet.reading.sizes import read_sizes

GOOD = """\
units: cm
sizes: [34, 36, XL]
measures:
  bust_girth: [80, 84, 88]
  hip_girth: [88, 92, 37 in]
"""


def table(tmp_path: Path, text: str) -> Path:
    (tmp_path / "sizes.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def told(tmp_path: Path, text: str) -> str:
    with pytest.raises(Fault) as fault:
        read_sizes(table(tmp_path, text))
    return str(fault.value)


def test_a_column_is_a_body(tmp_path: Path) -> None:
    sizes = read_sizes(table(tmp_path, GOOD))
    assert sizes.names == ("34", "36", "XL")
    assert sizes.base == 1
    assert sizes.bodies[2].measures == {"bust_girth": 880.0, "hip_girth": 37 * 25.4}
    assert all(b.of_table and b.name == b.code for b in sizes.bodies)
    assert sizes.bodies[0].lines["hip_girth"].line == 5


def test_the_base_is_told_or_the_middle(tmp_path: Path) -> None:
    assert read_sizes(table(tmp_path, GOOD + "base: XL\n")).base == 2


@pytest.mark.parametrize(
    ("asked", "names", "base"),
    [
        ("all", ("34", "36", "XL"), 1),
        ("xl, 34", ("34", "XL"), 0),
        ("36", ("36",), 0),
        ("36,XL", ("36", "XL"), 0),
    ],
)
def test_some_sizes_are_chosen_in_the_table_s_order(
    tmp_path: Path, asked: str, names: tuple[str, ...], base: int
) -> None:
    some = read_sizes(table(tmp_path, GOOD)).chosen(asked)
    assert (some.names, some.base) == (names, base)


def test_unknown_sizes_are_told_all_at_once(tmp_path: Path) -> None:
    with pytest.raises(Fault) as fault:
        read_sizes(table(tmp_path, GOOD)).chosen("35,36,99")
    assert len(fault.value.problems) == 2
    assert "there is no size '35'" in str(fault.value)


def test_every_fault_is_told_with_its_line(tmp_path: Path) -> None:
    bad = GOOD.replace("[80, 84, 88]", "[80, 84]").replace("XL]", "36]")
    said = told(tmp_path, bad + "base: 40\n")
    assert "sizes.yaml:2: two sizes are called 36" in said
    assert "sizes.yaml:4: bust_girth has 2 lengths for 3 sizes" in said
    assert "sizes.yaml:6: base is 40, which is none of the sizes" in said


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (GOOD.replace("bust_girth", "burst_girth"), "burst_girth"),
        (GOOD.replace("XL", "[a]"), "no name of a size"),
        (GOOD.replace("XL", "'a, b'"), "cannot be the name of a size"),
        (GOOD.replace("XL", "all"), "cannot be the name of a size"),
        ("units: cm\nsizes: []\nmeasures: {bust_girth: []}\n", "sizes"),
    ],
)
def test_what_is_no_table_is_refused(tmp_path: Path, text: str, words: str) -> None:
    assert words in told(tmp_path, text)


def test_a_style_without_a_table_says_so(tmp_path: Path) -> None:
    with pytest.raises(Fault, match="no size table"):
        read_sizes(tmp_path)


def test_an_unlikely_measure_is_a_warning_of_its_size(tmp_path: Path) -> None:
    sizes = read_sizes(table(tmp_path, GOOD.replace("80, 84", "8, 84")))
    assert [len(b.problems) for b in sizes.bodies] == [1, 0, 0]


def test_the_columns_are_counted_beside_what_is_misspelt(tmp_path: Path) -> None:
    bad = (
        GOOD.replace("bust_girth", "burst_girth").replace("37 in]", "x, 94]").replace("[80, 84, 88]", "[80]")
    )
    said = told(tmp_path, bad + "base: 40\nextra: 1\n")
    assert (
        "sizes.yaml:4: measures.burst_girth: there is no measure 'burst_girth'. Did you mean 'bust_girth'?"
        in said
    )
    assert "sizes.yaml:4: burst_girth has 1 length for 3 sizes" in said
    assert "sizes.yaml:5: measures.hip_girth 3: the length is 'x', which is no number" in said
    assert "sizes.yaml:5: hip_girth has 4 lengths for 3 sizes" in said
    assert "sizes.yaml:6: base is 40" in said
    assert "sizes.yaml:7: there is no key 'extra'" in said


ORDERED = "units: cm\nsizes: [S, M, L, XL]\nmeasures:\n  bust_girth: {bust}\n  hip_girth: {hip}\n  waist_height: {high}\n"
UP, HIP, HIGH = [84, 92, 100, 110], [92, 100, 108, 118], [103, 104, 103, 105]


def disorder(tmp_path: Path, bust: list[int], hip: list[int], high: list[int] = HIGH) -> list[str]:
    sizes = read_sizes(table(tmp_path, ORDERED.format(bust=bust, hip=hip, high=high)))
    return [p.sentence().replace("\u00a0", " ") for b in sizes.bodies for p in b.problems]


def test_sizes_in_order_are_told_nothing_and_a_length_may_fall(tmp_path: Path) -> None:
    assert disorder(tmp_path, UP, HIP) == []
    assert disorder(tmp_path, UP[::-1], HIP[::-1], HIGH[::-1]) == []


def test_a_size_behind_a_larger_one_is_named_with_its_line(tmp_path: Path) -> None:
    (said,) = disorder(tmp_path, [84, 100, 92, 110], [92, 108, 100, 118])
    assert (
        "sizes.yaml:2: size L stands behind size M, which is larger: bust_girth is 92 cm after 100 cm."
        in said
    )


def test_a_girth_that_falls_while_the_rest_rises_is_a_slip(tmp_path: Path) -> None:
    (said,) = disorder(tmp_path, [84, 92, 100, 91], HIP)
    assert (
        "sizes.yaml:4: bust_girth of size XL is less than that of size L: bust_girth is 91 cm after 100 cm"
        in said
    )


@pytest.mark.parametrize(
    ("style", "count"),
    [("top", 8), ("aline", 8), ("trousers", 7), ("skirt", 8), ("apron", 4), ("blouse", 8)],
)
def test_the_shipped_tables_are_plausible(style: str, count: int) -> None:
    sizes = read_sizes(ROOT / "styles" / style)
    assert len(sizes.names) == count
    assert not [p for b in sizes.bodies for p in b.problems]
