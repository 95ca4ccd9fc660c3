"""What bias strips take: the joined strips themselves, and the cloth to cut them from in five ways.

The strips of a binding lie on the lay as pieces. Who would rather cut them from what is left over, or buy a folded
tape, finds here the square, the tube, the rectangle and the length of tape for each, and what square and rectangle give.
"""

from __future__ import annotations

from booklet import bias
from booklet.cloth.amounts import round_up, tape_to_buy
from booklet.cloth.working import Units, sold, tenths
from booklet.language import say
from booklet.model import Piece, Working
from booklet.units import NBSP, in_inches, told

ENDS = 75.0  # mm of tape more for each edge bound: 5 to 10 cm (common practice, no source)
SHORTEST = 100.0  # mm: no strip shorter than this out of a rectangle (NIMI TP p. 220 takes 10 cm)
RULE = "true bias: width × √2 along the selvedge; a square gives its area ÷ width; joins in the tube 6 mm an edge"


def strip_width(piece: Piece) -> float:
    """Width of a binding's strip as drawn, mm: from its sewn edge to the other."""
    assert piece.binding is not None
    return abs(piece.edges[0].path.start.imag - piece.edges[2].path.start.imag)


def tape_instead(piece: Piece) -> float:
    """Bought bias tape for the same edge, mm: its length with ties and ends, and what an edge takes more."""
    assert piece.binding is not None
    return tape_to_buy([piece.binding.long], ENDS)


def binding_workings(piece: Piece, units: Units, cloth: float) -> tuple[Working, ...]:
    """The sums of one binding; `cloth` is the usable width in mm that a rectangle would be cut across."""
    b = piece.binding
    assert b is not None
    wide = strip_width(piece)
    long = b.long
    each = piece.edges[0].path.length
    loss = bias.join_loss(b.join)
    name = piece.heading

    def w(mm: float) -> str:
        return tenths(mm, units)

    def told_as(key: str, **slots: object) -> str:
        return say(units, f"amounts.{key}", name=name, **slots)

    parts = [w(b.covers), *(w(x) for x in (b.before, b.after) if x > 0)]
    parts += [f"2 × {w(b.turned_in)}"] if b.turned_in > 0 else []
    joins = b.strips - 1
    sum_ = f"{' + '.join(parts)} = {w(long)}"
    strips = told_as("strips_sum", sum=sum_, count=b.strips, long=w(each), wide=w(wide))
    strips = told_as("strips_joins", sum=strips, count=joins, length=w(joins * loss)) if joins else strips
    fold = f"{bias.FOLDS[b.kind]} × {w(b.finished)} + {w(wide - bias.FOLDS[b.kind] * b.finished)} = {w(wide)}"
    side = bias.square_for_length(long, wide)
    tube = bias.tube_square(long, wide, b.join)
    line = bias.square_for_line(long + wide)  # both ends of a strip on the diagonal are cut square
    by_area = bias.rectangle_long(long, wide, SHORTEST, cloth)
    least = bias.square_for_line(SHORTEST)  # a strip across less depth than this is shorter
    deep = max(by_area, least)
    shallow = f" < {w(SHORTEST)} ÷ √2 = {_up(least, units)}" if by_area < least else ""
    of_square = bias.yield_of_square(_rounded(side, units), wide)
    of_rectangle = bias.yield_of_rectangle(cloth, _rounded(deep, units), wide, SHORTEST)
    tape = tape_instead(piece)
    bought, words = sold(tape, units)
    return (
        Working(
            told_as(f"width_what.{b.kind}"), fold,
            (("finished", b.finished), ("folds", float(bias.FOLDS[b.kind])),
             ("turn of cloth", wide - bias.FOLDS[b.kind] * b.finished)),
            wide, "mm", "four or six times the finished width and the turn of cloth (common practice)",
        ),
        Working(
            told_as("strips_what"), strips,
            (("long", long), ("strips", float(b.strips)), ("each", each), ("wide", wide), ("a join", loss)),
            long, "mm", "each join shortens by two allowances across the slant",
        ),
        Working(
            told_as("square_what"),
            told_as("square_sum", sum=f"√({w(long)} × {w(wide)}) = {_up(side, units)}", gives=w(of_square)),
            (("long", long), ("wide", wide), ("gives", of_square)), side, "mm", RULE,
        ),
        Working(
            told_as("line_what"),
            told_as("tube_sum", sum=f"({w(long)} + {w(wide)}) ÷ √2 = {_up(line, units)}"),
            (("long", long), ("wide", wide)), line, "mm", "a bias line across a square is its side × √2",
        ),
        Working(
            told_as("tube_what"), told_as("tube_sum", sum=f"√({w(long)} ÷ 2 ÷ {w(wide)}) × "
            f"{w(bias.along_selvedge(wide))} + 2 × {w(b.join)} = {_up(tube, units)}"),
            (("long", long), ("wide", wide), ("join", b.join)), tube, "mm", RULE,
        ),
        Working(
            told_as("rectangle_what"),
            told_as("rectangle_sum", sum=f"({w(long)} × {w(wide)} + {w(SHORTEST)} × {w(SHORTEST)} ÷ 2) ÷ {w(cloth)} = "
                    f"{_up(by_area, units)}{shallow}", least=w(SHORTEST), gives=w(of_rectangle)),
            (
                ("long", long), ("wide", wide), ("shortest", SHORTEST), ("cloth", cloth),
                ("gives", of_rectangle),
            ),
            deep, "mm", RULE,
        ),
        Working(
            told_as("tape_what"), told_as("tape_sum", long=w(long), ends=w(ENDS), sum=w(tape), bought=words),
            (("long", long), ("ends", ENDS)), bought, "mm", "5 to 10 cm more an edge (common practice)",
        ),
    )  # fmt: skip


def _rounded(mm: float, units: Units) -> float:
    """A size to cut, mm, never rounded down: to the next half centimetre or half inch."""
    return round_up(mm, 12.7 if units == "in" else 5.0)


def _up(mm: float, units: Units) -> str:
    whole = _rounded(mm, units)
    return told(in_inches(whole, 2) if units == "in" else f"{whole / 10:.1f}{NBSP}cm", units)
