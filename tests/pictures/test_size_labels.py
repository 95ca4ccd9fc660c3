"""Lengths in pictures that differ by size become letters, and only those."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from booklet.drawing.display import Drawing, Group, Text
from booklet.model import SizeRow, Step, StepPicture
from booklet.pictures.size_labels import lettered, shown_quantities, telling_sizes, with_letters
from booklet.problems import Where

N = "\u00a0"
ROWS = (
    SizeRow("A", (f"345{N}mm", f"352{N}mm", f"352{N}mm")),
    SizeRow("B", (f"10{N}mm", f"10{N}mm", f"12{N}mm")),
)


def picture(*labels: str) -> StepPicture:
    inner = tuple(Text(0.0, 4.0 * n, label, 8.0) for n, label in enumerate(labels))
    return StepPicture("together", Drawing(50, 50, (Group(inner), Text(0, 40, "right side up", 8.0))))


def step(*labels: str, rows: Sequence[SizeRow] = ROWS) -> Step:
    pictures = (picture(*labels),) if labels else ()
    return Step(
        1,
        "it",
        "join",
        "Join",
        "",
        ("Sew.",),
        "",
        5,
        (),
        True,
        Where("s.yaml", 1),
        pictures,
        by_size=tuple(rows),
    )


def labels_of(told: Step) -> list[str]:
    drawing = told.pictures[0].drawing
    assert isinstance(drawing, Drawing) and isinstance(drawing.items[0], Group)
    return [t.text for t in drawing.items[0].items if isinstance(t, Text)]


def test_a_length_that_changes_as_a_row_does_gets_its_letter() -> None:
    told = lettered(step(f"345{N}mm flat", f"10{N}mm"), 0, [picture(f"352{N}mm flat", f"10{N}mm")], 1)
    assert labels_of(told) == ["A flat", f"10{N}mm"]


def test_a_length_that_only_happens_to_be_a_rows_stays() -> None:
    told = lettered(step(f"345{N}mm", f"345{N}mm deep"), 0, [picture(f"352{N}mm", f"345{N}mm deep")], 1)
    assert labels_of(told) == ["A", f"345{N}mm deep"]


def test_one_label_for_two_things_stays_where_they_change_apart() -> None:
    told = lettered(step(f"345{N}mm", f"345{N}mm"), 0, [picture(f"352{N}mm", f"345{N}mm")], 1)
    assert labels_of(told) == [f"345{N}mm", f"345{N}mm"]


def test_a_length_that_changes_as_no_row_does_stays() -> None:
    told = lettered(step(f"345{N}mm"), 0, [picture(f"360{N}mm")], 1)
    assert labels_of(told) == [f"345{N}mm"]


def test_the_size_that_tells_most_rows_apart_is_drawn() -> None:
    assert telling_sizes([step(f"345{N}mm", f"10{N}mm")], 0) == {"it": 2}
    assert telling_sizes([step("20 plies")], 0) == {}


def test_only_steps_that_need_it_are_drawn_again() -> None:
    asked: list[tuple[int, frozenset[str]]] = []

    def draw(n: int, only: frozenset[str]) -> dict[str, tuple[StepPicture, ...]]:
        asked.append((n, only))
        return {"it": (picture(f"352{N}mm", f"12{N}mm"),)}

    told = with_letters([step(f"345{N}mm", f"10{N}mm"), replace(step(), id="other")], 0, draw)
    assert asked == [(2, frozenset({"it"}))]
    assert labels_of(told[0]) == ["A", "B"]


def test_quantities_in_pictures() -> None:
    assert shown_quantities([step(f"345{N}mm flat", "fold")]) == {"it": frozenset({f"345{N}mm"})}
