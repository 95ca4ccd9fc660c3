"""Key to markings and shading: every mark that the booklet uses, drawn as it is drawn elsewhere, with its words."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.drawing import look, marks
from booklet.drawing.display import Board, Fill, Item, PathItem, box_path
from booklet.drawing.page import Bookmark
from booklet.model import Job
from booklet.pages.flow import Block, flow, heading_block, words_block
from booklet.pages.lay_marks import face_down_lines
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words
from booklet.paths import Path, Placement

SAMPLE = 14.0  # width of a sample, mm
ROW = 7.0
MID = ROW / 2
Entry = tuple[str, tuple[Item, ...]]  # key of its words; drawn from (0, 0) to (SAMPLE, ROW)


def key_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    blocks: list[Block] = []
    for n, (name, entries) in enumerate(_groups()):
        blocks.append(heading_block(words("key." + name), "", paper, before=0 if n == 0 else 8, ruled=True))
        blocks += _rows(entries, words, paper)
    notes = [words("key." + key) for key in ("sides", "sides_pictures", "transfer", "lengths")]
    notes.append(words("key.sew_with", stitch=words.told(f"{job.shop.stitch:g}")))
    if job.nested:
        order = " · ".join(s.size for s in job.sizes)
        notes.insert(0, words("sizes.order", order=f"**{order}**", size=job.size.size))
    for n, note in enumerate(notes):
        blocks.append(words_block(note, paper.left, 165, before=8 if n == 0 else 2))
    title = words("key.title")
    return [
        Leaf("key", title, words("key.aside"), items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


def _rows(entries: Sequence[Entry], words: Words, paper: look.Paper) -> list[Block]:
    """Three samples a row, each with its words at its right."""
    step = (paper.right - paper.left) / 3
    blocks = []
    for at in range(0, len(entries), 3):
        board = Board()
        for k, (key, sample) in enumerate(entries[at : at + 3]):
            x = paper.left + k * step
            board.group(sample, Placement.move(complex(x, 0)))
            block = words_block(words("key." + key), x + SAMPLE + 3.5, step - SAMPLE - 6, look.TABLE_PT, 3.9)
            board.group(block.items, Placement.move(1j * (MID - block.height / 2 + 0.1)))
        blocks.append(Block(ROW, tuple(board.items), 4.0 if at == 0 else 3.4))
    return blocks


def _groups() -> tuple[tuple[str, list[Entry]], ...]:
    return ("shading", _shading()), ("lines", _lines()), ("marks", _marks()), ("signs", _signs())


def _swatch(fill: Fill) -> tuple[Item, ...]:
    return (PathItem((box_path(0, 0.3, SAMPLE, ROW - 0.6),), look.CUT, fill, role="swatch"),)


def _line(pen: look.Stroke, role: str = "sample") -> tuple[Item, ...]:
    return (PathItem((Path.line(MID * 1j, complex(SAMPLE, MID)),), pen, role=role),)


def _shading() -> list[Entry]:
    turned = box_path(0, 0.3, SAMPLE, ROW - 0.6)
    down: tuple[Item, ...] = (*_swatch(look.WRONG_SIDE), face_down_lines(turned))
    return [
        ("right", _swatch(look.RIGHT_SIDE)),
        ("wrong", _swatch(look.WRONG_SIDE)),
        ("interfacing", _swatch(look.INTERFACING)),
        ("lining", _swatch(look.LINING)),
        ("cloth", _swatch(look.GROUND)),
        ("face_down", (*down, PathItem((turned,), look.CUT, role="swatch"))),
    ]


def _lines() -> list[Entry]:
    off = PathItem((marks.wave(MID * 1j, complex(SAMPLE, MID)),), look.CUT_OFF, role="sample")
    return [
        ("cut", _line(look.CUT)),
        ("stitch", _line(look.STITCH)),
        ("fold", _line(look.FOLD)),
        ("hidden", _line(look.HIDDEN)),
        ("off", (off,)),
        ("sew", _line(look.SEW_NOW)),
        ("gather", _line(look.GATHER_ROW)),
    ]


def _edge_with(*more: Item) -> tuple[Item, ...]:
    top = PathItem((Path.line(1.8j, complex(SAMPLE, 1.8)),), look.CUT, role="sample")
    return (top, *more)


def _marks() -> list[Entry]:
    middle = complex(SAMPLE / 2, 1.8)
    stitch = PathItem((Path.line(1.8j, complex(SAMPLE, 1.8)),), look.STITCH, role="sample")
    mark = PathItem((Path.line(middle, middle + 2.6j),), look.NOTCH, role="notch")
    at, arm = complex(SAMPLE / 2, 1.8), 1.5
    cross = PathItem(
        (Path.line(at - arm, at + arm), Path.line(at - arm * 1j, at + arm * 1j)), look.NOTCH, role="notch"
    )
    fold = PathItem((Path.line(1.2j, complex(SAMPLE, 1.2)),), look.FOLD, role="fold")
    bracket = marks.fold_bracket(2 + 1.2j, SAMPLE - 2 + 1.2j, 1j, 4.0)
    legs = Path.polyline([complex(3, 0.8), complex(SAMPLE / 2, 6.4), complex(SAMPLE - 3, 0.8)])
    point = PathItem((Path.circle(complex(SAMPLE / 2, 6.4), 0.45),), fill=look.SOLID, role="dart")
    meets = marks.curved_arrow(1 + 6j, SAMPLE - 1 + 5.6j, 1 - 2j, 1 + 2.4j, look.MEETS, role="sample")
    slit = Path.polyline(
        [complex(SAMPLE / 2 - 1.2, 0.8), complex(SAMPLE / 2, 6.2), complex(SAMPLE / 2 + 1.2, 0.8)]
    )
    a, b = complex(3, MID), complex(SAMPLE - 3, MID)
    bars = [Path.line(z - 1.4j, z + 1.4j) for z in (a, b)]
    hole = PathItem((Path.line(a, b), *bars), look.NOTCH, role="buttonhole")
    arms = [Path.line(middle + 1.7j - r, middle + 1.7j + r) for r in (1.4 + 1.4j, 1.4 - 1.4j)]
    button = PathItem(tuple(arms), look.NOTCH, role="button")
    return [
        ("notch_one", _edge_with(marks.notch(middle, 1j, 2.6))),
        ("notch_two", _edge_with(marks.notch(middle, 1j, 2.6, 2))),
        ("cross", (stitch, cross)),
        ("mark", (stitch, mark)),
        ("grain", marks.grain_arrow(0.5 + MID * 1j, complex(SAMPLE - 0.5, MID))),
        ("bracket", (fold, *bracket)),
        ("dart", (PathItem((legs,), look.STITCH, role="dart"), point)),
        ("opening", (PathItem((slit,), look.STITCH, role="opening"),)),
        ("buttonhole", (hole,)),
        ("button", (button,)),
        ("facing", meets),
    ]


def _signs() -> list[Entry]:
    small, large = 2.4 + 4.6j, 10.4 + 3j
    return [
        ("action", marks.action_arrow(1 + MID * 1j, complex(SAMPLE - 1, MID), role="sample")),
        ("measure", marks.measure_line(MID * 1j, complex(SAMPLE, MID), "10", size_pt=look.SMALLEST_PT)),
        ("close", (marks.ring(small, 1.3), marks.ring(large, 2.9), marks.ring_link(small, 1.3, large, 2.9))),
        ("box", (marks.tick_box(4.8, 1.3),)),
        ("check", (marks.check_mark(5, 5.2),)),
    ]
