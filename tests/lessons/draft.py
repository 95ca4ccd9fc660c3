"""A lesson's draft, and whether the text of styles/README.md is the same."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from booklet.drafting.draft import lay_out_table
from booklet.drafting.maker import PieceMaker
from booklet.drafting.table import Table
from booklet.model import Piece
from booklet.reading.yaml_source import Source, parse_yaml, read_yaml

HERE = Path(__file__).resolve().parent
STYLES = HERE.parent.parent / "styles"
README = STYLES / "README.md"
PICTURES = STYLES / "pictures"

_BLOCK = re.compile(r"^```yaml\n# lesson: (\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)

_STEP_BLOCK = re.compile(r"^```yaml\n# step: (\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True)
class Lesson:
    """A draft on the table. Measures have plain invented values, mm."""

    name: str
    source: Source
    table: Table
    maker: PieceMaker

    def piece(self, key: str) -> Piece:
        return self.maker.piece(key)


# Invented, a middling body.
MEASURES = {"waist_girth": 720.0, "hip_girth": 960.0, "bust_girth": 900.0, "upper_arm_girth": 290.0}


@cache
def lesson(name: str) -> Lesson:
    file = f"{name}.yaml"
    source = read_yaml(HERE / file)
    style = parse_yaml("style: L-01\n", "style.yaml")
    table, maker = lay_out_table(source, style, (), {}, "cm")
    table.measures = MEASURES
    return Lesson(name, source, table, maker)


def blocks(text: str) -> list[tuple[str, str]]:
    """(lesson, its lines) of every block of a text that names a lesson in its first line."""
    return [(m.group(1), m.group(2)) for m in _BLOCK.finditer(text)]


def step_blocks(text: str) -> list[tuple[str, str]]:
    """(step lesson, its lines) of every block of a text that names a step's lesson in its first line."""
    return [(m.group(1), m.group(2)) for m in _STEP_BLOCK.finditer(text)]


def holds(lesson_text: str, block: str) -> bool:
    """Whether the block's lines stand in the lesson one after the other, moved in or out as a whole."""
    want = _lines(block)
    have = _lines(lesson_text)
    for n in range(len(have) - len(want) + 1):
        shift = _indent(have[n]) - _indent(want[0])
        if all(_moved(w, shift) == h for w, h in zip(want, have[n : n + len(want)], strict=True)):
            return True
    return False


def _lines(text: str) -> list[str]:
    return [line.rstrip() for line in text.split("\n") if line.strip()]


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _moved(line: str, shift: int) -> str:
    return " " * (_indent(line) + shift) + line.lstrip(" ")
