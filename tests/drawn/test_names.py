"""Names in a drawing: beside their points and along their lines, never over anything."""

from __future__ import annotations

import cmath
import math

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing.bounds import text_corners
from booklet.drawing.display import PathItem, Text
from booklet.drawn.names import Name, set_names
from booklet.paths import Path
from booklet.splines import smooth_curve


def boxes(items: tuple[object, ...]) -> list[shapely.Polygon]:
    return [
        shapely.Polygon([(z.real, z.imag) for z in text_corners(i)]) for i in items if isinstance(i, Text)
    ]


def line_of(path: Path) -> shapely.LineString:
    return shapely.LineString([(z.real, z.imag) for z in path.flatten(0.05)])


def test_a_straight_line_has_its_name_in_its_middle_turned_with_it() -> None:
    line = Path.line(0j, 80 * cmath.exp(1j * math.radians(25)))
    done = set_names([Name((("side_seam", 400),), 40 + 0j, line)], [line_of(line)])
    (words,) = (i for i in done.items if isinstance(i, Text))
    assert abs(words.angle_deg - 25) < 1e-6
    (box,) = boxes(done.items)
    gap = box.distance(line_of(line))
    assert 0.2 < gap < 1.5
    assert abs(complex(box.centroid.x, box.centroid.y) - line.point(40)) < 8


def test_words_along_an_upright_line_are_not_on_their_heads() -> None:
    for far in (80j, -80j, 40 - 60j, -40 + 60j):
        line = Path.line(0j, far)
        done = set_names([Name((("centre", 400),), far / 2, line)], [line_of(line)])
        (words,) = (i for i in done.items if isinstance(i, Text))
        assert -90.0 <= words.angle_deg < 90.0 + 1e-6


def test_the_preferred_side_is_taken_where_it_is_free() -> None:
    line = Path.line(0j, 80 + 0j)
    above = set_names([Name((("hem", 400),), 40 + 0j, line, 1)], [line_of(line)])
    below = set_names([Name((("hem", 400),), 40 + 0j, line, -1)], [line_of(line)])
    assert boxes(above.items)[0].bounds[3] < 0 < boxes(below.items)[0].bounds[1]


def test_a_name_far_from_its_point_has_a_leader_to_it() -> None:
    wall = [line_of(Path.circle(0j, 4.0)), line_of(Path.circle(0j, 2.2))]
    done = set_names([Name((("apex", 400),), 0j)], wall)
    leads = [i for i in done.items if isinstance(i, PathItem)]
    assert leads and abs(leads[0].ends[0]) < 1e-9


def test_what_has_no_room_is_told() -> None:
    done = set_names([Name((("wide_name", 400),), 0j)], [], frame=(-3, -3, 3, 3))
    assert done.items == ()
    assert len(done.left_over) == 1


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), min_size=2, max_size=14, unique=True),
    st.integers(-40, 40),
)
def test_names_lie_on_no_other_and_on_no_line(places: list[tuple[int, int]], bow: int) -> None:
    points = [complex(x * 4, y * 4) for x, y in places]
    curve = smooth_curve([0j, complex(60, 60 + bow), 120 + 120j])
    names = [Name(((f"point_{n}", 400),), z) for n, z in enumerate(points)]
    names.append(Name((("curve", 400), ("  12 mm", 600)), curve.point(curve.length / 2), curve))
    lines = [line_of(curve), *(shapely.Point(z.real, z.imag).buffer(0.5) for z in points)]
    done = set_names(names, lines)
    texts = [i for i in done.items if isinstance(i, Text)]
    found = [b.buffer(-0.15) for b in boxes(done.items)]
    assert len(texts) == len(names) + 1 - sum(len(n.words) for n in done.left_over)
    for n, box in enumerate(found):
        assert not any(box.intersects(line) for line in lines)
        for m, other in enumerate(found[n + 1 :], n + 1):
            runs_of_one = texts[n].text == "curve" and texts[m].text.strip().startswith("12")
            assert runs_of_one or not box.intersects(other)
    assert set_names(names, lines) == done
