"""Tables of bodies as people keep them: separators, units in headings and cells, gaps, and slips with their place."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.problems import Fault
from booklet.reading.bodies_table import BodiesTable, read_bodies


def table(folder: Path, text: str, unit: str | None = "mm", encoding: str = "utf-8") -> BodiesTable:
    (folder / "bodies.csv").write_bytes(text.encode(encoding))
    return read_bodies(folder / "bodies.csv", None, unit)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("name,bust_girth,hip_girth\nAnna,920,990\n", "mm"),
        ("name;bust_girth;hip_girth\nAnna;92,0;99\n", "cm"),
        ("name\tbust_girth\thip_girth\nAnna\t92\t99\n", "cm"),
        ("name,bust_girth (mm),hip_girth (cm)\nAnna,920,99\n", "in"),
        ("name,bust_girth,hip_girth\nAnna,920 mm,99 cm\n", "in"),
        ("\ufeffname,bust_girth,hip_girth\r\nAnna,920,990\r\n", "mm"),
    ],
)
def test_a_body_is_read_the_same_however_it_is_written(tmp_path: Path, text: str, unit: str) -> None:
    (row,) = table(tmp_path, text, unit).rows
    assert dict(row.measures) == pytest.approx({"bust_girth": 920, "hip_girth": 990})
    assert "Anna" in row.label


def test_an_empty_cell_is_a_measure_not_given(tmp_path: Path) -> None:
    (row,) = table(tmp_path, "bust_girth,hip_girth\n920,\n").rows
    assert dict(row.measures) == {"bust_girth": 920}


@pytest.mark.parametrize("cell", ["nan", "abc", "-5", "0", "1e99", "=1+1"])
def test_a_cell_that_is_no_length_is_a_sentence_with_its_row(tmp_path: Path, cell: str) -> None:
    (row,) = table(tmp_path, f"bust_girth,hip_girth\n{cell},990\n").rows
    assert [p.severity for p in row.problems] == ["error"]
    assert row.problems[0].sentence()


@pytest.mark.parametrize("text", ["", "\n\n", "a,b\n1,2\n"])
def test_a_table_without_bodies_is_told(tmp_path: Path, text: str) -> None:
    with pytest.raises(Fault) as told:
        table(tmp_path, text)
    assert told.value.problems[0].sentence()


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(Fault):
        read_bodies(tmp_path / "none.csv", None, "mm")
