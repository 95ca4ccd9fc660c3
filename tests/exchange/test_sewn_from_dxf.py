"""A style whose pieces all come out of a DXF file passes the same checks, with the seams of the one that was drawn."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from booklet.cli import main
from booklet.job import check_style
from booklet.reading.read import read_style


def test_a_style_is_sewn_from_pieces_that_were_taken_in(
    root: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    style = tmp_path / "style"
    shutil.copytree(root / "templates" / "new", style)
    drawn = check_style(read_style(style)).prepared
    assert main(["dxf", str(style), "-o", str(style / "all.dxf")]) == 0
    draft = (style / "draft.yaml").read_text("utf-8")
    pieces = iter(("front", "back"))

    def taken(_: re.Match[str]) -> str:
        return f"    dxf: {{file: all.dxf, piece: {next(pieces)}, edges: [waist, side, hem, centre]}}"

    draft, count = re.subn(r"    outline: .*(?:\n    fold: .*)?", taken, draft)
    assert count == 2
    (style / "draft.yaml").write_text(draft, "utf-8")
    assert main(["check", str(style), "--option", "length=knee"]) == 0, capsys.readouterr().err
    made = check_style(read_style(style)).prepared
    assert len(made.seams.seams) == len(drawn.seams.seams) > 3
    for mine, theirs in zip(made.seams.seams, drawn.seams.seams, strict=True):
        assert (mine.id, mine.treatment) == (theirs.id, theirs.treatment)
        assert mine.a_mm == pytest.approx(theirs.a_mm, abs=0.05)
    for cut, other in zip(made.cuts, drawn.cuts, strict=True):
        assert cut.extent == other.extent == "half"
        assert cut.cut.length == pytest.approx(other.cut.length, abs=0.3)
