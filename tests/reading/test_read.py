"""A style's folder and a body's file into checked data; every slip told with its file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.cli import main
from booklet.problems import Fault
from booklet.reading.measures import MEASURES, PLAUSIBLE_MM
from booklet.reading.read import Sided, read_base, read_body, read_style

STYLE = """\
style: B-01
title: Bag
version: "1.0"
dated: 2026-01-01
units: cm
base: body.yaml
needs: [hip_girth]
rules: {waist_girth: hip_girth - 20}
options:
  handle: [short, long]
  lined: [yes, no]
option titles:
  handle: {short: a short handle}
cloths:
  main: {title: main cloth, widths: [150 cm], shrinkage: 4 %}
notions:
  - thread: sewing
  - button: {diameter: 11 mm, when: {handle: long}}
finished:
  round: {level: top, across: [bag], covers: hip_girth, least: 1}
openings:
  top: {ring: bag.upper, passes: hand_girth}
"""
DRAFT = """\
units: cm
values:
  wide: hip_girth / 4
  deep: {is: 30, when: {lined: yes}, else: 25}
  share: {is: 1/2, kind: ratio}
construction:
  bag:
    points:
      low: {down: deep}
      mid: {midway: [low, low], in: 2}
    lines:
      side: {straight: [low, mid]}
marks:
  middle: {on: bag.upper, from: side, at: 3}
pieces:
  bag:
    number: 1
    title: Bag
    rectangle: {long: wide, wide: deep}
    edges: [upper, right_side, foot, left_side]
    cut: {main: 2}
    allow: {upper: 3, other: 1}
    hem folds: {upper: {handle: long}}
"""
SEWING = """\
steps:
  - join: [bag.right_side, bag.left_side]
    id: side
    press: open
    when: {handle: [short, long]}
  - hem: {run: bag.upper, kind: double}
  - press: {all: true}
"""
BODY = """\
name: Someone
units: in
measures:
  hip_girth: 38 1/2
  upper_arm_girth: {left: 11, right: 29 cm}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small style that is in order."""
    for name, text in (("style", STYLE), ("draft", DRAFT), ("sewing", SEWING), ("body", BODY)):
        (tmp_path / f"{name}.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def change(folder: Path, name: str, old: str, new: str) -> None:
    path = folder / f"{name}.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) >= 1, old
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def told(folder: Path) -> list[str]:
    """The sentences of a style that cannot be read, without the folder's name."""
    with pytest.raises(Fault) as caught:
        read_style(folder)
    return [p.sentence().removeprefix(folder.as_posix() + "/") for p in caught.value.problems]


def test_a_style_in_order_is_read(folder: Path) -> None:
    files = read_style(folder)
    assert files.style.options == {"handle": ["short", "long"], "lined": ["yes", "no"]}
    assert files.draft.pieces["bag"].edges == ["upper", "right_side", "foot", "left_side"]
    assert files.sewing.steps[0].join == ["bag.right_side", "bag.left_side"]
    assert files.base == folder / "body.yaml"
    assert list(files.sources) == ["style", "draft", "sewing"]


@pytest.mark.parametrize(
    ("base", "named", "mend"),
    [
        ("nobody.yaml", "/nobody.yaml", "Name a body's file"),
        ("..", "", "Name a body's file"),  # a folder
        ("bodies/mart.yaml", "/bodies/mart.yaml", "Did you mean 'marit.yaml'?"),
        ("../none/marit.yaml", "/none/marit.yaml", "Name a body's file"),
    ],
)
def test_a_base_that_is_not_there_is_told_at_its_line(
    folder: Path, base: str, named: str, mend: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "bodies").mkdir()
    (folder / "bodies" / "marit.yaml").write_text(BODY)
    style = folder / "style.yaml"
    style.write_text(STYLE.replace("base: body.yaml", f"base: {base}"))
    with pytest.raises(Fault) as caught:
        read_base(folder, read_style(folder).sources["style"])
    (told,) = (p.sentence() for p in caught.value.problems)
    assert told.startswith(f"{style.as_posix()}:6: base is '{base}', and there is no file ")
    assert named in told and mend in told
    for command in (["check"], ["make", "--fresh"], ["look", "--draft"], ["facts"]):
        assert main([command[0], str(folder), *command[1:]]) == 1
        assert f"style.yaml:6: base is '{base}'" in capsys.readouterr().err, command


@pytest.mark.parametrize("style", ["top", "skirt"])
def test_the_projects_own_styles_are_in_order(root: Path, style: str) -> None:
    files = read_style(root / "styles" / style)
    assert files.base.is_file()
    assert len(files.sewing.steps) >= 12


@pytest.mark.parametrize(
    ("name", "old", "new", "sentence"),
    [
        ("draft", "number: 1", "numbr: 1", "draft.yaml:17: there is no key 'numbr' in pieces.bag. Did you mean"),
        ("draft", "pieces:", "peices:", "draft.yaml:15: there is no key 'peices'. Did you mean 'pieces'?"),
        ("draft", "{down: deep}", "{donw: deep}",
         "draft.yaml:9: there is no key 'donw' in construction.bag.points.low. Did you mean 'down'?"),
        ("draft", "hip_girth / 4", "hip_girth / 4 + 1-1/2",
         "draft.yaml:3: values.wide: in the formula 'hip_girth / 4 + 1-1/2' it is not clear what '1-1/2' means."),
        ("draft", "wide: hip_girth / 4", "wide:", "draft.yaml:3: values.wide is empty, a number or a formula"),
        ("draft", "wide: hip_girth / 4", "max: hip_girth / 4", "draft.yaml:3: values.max is a word that formulas use"),
        ("draft", "wide: hip_girth / 4", "so wide: 3", "draft.yaml:3: values.so wide is not a name that formulas"),
        ("draft", "lined: yes", "lined: perhaps",
         "draft.yaml:4: the option lined has no choice 'perhaps'. Known: yes, no."),
        ("draft", "{lined: yes}", "{line: yes}",
         "draft.yaml:4: there is no option 'line'. Did you mean 'lined'? Known: handle, lined."),
        ("draft", "when: {lined: yes}, else", "else", "draft.yaml:4: values.deep has else: without when:."),
        ("draft", "[low, low], in: 2", "[low], in: 2",
         "draft.yaml:10: construction.bag.points.mid.midway is a list of 1, a list of at least 2 was expected."),
        ("draft", "{straight: [low, mid]}", "{}", "draft.yaml:12: construction.bag.lines.side must be straight"),
        ("draft", "at: 3", "at: ok, where: x", "draft.yaml:14: marks.middle has no place, or two."),
        ("draft", "{main: 2}", "{mian: 2}",
         "draft.yaml:21: bag is cut from 'mian', which the style does not have. Did you mean 'main'?"),
        ("draft", "{main: 2}", "[{cloth: main, as: single}]",
         "draft.yaml:21: pieces.bag.cut 1 is cut as single without a side. Add side:"),
        ("draft", "{main: 2}", "{main: two}", "draft.yaml:21: pieces.bag.cut.main is 'two', a whole number"),
        ("draft", "rectangle: {long: wide, wide: deep}", "fold: foot",
         "draft.yaml:16: pieces.bag is given by nothing. Give it one of outline, rectangle, facing,"),
        ("draft", "{handle: long}", "{handle: lang}",
         "draft.yaml:23: the option handle has no choice 'lang'. Did you mean 'long'?"),
        ("sewing", "hem:", "hemm:", "sewing.yaml:6: steps 2 has no operation. Did you mean 'hem'?"),
        ("sewing", "id: side", "hem: {run: bag.upper}",
         "sewing.yaml:2: steps 1 has 2 operations, join and hem. Write each as an entry of its own."),
        ("sewing", "[bag.right_side, bag.left_side]", "[bag.right_side]",
         "sewing.yaml:2: steps 1.join is a list of 1, a list of at least 2 was expected."),
        ("sewing", "double", "duble",
         "sewing.yaml:6: steps 2.hem.kind is 'duble', single, double, narrow or blind was expected. Did you mean 'double'?"),
        ("sewing", "- press: {all: true}", "- press: {all: true}\n    id: side",
         "sewing.yaml:8: step 3 has the id 'side' of step 1."),
        ("style", "title: Bag\n", "", "style.yaml:1: the file has no 'title'. Add it."),
        ("style", 'version: "1.0"', "version: 1.0",
         "style.yaml:3: version is '1.0', text was expected. Put it in quotes if it is meant as text."),
        ("style", "[hip_girth]", "[hip_grith]",
         "style.yaml:7: needs 1: there is no measure 'hip_grith'. Did you mean 'hip_girth'?"),
        ("style", "waist_girth: hip", "waste_girth: hip",
         "style.yaml:8: rules.waste_girth: there is no measure 'waste_girth'. Did you mean 'waist_girth'?"),
        ("style", "[150 cm]", "[150 ells]", "style.yaml:15: cloths.main.widths 1: the length is '150 ells': 'ells'"),
        ("style", "[150 cm]", "[-150 cm]", "style.yaml:15: cloths.main.widths 1: the length is -150 cm, but"),
        ("style", "shrinkage: 4 %", "shrinkage: 4 cm", "style.yaml:15: cloths.main.shrinkage: the ratio is '4 cm'"),
        ("style", "- thread: sewing", "- count: 2", "style.yaml:17: notions 1 is nothing. Give it one of thread,"),
        ("style", "level: top, ", "", "style.yaml:20: finished.round has no level."),
        ("style", ", passes: hand_girth", "", "style.yaml:22: openings.top does not say what passes it."),
        ("style", "title: main cloth", "title: main cloth, washed",
         "style.yaml:15: there is no key 'washed' in cloths.main. If it goes on from the words before it, put all"),
        ("style", "{short: a", "{shrot: a", "style.yaml:13: the option handle has no choice 'shrot'. Did you"),
        ("style", "units: cm", "units: km", "style.yaml:5: units is 'km', in, cm or mm was expected."),
    ],
)  # fmt: skip
def test_a_slip_is_told_with_file_and_line(
    folder: Path, name: str, old: str, new: str, sentence: str
) -> None:
    change(folder, name, old, new)
    problems = told(folder)
    assert len(problems) <= 2  # a misspelt key may also be a missing one
    assert problems[-1].startswith(sentence)


def test_the_slips_of_all_three_files_are_told_at_once(folder: Path) -> None:
    change(folder, "style", "title: Bag", "titel: Bag")
    change(folder, "draft", "number: 1", "number: one")
    (folder / "sewing.yaml").unlink()
    assert [p.split(": ")[0] for p in told(folder)] == [
        "sewing.yaml:1",
        "style.yaml:1",
        "style.yaml:2",
        "draft.yaml:17",
    ]


def test_a_file_of_another_kind_is_told(folder: Path) -> None:
    (folder / "sewing.yaml").write_text("- join: [a, b]\n", encoding="utf-8")
    assert told(folder)[0].startswith("sewing.yaml:1: the file does not hold keys and values.")


def test_a_folder_that_is_not_there_names_its_neighbours(folder: Path) -> None:
    (folder / "skirts").mkdir()
    (folder / "skirts" / "style.yaml").write_text(STYLE, encoding="utf-8")
    with pytest.raises(Fault, match=r"skirt:1: there is no such folder\. Did you mean 'skirts'\?"):
        read_style(folder / "skirt")


def test_a_body_is_in_millimetres_in_the_order_of_the_list(folder: Path) -> None:
    body = read_body(folder / "body.yaml")
    assert body.measures == {"hip_girth": 977.9, "upper_arm_girth": Sided(279.4, 290.0)}
    assert body.lines["upper_arm_girth"].line == 5
    assert body.problems == ()


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("hip_girth: 38 1/2", "hip_grith: 38", "body.yaml:4: measures.hip_grith: there is no measure 'hip_grith'."),
        ("38 1/2", "nan", "body.yaml:4: measures.hip_girth: the length is 'nan', which is no number."),
        ("38 1/2", "-38", "body.yaml:4: measures.hip_girth: the length is -38, but it cannot be below zero."),
        ("38 1/2", "0", "body.yaml:4: hip_girth is 0, but it must be more than zero."),
        ("{left: 11, right: 29 cm}", "{left: 11}", "body.yaml:5: measures.upper_arm_girth has no 'right'. Add it."),
        ("name: Someone", "nme: Someone", "body.yaml:1: there is no key 'nme'. Did you mean 'name'?"),
    ],
)  # fmt: skip
def test_a_slip_in_a_body_is_told(folder: Path, old: str, new: str, sentence: str) -> None:
    change(folder, "body", old, new)
    with pytest.raises(Fault) as caught:
        read_body(folder / "body.yaml")
    assert any(
        p.sentence().split(folder.as_posix() + "/")[-1].startswith(sentence) for p in caught.value.problems
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "{bust_girth: 36}",
            "bust_girth is 360 mm; usual is 600 mm to 180 cm. If it was measured in in, write units: in",
        ),
        ("{wrist_girth: 61}", "wrist_girth is 610 mm; usual is 120 mm to 240 mm. Measure again."),
        ("{bust_girth: 90, waist_girth: 95}", "waist_girth (950 mm) is not less than bust_girth (900 mm)."),
    ],
)
def test_what_is_unlikely_is_a_warning(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "body.yaml"
    path.write_text(f"name: Someone\nunits: cm\nmeasures: {text}\n", encoding="utf-8")
    (problem,) = read_body(path).problems
    assert problem.severity == "warning"
    assert words in problem.sentence().replace("\u00a0", " ")


def test_every_measure_has_a_range_that_begins_below_its_end() -> None:
    assert len(MEASURES) == 32
    assert all(0 < low < high for low, high in PLAUSIBLE_MM.values())
