"""`check --sizes`: every size of a table at once, each by itself and all of them held together."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from helpers.steps import ROOT

from booklet.cli import main
from booklet.problems import Problem
from booklet.reading.read import Body, read_style
from booklet.reading.shop import read_shop
from booklet.reading.sizes import read_sizes
from booklet.size_check import check_sizes

Capture = pytest.CaptureFixture[str]
SHIPPED = ("aline", "apron", "blouse", "skirt", "top", "trousers")


def problems(style: Path, bodies: tuple[Body, ...], base: int = 0, **options: str) -> tuple[Problem, ...]:
    return check_sizes(read_style(style), bodies, options, None, read_shop(style), base)


def bodies_of(style: str, asked: str) -> tuple[Body, ...]:
    return read_sizes(ROOT / "styles" / style).chosen(asked).bodies


def copied(style: str, into: Path) -> Path:
    """A shipped style that may be changed, with the bodies that it names."""
    shutil.copytree(ROOT / "demo" / "bodies", into / "demo" / "bodies")
    shutil.copytree(ROOT / "styles" / style, into / "styles" / style)
    return into / "styles" / style


@pytest.mark.slow
@pytest.mark.parametrize("style", SHIPPED)
def test_every_shipped_range_is_clean_as_a_whole(style: str) -> None:
    table = read_sizes(ROOT / "styles" / style)
    found = problems(ROOT / "styles" / style, table.bodies, table.base)
    assert not [p.sentence() for p in found if p.severity != "note"]


def test_a_dart_that_vanishes_in_one_size_names_the_size() -> None:
    """The front dart is left out where the waist is nearly as wide as the hip."""
    small, large = bodies_of("aline", "40,42")
    straight = replace(large, measures={**large.measures, "waist_girth": 1000.0})
    (told,) = problems(ROOT / "styles" / "aline", (small, straight))
    assert told.severity == "error" and told.where is not None and told.where.file.endswith("draft.yaml")
    assert told.what == "size 42 lacks the dart front_dart of front, which size 40 has"


def test_what_is_wrong_with_one_size_alone_says_so() -> None:
    small, large = bodies_of("trousers", "92,128")
    bare = replace(large, measures={k: v for k, v in large.measures.items() if k != "body_rise"})
    told = problems(ROOT / "styles" / "trousers", (small, bare))
    assert told and all(p.what.endswith("(in size 128)") for p in told)
    assert "has no body_rise" in told[0].what


def test_a_place_to_nest_at_is_held_against_the_pieces(tmp_path: Path) -> None:
    style = copied("trousers", tmp_path)
    text = (style / "style.yaml").read_text(encoding="utf-8")
    (style / "style.yaml").write_text(text + "nest at: {frond: top, back: start of hemm}\n", encoding="utf-8")
    told = [p.sentence() for p in problems(style, bodies_of("trousers", "92,128"))]
    assert any("there is no piece 'frond' to nest" in s and "style.yaml:" in s for s in told)
    assert any("back has no edge 'hemm'" in s for s in told)


# ---------------------------------------------------------------- the command


def test_the_command_says_which_sizes(root: Path, capsys: Capture) -> None:
    assert main(["check", str(root / "styles" / "trousers"), "--sizes", "98,92"]) == 0
    assert "for sizes 92 and 98, 4 combinations of options: 0 errors, 0 warnings." in capsys.readouterr().out
    assert main(["check", str(root / "styles" / "apron"), "--sizes", "M", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["sizes"] == ["M"]


def test_a_broken_table_is_told_though_no_size_is_asked_for(tmp_path: Path, capsys: Capture) -> None:
    style = copied("apron", tmp_path)
    (style / "sizes.yaml").write_text(
        "sizes: [S, M]\nmeasures:\n  bust_girth: [84]\n  hip_girt: [92, 100]\n", encoding="utf-8"
    )
    assert main(["check", str(style)]) == 1
    said = capsys.readouterr().err
    assert "sizes.yaml:3: bust_girth has 1 length for 2 sizes" in said
    assert (
        "sizes.yaml:4: measures.hip_girt: there is no measure 'hip_girt'. Did you mean 'hip_girth'?" in said
    )


def test_look_and_dxf_take_a_size(root: Path, tmp_path: Path, capsys: Capture) -> None:
    apron = str(root / "styles" / "apron")
    assert main(["look", apron, "--size", "L", "--draft", "-o", str(tmp_path / "look")]) == 0
    assert (tmp_path / "look" / "piece-apron.png").is_file()
    sizes = {}
    for size in ("S", "XL"):
        out = tmp_path / f"{size}.dxf"
        assert main(["dxf", apron, "--size", size, "-o", str(out)]) == 0
        assert f"SAMPLE SIZE: {size}" in out.read_text(encoding="utf-8")
        sizes[size] = out.read_bytes()
    assert sizes["S"] != sizes["XL"]
    capsys.readouterr()
    assert main(["look", apron, "--size", "Q", "-o", str(tmp_path / "no")]) == 1
    assert "there is no size 'Q'" in capsys.readouterr().err
