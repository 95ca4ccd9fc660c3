"""`look --draft`: every name of a draft is drawn, nothing over anything, and what cannot be drafted is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.cli import main
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, Text
from booklet.drawing.judge import judge
from booklet.drawn.construction import of_group
from booklet.drawn.draft import draft_what_can_be
from booklet.prepare import given_measures
from booklet.problems import Collector, Fault
from booklet.show_draft import draft_pictures, read_draft

UNFINISHED = """
units: cm
values:
  deep: hip_girth / 4
  odd: [1, 2]
construction:
  skirt:
    points:
      corner: {down: 0}
      side: {across: deep}
      wrong: {from: side, dwn: 4}
      lost: {from: nowhere, down: 3}
      low: {from: corner, down: 10}
      after_wrong: {from: wrong, down: 10}
    lines:
      waist: {straight: [corner, side]}
      gone: {straight: [side, wrong]}
      centre: {straight: [corner, low]}
marks:
  bad_mark: {on: panel.top}
pieces:
  panel:
    rectangle: {long: 10, wide: deep}
  no_size:
    rectangle: {long: odd, wide: 3}
  no_words:
    rectangle: hallo
  of_it:
    from: no_words
"""


def words_of(drawing: Drawing) -> list[str]:
    return [f.item.text.strip() for f in flat_items(drawing.items) if isinstance(f.item, Text)]


def pictures_of(folder: Path, body: Path | None = None) -> tuple[dict[str, Drawing], list[str]]:
    given = read_draft(folder, body)
    collector = Collector()
    drafted = draft_what_can_be(
        given.draft, given.style, given_measures(given.body, "whole"), given.body.file, given.options, given.units,
        collector,
    )  # fmt: skip
    drawings = dict(draft_pictures(drafted, given.units, collector))
    return drawings, [p.sentence() for p in collector.problems]


@pytest.mark.parametrize("style", ["top", "skirt", "trousers"])
def test_every_name_of_a_shipped_draft_has_its_place(style: str, root: Path) -> None:
    given = read_draft(root / "styles" / style)
    drawings, told = pictures_of(root / "styles" / style)
    assert told == []
    for group, raw in given.draft.data["construction"].items():
        drawing = drawings[f"draft-{group}"]
        said = {w for text in words_of(drawing) for w in text.split(", ")}
        assert {*raw["points"], *raw["lines"]} <= said
    for name, drawing in drawings.items():
        assert judge(drawing) == [], name
        assert not any(w.startswith("no room") for w in words_of(drawing)), name
    front = words_of(drawings["piece-left_front" if style == "skirt" else "piece-front"])
    assert "waist" in front or "neckline" in front
    assert any(w.endswith((" in", "\u00a0in", "mm", "cm")) for w in front)


def unfinished(folder: Path) -> tuple[Path, Path]:
    (folder / "draft.yaml").write_text(UNFINISHED, encoding="utf-8")
    body = folder / "body.yaml"
    body.write_text("name: A body\nunits: cm\nmeasures: {hip_girth: 96}\n", encoding="utf-8")
    return folder, body


def test_an_unfinished_draft_without_style_and_recipe_is_drawn_as_far_as_it_goes(tmp_path: Path) -> None:
    drawings, told = pictures_of(*unfinished(tmp_path))
    assert sorted(drawings) == ["draft-skirt", "piece-panel"]
    said = words_of(drawings["draft-skirt"])
    assert {"corner", "side", "low", "waist", "centre"} <= set(said)
    assert {f"not drawn: point {n}" for n in ("wrong", "lost", "after_wrong")} <= set(said)
    assert "not drawn: line gone" in said
    lines = [sentence.split(": ")[0].rsplit(":", 1)[1] for sentence in told]
    assert lines == ["5", "11", "20", "27", "12"]
    assert not any("unsound" in t for t in told)


def test_the_command_writes_pictures_tells_what_failed_and_fails(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, body = unfinished(tmp_path)
    out = tmp_path / "out"
    assert main(["look", str(folder), "--draft", "--body", str(body), "-o", str(out)]) == 1
    assert sorted(p.name for p in out.iterdir()) == ["draft-skirt.png", "piece-panel.png"]
    caught = capsys.readouterr()
    assert "Wrote 2 pictures" in caught.out
    assert "dwn" in caught.err


def test_a_sound_draft_ends_well_and_the_same_bytes_come_again(tmp_path: Path, root: Path) -> None:
    style = str(root / "styles" / "apron")
    for n in ("one", "two"):
        assert main(["look", style, "--draft", "-o", str(tmp_path / n)]) == 0
    first = {p.name: p.read_bytes() for p in (tmp_path / "one").iterdir()}
    assert len(first) == 4
    assert first == {p.name: p.read_bytes() for p in (tmp_path / "two").iterdir()}


def test_a_draft_without_a_body_says_what_is_missing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, _ = unfinished(tmp_path)
    assert main(["look", str(folder), "--draft"]) == 1
    assert "style.yaml" in capsys.readouterr().err
    assert main(["look", str(folder / "none"), "--draft"]) == 1
    assert "folder" in capsys.readouterr().err


def test_a_file_that_is_no_yaml_is_told_in_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, body = unfinished(tmp_path)
    (folder / "draft.yaml").write_text("units: cm\nvalues: {a: [\n", encoding="utf-8")
    assert main(["look", str(folder), "--draft", "--body", str(body)]) == 1
    told = capsys.readouterr().err
    assert "draft.yaml" in told and "Traceback" not in told


@pytest.mark.parametrize("line", range(9, 120, 9))
def test_a_draft_with_one_line_spoilt_is_still_drawn_or_told(line: int, tmp_path: Path, root: Path) -> None:
    """Whatever stands in a line, the rest is worked out, and what is wrong is a sentence with a place."""
    style = root / "styles" / "top"
    text = (style / "style.yaml").read_text(encoding="utf-8")
    (tmp_path / "style.yaml").write_text(
        text.replace("../../demo", (root / "demo").as_posix()), encoding="utf-8"
    )
    lines = (style / "draft.yaml").read_text(encoding="utf-8").split("\n")
    key = lines[line].split(":")[0]
    for spoilt in (f"{key}: [1, a]", f"{key}: {{oddly: 3}}", f"{key}: nowhere"):
        damaged = "\n".join([*lines[:line], spoilt, *lines[line + 1 :]])
        (tmp_path / "draft.yaml").write_text(damaged, encoding="utf-8")
        try:
            given = read_draft(tmp_path)
            collector = Collector()
            drafted = draft_what_can_be(
                given.draft,
                given.style,
                given_measures(given.body, "whole"),
                given.body.file,
                {},
                "cm",
                collector,
            )
        except Fault as fault:
            assert all(p.where is not None for p in fault.problems)
            continue
        for group in drafted.table.data.get("construction") or {}:
            of_group(drafted, group, collector)
        assert all(p.where is not None for p in collector.problems)
