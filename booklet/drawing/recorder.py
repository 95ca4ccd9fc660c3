"""A drawing as plain readable lines, for tests that compare what was drawn rather than a file's bytes."""

from __future__ import annotations

from booklet.drawing.display import Drawing, Fill, Group, Item, PathItem, Stroke
from booklet.paths import Path, Placement


def record(drawing: Drawing, places: int = 2) -> str:
    """One line an item, groups indented; figures in mm to `places` decimals."""
    lines = [f"drawing {_n(drawing.width, places)} x {_n(drawing.height, places)}"]
    for item in drawing.items:
        lines += _record(item, places, 1)
    return "\n".join(lines) + "\n"


def _record(item: Item, places: int, depth: int) -> list[str]:
    pad = "  " * depth
    if isinstance(item, Group):
        words = ["group", *([f"'{item.name}'"] if item.name else []), *([item.role] if item.role else [])]
        if item.layer:
            words.append(f"layer '{item.layer}'")
        if item.placement != Placement.IDENTITY:
            words.append(_placement(item.placement, places))
        lines = [pad + " ".join(words)]
        if item.clip is not None:
            lines.append(f"{pad}  clip {_path(item.clip, places)}")
        for inner in item.items:
            lines += _record(inner, places, depth + 1)
        return lines
    if isinstance(item, PathItem):
        words = ["path", *([item.role] if item.role else []), _stroke(item.stroke), _fill(item.fill)]
        head = pad + " ".join(w for w in words if w)
        return [head, *(f"{pad}  {_path(p, places)}" for p in item.subpaths)]
    bits = [f"text ({_n(item.x, places)} {_n(item.y, places)}) {item.anchor}", repr(item.text)]
    bits.append(f"{item.size_pt:g} pt {item.weight} {item.colour}")
    if item.angle_deg:
        bits.append(f"turned {_n(item.angle_deg, places)}")
    if item.role:
        bits.append(item.role)
    return [pad + " ".join(bits)]


def _n(value: float, places: int) -> str:
    text = f"{value:.{places}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def _z(z: complex, places: int) -> str:
    return f"{_n(z.real, places)},{_n(z.imag, places)}"


def _path(path: Path, places: int) -> str:
    out = [_z(path.start, places)] if path.segments else []
    for seg in path.segments:
        mark = "" if len(seg) == 2 else "~ "
        out.append(mark + " ".join(_z(p, places) for p in seg[1:]))
    return "  ".join(out)


def _placement(placement: Placement, places: int) -> str:
    words = f"at {_z(placement.shift, places)} turn {_z(placement.turn, 4)}"
    return words + (" mirrored" if placement.mirrored else "")


def _stroke(stroke: Stroke | None) -> str:
    if stroke is None:
        return ""
    dash = " dash " + "-".join(f"{d:g}" for d in stroke.dash_mm) if stroke.dash_mm else ""
    dash += f" after {stroke.phase_mm:g}" if stroke.phase_mm else ""
    cap = f" {stroke.cap}" if stroke.cap != "butt" else ""
    return f"pen {stroke.width_pt:g} pt {stroke.colour}{dash}{cap}"


def _fill(fill: Fill | None) -> str:
    if fill is None:
        return ""
    return "fill " + " ".join(x for x in (fill.colour, fill.pattern) if x)
