"""Kinds of damage: each takes a style's texts, the target that the table names, and what else stands in its label."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from .texts import Texts

Kind = Callable[[Texts, str, Mapping[str, Any]], Texts]


def edited(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`edit:` lists what is replaced by what, file by file."""
    for name, pairs in spec["edit"].items():
        for old, new in pairs:
            texts = texts.replaced(name, old, new)
    return texts


def step_edited(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`swap:` [old, new] within one step: the target, or `step:` where one step has several cases."""
    target, (old, new) = str(spec.get("step", target)), spec["swap"]

    def change(text: str) -> str:
        if text.count(old) != 1:
            raise ValueError(f"step '{target}' holds {text.count(old)} times {old!r}")
        return text.replace(old, new)

    return texts.step_edited(target, change)


def step_dropped(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    return texts.step_edited(target, lambda _: "")


def _without_part(text: str) -> tuple[str, str]:
    """A step's `part:` line belongs to its place in the recipe, not to what is done."""
    found = re.match(r"(  - part: [^\n]*\n)    (.*)", text, re.S)
    return (found.group(1), "  - " + found.group(2)) if found else ("", text)


def _with_part(part: str, text: str) -> str:
    return part + "    " + text.removeprefix("  - ") if part else text


def steps_swapped(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`a, b`: each in the place of the other."""
    a, b = (name.strip() for name in target.split(","))
    (part_a, text_a), (part_b, text_b) = (_without_part(texts.step_text(s)) for s in (a, b))
    marked = texts.step_edited(a, lambda _: _with_part(part_a, "  - free: here\n    id: here"))
    marked = marked.step_edited(b, lambda _: _with_part(part_b, text_a))
    return marked.step_edited("here", lambda t: _with_part(_without_part(t)[0], text_b))


def step_moved(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`a < b`: a is put before b."""
    a, b = (name.strip() for name in target.split("<"))
    _, moved = _without_part(texts.step_text(a))
    gone = texts.step_edited(a, lambda _: "")
    return gone.step_edited(b, lambda t: f"{moved}\n{t}")


def step_late(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`a > b`: a is put after b."""
    a, b = (name.strip() for name in target.split(">"))
    _, moved = _without_part(texts.step_text(a))
    later = texts.step_edited(b, lambda t: f"{t}\n{moved.replace(f'id: {a}', 'id: moved-here')}")
    gone = later.step_edited(a, lambda _: "")
    return gone.step_edited("moved-here", lambda t: t.replace("id: moved-here", f"id: {a}"))


def sewn_twice(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """The step once more at the end, under another id."""
    _, text = _without_part(texts.step_text(target))
    again = text.replace(f"id: {target}", f"id: {target}-again")
    return texts.with_text("sewing", texts.files["sewing"].rstrip("\n") + "\n" + again + "\n")


def notch_moved(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`mark, edge`: on that one of its edges the mark lies 8 mm further; the others keep it where it was."""
    return _notch(texts, target, lambda mark, edge, at: f"{mark}: {{on: {edge}, {at} + 8 mm")


def notch_left_out(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`mark, edge`: that one of its edges has no such mark any more."""
    return _notch(texts, target, lambda mark, edge, at: "")


def _notch(texts: Texts, target: str, moved: Callable[[str, str, str], str]) -> Texts:
    mark, edge = (name.strip() for name in target.split(","))
    text = texts.files["draft"]
    found = re.search(rf"(?m)^  {mark}: {{on: (\[[^\]]*\]|[\w.]+), (.*at: [^,}}]+)(.*)$", text)
    if not found:
        raise ValueError(f"draft.yaml has no mark '{mark}' with on: and at:")
    listed, at, rest = found.groups()
    edges = [e.strip() for e in listed.strip("[]").split(",")]
    if edge not in edges:
        raise ValueError(f"'{mark}' is not on {edge}")
    own = moved(mark, edge, at)
    others = ", ".join(e for e in edges if e != edge)
    lines = ([f"  {own}{rest}"] if own else []) + (
        [f"  {mark}_kept: {{on: [{others}], {at}{rest}"] if others else []
    )
    return texts.replaced("draft", found.group(), "\n".join(lines))


def allowance_changed(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`piece.edge, piece.edge ...`: 7 mm of allowance there instead of what was."""
    for one in target.split(","):
        piece, edge = one.strip().split(".")

        def change(text: str, edge: str = edge) -> str:
            own = re.search(r"(?m)^    allow: {(.*)}(.*)$", text)
            if not own:
                raise ValueError("the piece has no allow:")
            rest = re.sub(rf"(^|, ){edge}: [^,{{}}]+(, |$)", r"\1", own.group(1)).strip(", ")
            return text.replace(own.group(), f"    allow: {{{edge}: 7 mm, {rest}}}{own.group(2)}")

        texts = texts.piece_edited(piece, change)
    return texts


def fusing_left_out(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`step, piece`: the piece is not fused in that step."""
    step, piece = (name.strip() for name in target.split(","))
    return texts.step_edited(step, lambda t: _unlisted(t, piece))


def _unlisted(text: str, piece: str) -> str:
    found = re.search(r"fuse: \[([^\]]*)\]", text)
    listed = [p.strip() for p in found.group(1).split(",")] if found else []
    if not found or piece not in listed:
        raise ValueError(f"the step does not fuse '{piece}'")
    left = [p for p in listed if p != piece]
    return text.replace(found.group(), f"fuse: [{', '.join(left)}]") if left else ""


def interfacing_left_out(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """`step, piece, piece ...`: neither cut from interfacing nor fused in that step."""
    step, *pieces = (name.strip() for name in target.split(","))
    for piece in pieces:
        texts = texts.piece_edited(piece, lambda t: re.sub(r",\s*\{cloth: interfacing[^}]*\}", "", t))
        texts = fusing_left_out(texts, f"{step}, {piece}", spec)
    return texts


def piece_never_used(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """A piece more, drawn and cut, which no step sews."""
    number = 1 + max(int(n) for n in re.findall(r"(?m)^    number: (\d+)", texts.files["draft"]))
    patch = (
        f"  {target}:\n    number: {number}\n    title: Patch\n    rectangle: {{long: 9, wide: 9}}\n"
        "    edges: [a, b, c, d]\n    cut: {main: 1}\n    allow: {other: 1}\n"
    )
    return texts.with_text("draft", texts.files["draft"].rstrip("\n") + "\n" + patch)


def copy_left_over(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """The piece is cut once more than it is sewn."""

    def one_more(found: re.Match[str]) -> str:
        return f"{found.group(1)}{int(found.group(2)) + 1}"

    def change(text: str) -> str:
        plain = re.sub(r"(cut: \{main: )(\d+)", one_more, text)
        listed = re.sub(r"(\{cloth: main, count: )(\d+)", one_more, text)
        if plain == text == listed:
            raise ValueError(f"{target} is not cut from main")
        more = plain if plain != text else listed
        return (
            more.replace("as: pair", "as: same").replace("as: single", "as: same")
            if spec.get("same")
            else more
        )

    return texts.piece_edited(target, change)


def when_dropped(texts: Texts, target: str, spec: Mapping[str, Any]) -> Texts:
    """A step that belongs to one choice of an option is done with all of them."""
    return texts.step_edited(target, lambda t: re.sub(r"\n    when: \{[^}]*\}", "", t))


KINDS: dict[str, Kind] = {
    "step dropped": step_dropped,
    "steps swapped": steps_swapped,
    "edge sewn twice": sewn_twice,
    "wrong partner": step_edited,
    "section lengthened": edited,
    "notch moved": notch_moved,
    "notch left out": notch_left_out,
    "allowance changed": allowance_changed,
    "fusing left out": fusing_left_out,
    "interfacing left out": interfacing_left_out,
    "gathers not drawn up": step_dropped,
    "ring not closed": step_dropped,
    "opening too small": edited,
    "piece never used": piece_never_used,
    "copy left over": copy_left_over,
    "hem before its seam": step_moved,
    "step too early": step_moved,
    "step too late": step_late,
    "buttonhole without interfacing": interfacing_left_out,
    "facing not mirrored": edited,
    "ease under the least": edited,
    "acts out of order": step_edited,
    "elastic that does not fit": step_edited,
    "notion left out": edited,
    "notion never used": edited,
    "edges not smooth": edited,
    "cut on the bias": edited,
    "fitting too late": step_edited,
    "caught edge too long": step_edited,
    "collar left soft": edited,
    "choice forgotten": when_dropped,
    "words and minutes": step_edited,
}
