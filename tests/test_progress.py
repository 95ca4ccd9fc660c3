"""What `make` shows while it lays: which cloth and how far, on a terminal alone, and the lays are the same with it."""

from __future__ import annotations

import io
import re
import sys
import time

import pytest
from helpers.all_styles import files

from booklet.cloth.watch import STEP, counted
from booklet.job import make_job
from booklet.telling import working


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_search_tells_how_far_it_is_and_is_never_stopped() -> None:
    told: list[str] = []
    stop = counted(told.append, "Laying main cloth, 150 cm", 1000)
    assert not any(stop() for _ in range(600))
    assert told[0] == "Laying main cloth, 150 cm"
    percents = [int(text.rsplit(" ", 2)[1]) for text in told[1:]]
    assert percents == list(range(STEP, 101, STEP))
    stop()
    assert told[-1].endswith(": 100 %") and len(told) == 21


def test_a_placing_pass_is_named_alone() -> None:
    told: list[str] = []
    assert counted(told.append, "Laying lining, 90 cm", 0)() is False
    assert told == ["Laying lining, 90 cm"]


def test_every_cloth_and_width_is_told_and_changes_no_lay() -> None:
    told: list[str] = []
    style = files("trousers")
    fresh = type(style)(**{**vars(style), "sources": {k: v for k, v in style.sources.items() if k != "lays"}})
    watched = make_job(fresh, evaluations=300, doing=told.append)
    unwatched = make_job(fresh, evaluations=300)
    for width in ("140 cm", "110 cm"):
        assert any(text.replace("\u00a0", " ").startswith(f"Laying main cloth, {width}") for text in told)
    assert told[-1] == "Drawing the steps"
    assert [p.placings for p in watched.size.cloths[0].lays] == [
        p.placings for p in unwatched.size.cloths[0].lays
    ]


def test_nothing_is_shown_in_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    pipe = io.StringIO()
    monkeypatch.setattr(sys, "stderr", pipe)
    with working("Drafting") as doing:
        doing("Laying main cloth, 150 cm: 40 %")
    assert pipe.getvalue() == ""


def test_a_terminal_shows_what_is_laid(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setenv("TERM", "xterm")
    with working("Drafting") as doing:
        doing("Laying [main] cloth, 150 cm: 40 %")
        time.sleep(0.3)
    shown = re.sub(r"\x1b\[[0-9;?]*[a-zA-Z]", "", terminal.getvalue())
    assert "Laying [main] cloth, 150 cm: 40 %" in shown
