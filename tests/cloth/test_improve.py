"""The improver: shorter open lays from a solver beside us, and our own lay whenever anything goes wrong."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from typing import Any

import pytest
from helpers.lay_garments import blouse, check_lay, on_fold, rect

from booklet.cloth import improve
from booklet.cloth.engine import Lay, lay, relaid
from booklet.cloth.improve import improved, run_children
from booklet.cloth.pieces import CannotLay, ClothGround, LayPiece

GAP = 3.0
WIDTH = 1110.0
Answer = Callable[[dict[str, Any]], str | None]


def own() -> Lay:
    return lay(blouse(), "open", WIDTH)


def answered(monkeypatch: pytest.MonkeyPatch, answer: Answer) -> list[dict[str, Any]]:
    """Puts a pretended solver in the child's place; what it was asked."""
    asked: list[dict[str, Any]] = []

    def run(texts: list[str], *_: object) -> list[str | None]:
        asked.extend(json.loads(t) for t in texts)
        return [answer(json.loads(t)) for t in texts]

    monkeypatch.setattr(improve, "run_children", run)
    return asked


def one_behind_another(asked: dict[str, Any], step: float = 1.0) -> str:
    """A lay that can be cut: everything in one row, each `step` times its length behind the one before."""
    told = []
    x = 0.0
    for item in asked["items"]:
        xs, ys = zip(*item["points"], strict=True)
        for _ in range(item["demand"]):
            told.append([str(item["id"]), 0.0, x - min(xs), -min(ys)])
            x += (max(xs) - min(xs)) * step
    return json.dumps(told)


def test_the_solver_makes_a_lay_of_many_pieces_shorter() -> None:
    start = own()
    found = improved(blouse(), WIDTH, seconds=2, gap=GAP, workers=2, start=start)
    assert found.said == "" and found.lay is not None
    assert found.lay.length < start.length - 1
    check_lay(found.lay, blouse(), GAP)
    assert found.lay.bound == pytest.approx(start.bound)
    order = relaid(blouse(), ClothGround(WIDTH, GAP), found.lay.recipe, found.lay.genes)  # type: ignore[arg-type]
    assert order is not None and order.length < 2 * found.lay.length


def test_pieces_as_wide_as_the_cloth_fit() -> None:
    pieces = (LayPiece("wide", rect(300, WIDTH), "same", 2), LayPiece("small", rect(200, 400), "same", 4))
    found = improved(pieces, WIDTH, seconds=1, gap=GAP)
    assert found.lay is not None, found.said
    check_lay(found.lay, pieces, GAP)


def test_pieces_with_nap_are_not_turned() -> None:
    pieces = blouse(nap=True)
    found = improved(pieces, 1490.0, seconds=1, gap=GAP)
    assert found.lay is not None
    assert all(p.placement.turn.real > 0 for p in found.lay.placements)
    check_lay(found.lay, pieces, GAP)


def test_a_lay_in_a_row_is_taken_from_any_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = answered(monkeypatch, one_behind_another)
    found = improved(blouse(), WIDTH, seconds=7, gap=GAP, seeds=(1, 2), workers=2)
    assert found.lay is not None
    check_lay(found.lay, blouse(), GAP)
    assert [a["seconds"] for a in asked] == [3, 3, 3, 3]
    assert len({a["seed"] for a in asked}) == 4


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (lambda _: None, "found no lay"),
        (lambda _: "[[", "can be read"),
        (lambda _: "[]", "can be read"),
        (lambda _: '[["0", NaN, 0, 0]]', "can be read"),
        (lambda _: '[["99", 0, 0, 0]]', "can be read"),
        (lambda _: '[["0", 90.0, 0, 0]]', "can be read"),
        (lambda a: one_behind_another(a, 0.5), "overlap"),
        (lambda a: one_behind_another(a, 0.999), "too near"),
        (one_behind_another, ""),  # sound, but longer
    ],
)
def test_whatever_goes_wrong_our_own_lay_stays(
    answer: Answer, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    answered(monkeypatch, answer)
    start = own()
    found = improved(blouse(), WIDTH, seconds=1, gap=GAP, start=start)
    assert found.lay is start
    assert said in found.said
    assert not found.said or found.said.endswith(".")


def test_a_lay_off_the_cloth_is_not_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    def low(asked: dict[str, Any]) -> str:
        told = json.loads(one_behind_another(asked))
        told[0][3] -= 1.0
        return json.dumps(told)

    answered(monkeypatch, low)
    assert "beyond the cloth" in improved(blouse(), WIDTH, seconds=1, gap=GAP).said


def test_without_the_solver_the_lay_stays(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(improve, "find_spec", lambda _: None)
    start = own()
    found = improved(blouse(), WIDTH, seconds=1, start=start)
    assert found.lay is start and "booklet[lay]" in found.said


def test_less_than_a_second_is_no_time() -> None:
    start = own()
    found = improved(blouse(), WIDTH, seconds=0.9, start=start)
    assert found.lay is start and "less than a second" in found.said


def test_what_cannot_be_laid_open_is_refused() -> None:
    with pytest.raises(CannotLay):
        improved((on_fold("front", rect(500, 400)),), 700.0, seconds=1)


# ---------------------------------------------------------------- the child


def child(code: str) -> tuple[str, ...]:
    return (sys.executable, "-c", code)


def test_the_last_whole_line_counts() -> None:
    code = "import sys; sys.stdin.read(); print('first'); print('second'); sys.stdout.write('cut o')"
    assert run_children(["", ""], 20.0, command=child(code)) == ["second\n", "second\n"]


def test_a_child_that_fails_has_no_lay() -> None:
    assert run_children(["x"], 20.0, command=child("import os; os.abort()")) == [None]


def test_a_child_that_does_not_end_is_ended() -> None:
    code = "import time; print('so far', flush=True); time.sleep(60)"
    begun = time.monotonic()
    assert run_children([""], 2.0, command=child(code)) == ["so far\n"]
    assert time.monotonic() - begun < 10


def test_a_stop_keeps_what_there_is() -> None:
    code = "import time; print('so far', flush=True); time.sleep(60)"
    begun = time.monotonic()
    found = run_children([""], 60.0, lambda: time.monotonic() - begun > 2.0, child(code))
    assert found == ["so far\n"]
    assert time.monotonic() - begun < 20


def test_a_panic_of_the_solver_ends_the_child_alone() -> None:
    """A bow-tie makes the solver panic, which is no ordinary exception."""
    points = [[0, 0], [10, 10], [10, 0], [0, 10]]
    items = [{"id": 0, "points": points, "turns": [0], "demand": 1}]
    asked = json.dumps({"height": 20, "seconds": 1, "workers": 1, "seed": 1, "items": items})
    assert run_children([asked], 30.0) == [None]
