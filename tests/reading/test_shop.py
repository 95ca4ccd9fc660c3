"""A shop's habits: the package's own file, and a shop's laid over it."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.problems import Fault
from booklet.reading.sewing_shape import VERBS
from booklet.reading.shop import find_shop_file, read_shop


def write(folder: Path, text: str) -> Path:
    (folder / "shop.yaml").write_text(text, encoding="utf-8")
    return folder


def test_the_packages_own_habits() -> None:
    shop = read_shop()
    assert (shop.file, shop.name) == ("", "Workroom")
    assert (shop.derived, shop.equal, shop.warning, shop.girth) == (0.5, 1.5, 3.0, 5.0)
    assert set(shop.handling) == set(VERBS)
    # An eighth of a yard is 4 1/2 in: arithmetic.
    assert shop.buy_step == {"cm": 100.0, "in": 114.3}
    # Ratios of thread to seam, ISO 4915 types 301 and 504; source: thread table after Carr and Latham.
    assert (shop.thread["sewing"].ratio, shop.thread["neatening"].ratio) == (2.5, 14.0)


def test_a_shops_file_wins_where_it_speaks(tmp_path: Path) -> None:
    shop = read_shop(
        write(tmp_path, "shop: Here\nunits: in\ncloth: {gap: 1/8}\nthread: {sewing: {waste: 20 %}}\n")
    )
    assert (shop.name, shop.gap, shop.selvedge) == ("Here", 3.175, 12.0)
    assert (shop.thread["sewing"].waste, shop.thread["sewing"].ratio) == (0.2, 2.5)


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_packages_lengths_do_not_change_with_the_shops_unit(tmp_path: Path, unit: str) -> None:
    there = read_shop(write(tmp_path, f"shop: Workroom\nunits: {unit}\n"))
    own = read_shop()
    for name in (
        "gap",
        "selvedge",
        "squaring",
        "buy_step",
        "equal",
        "girth",
        "speed",
        "tails",
        "stitch",
        "trim",
    ):
        assert getattr(there, name) == getattr(own, name)


def test_the_nearest_file_upward_counts(tmp_path: Path) -> None:
    write(tmp_path, "shop: Far\n")
    near = tmp_path / "styles"
    deep = near / "top"
    deep.mkdir(parents=True)
    assert read_shop(deep).name == "Far"
    write(near, "shop: Near\n")
    assert read_shop(deep).name == "Near"
    assert find_shop_file(deep) == near.resolve() / "shop.yaml"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("shop: A\ncloth: {gep: 3}", "shop.yaml:2: there is no key 'gep' in cloth. Did you mean 'gap'?"),
        (
            "shop: A\ncloth: {gap: -3}",
            "shop.yaml:2: cloth.gap: the length is -3, but it cannot be below zero.",
        ),
        (
            "shop: A\nminutes:\n  handling: {sew: 3}",
            "shop.yaml:3: minutes.handling has 'sew', which is no operation.",
        ),
        ("shop: ''", "shop.yaml:1: shop"),
        ("- a", "shop.yaml:1: the file does not hold keys and values."),
    ],
)
def test_a_slip_is_told_with_file_and_line(tmp_path: Path, text: str, sentence: str) -> None:
    with pytest.raises(Fault) as caught:
        read_shop(write(tmp_path, text))
    assert str(caught.value).split(tmp_path.resolve().as_posix() + "/")[-1].startswith(sentence)
