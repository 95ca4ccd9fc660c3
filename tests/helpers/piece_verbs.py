"""A made-up panel to try the verbs on that change a whole piece, and what every one of them has to keep."""

from __future__ import annotations

from booklet.model import Edge, Piece
from booklet.paths import area
from helpers.drafts import Drafted, inline_draft
from helpers.rings import polygon

# A slanted top, a curved upper and a straight lower side, a bowed hem and a straight centre at the left.
PANEL = """
units: mm
construction:
  p:
    points:
      a: {{}}
      b: {{across: {top}, up: {rise}}}
      hip: {{across: {hip}, down: 200}}
      c: {{across: {hem}, down: 580}}
      d: {{down: 600}}
      k0: {{down: {knee}}}
      k9: {{across: 900, down: {knee}}}
      k1: {{meet: [knee_ray, side]}}
      k2: {{across: {hip}, down: 450}}
      v: {{across: 110, down: 240}}
      m0: {{across: 30, down: 50}}
      m1: {{across: 30, down: 560}}
    lines:
      top: {{straight: [a, b]}}
      side_upper: {{curve: [b, hip], arrive: toward c}}
      side_lower: {{straight: [hip, c]}}
      hem: {{curve: [c, d], leave: square to side_lower, arrive: in}}
      centre: {{straight: [d, a]}}
      side: {{joined: [side_upper, side_lower]}}
      knee_ray: {{straight: [k0, k9]}}
      knee: {{straight: [k0, k1]}}
      askew: {{straight: [k0, k2]}}
      upright: {{straight: [m0, m1]}}
marks:
  high: {{on: block.side, from: top, at: 60, notch: double}}
  low: {{on: block.side, from: hem, at: 70}}
  hem_notch: {{on: block.hem, from: side, at: 40}}
pieces:
  block:
    {whose}
    outline: [p.top, {{side: [p.side_upper, p.side_lower]}}, p.hem, p.centre]
    lines across: {{knee: p.knee, upright: p.upright}}
    levels: {{hip: p.hip, knee: p.k0, foot: p.c}}
    {more}
"""


def panel(
    extra: str = "",
    more: str = "",
    whose: str = "drawn for: right",
    top: float = 160,
    rise: float = 12,
    hip: float = 230,
    hem: float = 250,
    knee: float = 380,
) -> Drafted:
    text = PANEL.format(top=top, rise=rise, hip=hip, hem=hem, knee=knee, whose=whose, more=more)
    return inline_draft(text + extra)


def shaped(verb: str, **how: object) -> Drafted:
    """The panel and, as `made`, the panel after one verb of `do:`."""
    return panel(f"  made: {{from: block, do: [{{{verb}}}]}}\n", **how)  # type: ignore[arg-type]


def both(made: Drafted) -> tuple[Piece, Piece]:
    """The panel and what was made of it, both sound."""
    assert made.errors == ()
    block, new = made.draft.pieces["block"], made.draft.pieces["made"]
    assert_sound(new)
    return block, new


def assert_sound(piece: Piece) -> None:
    """The ring is closed to the last digit, simple and clockwise; names differ; marks lie on their edges, in order."""
    edges = piece.edges
    for one, other in zip(edges, (*edges[1:], edges[0]), strict=True):
        assert one.path.end == other.path.start, (
            f"{piece.key}: {one.name} does not end where {other.name} begins"
        )
        for a, b in zip(one.path.segments, one.path.segments[1:], strict=False):
            assert abs(a[-1] - b[0]) < 1e-6, f"{one.name} is torn"
    assert area(piece.outline.flatten(0.2)) > 0
    assert polygon(piece.outline).is_valid
    names = [e.name for e in edges]
    assert len(set(names)) == len(names)
    for e in edges:
        places = [m.at for m in e.marks]
        assert places == sorted(places)
        assert all(-1e-6 <= at <= e.length + 1e-6 for at in places)


def size(piece: Piece) -> float:
    return float(polygon(piece.outline, 0.005).area)


def lengths(piece: Piece) -> dict[str, float]:
    return {e.name: e.length for e in piece.edges}


def edge(piece: Piece, name: str) -> Edge:
    found = piece.edge(name)
    assert found is not None
    return found


def spot(piece: Piece, name: str, mark: str) -> complex:
    """Where a mark lies on a piece."""
    on = edge(piece, name)
    found = on.mark(mark)
    assert found is not None
    return on.path.point(found.at)
