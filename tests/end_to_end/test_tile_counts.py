"""Pages of the shipped patterns, counted by the bench: few where they are tiled, never more where sheets are big."""

from __future__ import annotations

import argparse
from typing import Any

import pytest

from tests.bench import tiles

MOST = 0.8  # of the pages that each piece by itself needs on an uncut grid


def counted(styles: list[str] | None, papers: tuple[str, ...], monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.setattr(tiles, "PAPERS", papers)
    told = tiles.run(argparse.Namespace(style=styles))
    for row, line in zip(told["papers"], tiles.lines(told), strict=True):
        assert f"{row['pages']} pages" in line and f"{row['alone']} one by one" in line
        assert row["pages"] == sum(ours for ours, _ in row["styles"].values())
    return told["papers"]


def test_two_patterns_on_a4_and_a_roll(monkeypatch: pytest.MonkeyPatch) -> None:
    a4, roll = counted(["apron", "trousers"], ("a4", "roll 914 mm"), monkeypatch)
    assert a4["share"] <= MOST
    assert all(ours == 1 and ours <= alone for ours, alone in roll["styles"].values())


@pytest.mark.slow
def test_all_patterns_on_every_paper(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = counted(None, tiles.PAPERS, monkeypatch)
    assert set(tiles.TILED) < {row["paper"] for row in rows}
    for row in rows:
        assert len(row["styles"]) >= 6
        if row["paper"] in tiles.TILED:
            assert row["share"] <= MOST, row
        else:
            assert all(ours <= alone for ours, alone in row["styles"].values()), row
