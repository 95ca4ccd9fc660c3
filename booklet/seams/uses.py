"""Which runs each operation of a recipe takes, as plain data: what is sewn to what, and what is treated alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from booklet.problems import Fault, Where, nearest
from booklet.reading.sewing_shape import VERBS, is_verb

TWICE = ("double", "narrow")  # kinds of hem that turn twice: each turn takes half of the allowance
ENCLOSED = ("french seam", "flat fell", "lapped seam")  # joins whose raw edges lie inside


@dataclass(frozen=True)
class Use:
    """One treatment of one run, or one seam of two. `a` and `b` are run texts."""

    kind: str
    a: Any
    b: Any = None
    press: str = "none"
    neaten: str = "raw"
    plain: bool = True  # both allowances must agree
    leave_open: Any = None
    by: Any = None
    to: Any = None
    ease: Any = None


def verb_of(raw: Mapping[str, Any], where: Where) -> str:
    found = [k for k, value in raw.items() if is_verb(k, value)]
    # `press:` beside another verb is an act within that step
    if len(found) > 1 and "press" in found:
        found.remove("press")
    if len(found) != 1:
        other = [k for k in raw if k not in VERBS]
        hint = nearest(str(other[0]), VERBS) if other and not found else ""
        raise Fault.of(
            "verb", f"this step has {'no operation' if not found else 'two operations: ' + ' and '.join(found)}", where,
            (f"A step is one of {', '.join(VERBS)}." if not hint else hint.strip()),
        )  # fmt: skip
    return found[0]


def _listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _two(spec: Any, where: Where) -> tuple[Any, Any]:
    if not isinstance(spec, list) or len(spec) != 2:
        raise Fault.of("join", "this step names two runs", where, "Write [one run, the other run].")
    return spec[0], spec[1]


def _need(spec: Any, keys: tuple[str, ...], verb: str, where: Where) -> Mapping[str, Any]:
    if not isinstance(spec, Mapping):
        raise Fault.of("step", f"{verb} is not written as {{...}}", where, f"Give it {', '.join(keys)}.")
    missing = [k for k in keys if k not in spec]
    if missing:
        raise Fault.of("step", f"{verb} lacks {' and '.join(missing)}", where, f"Give it {', '.join(keys)}.")
    return spec


def press_word(text: str, a: Any, b: Any, where: Where) -> str:
    """open, up, none, to a or to b, from 'to sleeve' and the two runs' names."""
    if text in ("open", "none", "up", "to a", "to b"):
        return text
    if text.startswith("to "):
        name = text[3:].strip()
        in_a, in_b = (_mentions(run, name) for run in (a, b))
        if in_a != in_b:
            return "to a" if in_a else "to b"
    raise Fault.of("press", f"'press: {text}' does not say which way", where,
                   "Write open, or to and the name of the piece on one side.")  # fmt: skip


def _mentions(run: Any, name: str) -> bool:
    pieces = [
        part.strip().split(".")[0] for part in str(run).replace("chain(", "").replace("ring(", "").split(",")
    ]
    return any(p == name or p.endswith(f"_{name}") for p in pieces) and (
        pieces[0] == name or pieces[0].endswith(f"_{name}")
    )


def uses_of(
    verb: str, spec: Any, raw: Mapping[str, Any], where: Where, defaults: Mapping[str, Any]
) -> list[Use]:
    """The uses of one step. Raises Fault for a step that is written wrongly."""
    join_defaults = defaults.get("join") or {}
    if verb == "join":
        a, b = _two(spec, where)
        press = press_word(str(raw.get("press", join_defaults.get("press", "open"))), a, b, where)
        neaten = str(raw.get("neaten", join_defaults.get("neaten", "apart")))
        return [Use("join", a, b, press, neaten, leave_open=raw.get("leave open"), ease=raw.get("ease"))]
    if verb in ENCLOSED:
        if verb == "lapped seam":
            spec = _need(spec, ("over", "under"), verb, where)
            spec = [spec["over"], spec["under"]]
        a, b = _two(spec, where)
        # A lapped seam's allowances lie under the piece that laps.
        press = "to a" if verb == "lapped seam" else press_word(str(raw.get("press", "to b")), a, b, where)
        return [Use("join", a, b, press, "enclosed", plain=verb == "french seam", ease=raw.get("ease"))]
    if verb == "face":
        spec = _need(spec, ("edge", "with"), verb, where)
        caught = [Use("catch", run, None, "none", "enclosed") for run in _listed(spec.get("catch", []))]
        return [Use("face", spec["edge"], spec["with"], "to b", "enclosed"), *caught]
    if verb == "band":
        spec = _need(spec, ("run", "with", "inside"), verb, where)
        out = [
            Use("band", spec["run"], spec["with"], "to b", "enclosed", plain=False),
            Use("close", spec["inside"], None, "none", "enclosed"),
        ]
        out += [Use("beyond", run, None, "none", "enclosed") for run in _listed(spec.get("beyond") or [])]
        out += [Use("end", run, None, "none", "enclosed") for run in _listed(spec.get("ends", []))]
        return out + [Use("catch", run, None, "none", "enclosed") for run in _listed(spec.get("catch", []))]
    if verb == "tie":
        spec = _need(spec, ("pieces", "sew"), verb, where)
        out = []
        for piece in _listed(spec["pieces"]):
            a, b = spec["sew"]
            out.append(Use("join", f"{piece}.{a}", f"{piece}.{b}", "none", "enclosed"))
            if spec.get("tip"):
                out.append(Use("close", f"{piece}.{spec['tip']}", None, "none", "enclosed"))
        return out
    if verb == "bind":
        spec = _need(spec, ("run", "with"), verb, where)
        return [Use("bind", spec["run"], neaten="enclosed")]
    if verb == "pocket":
        spec = _need(spec, ("mouth", "sew", "on"), verb, where)
        return [
            Use("hem", spec["mouth"], None, "up", str(spec.get("hem", "double"))),
            Use("patch", spec["sew"], None, "none", "enclosed"),
        ]
    if verb == "attach":
        spec = _need(spec, ("end", "to", "at", "lap"), verb, where)
        return [Use("attach", end, None, "none", "enclosed") for end in _listed(spec["end"])]
    if verb == "zip":
        spec = _need(spec, ("edges",), verb, where)
        a, b = _two(spec["edges"], where)
        return [Use("zip", a, b, "open", str(raw.get("neaten", join_defaults.get("neaten", "apart"))))]
    if verb == "fell":
        spec = _need(spec, ("run", "to"), verb, where)
        return [Use("fell", run, None, "none", "enclosed") for run in _listed(spec["run"])]
    if verb == "collar":
        return _collar(spec, where)
    if verb in ("gather", "ease"):
        spec = _need(spec, ("run",), verb, where)
        if ("by" in spec) == ("to" in spec):
            code = "gather" if verb == "gather" else "ease-amount"
            raise Fault.of(code, f"{verb} says by how much, or to what length", where, "Give it by or to.")
        return [Use(verb, spec["run"], by=spec.get("by"), to=spec.get("to"))]
    if verb == "hem":
        spec = _need(spec, ("run",), verb, where)
        return [Use("hem", spec["run"], None, "up", str(spec.get("kind", "single")))]
    if verb in ("topstitch", "edgestitch"):
        return [Use("topstitch", run) for run in _listed(spec)]  # a run, or the step whose seams it follows
    if verb == "tack":
        spec = _need(spec, ("to",), verb, where)
        return [Use("tack", run) for run in _listed(spec["at"] if "at" in spec else spec.get("run"))]
    if verb == "casing":
        spec = _need(spec, ("run", "elastic"), verb, where)
        return [Use("casing", spec["run"], None, "up", "enclosed")]
    if verb in ("finish", "staystitch", "baste", "hang"):
        return [Use(verb, run) for run in _listed(spec)]
    return []


def _collar(spec: Any, where: Where) -> list[Use]:
    """A collar's sides sewn to each other, the upper one eased to the under one; or four plies in one seam.

    Both sides are drawn as seen on their right sides, so that face to face the left end of one meets the right of the other.
    """
    if "pieces" in _need(spec, (), "collar", where):
        upper, under = _two(spec["pieces"], where)
        runs = [
            ", ".join(f"{piece}.{edge}" for edge in _listed(spec.get("sew", []))) for piece in (upper, under)
        ]
        upper_run, under_run = (f"chain({run})" for run in runs)
        ease = f"length of ring({runs[0]}) - length of ring({runs[1]})"
        return [Use("join", upper_run, under_run, "open", "enclosed", ease=ease)]
    spec = _need(spec, ("stands", "along", "ends", "holds"), "collar", where)
    (outer, inner), (one, other) = _two(spec["stands"], where), _two(spec["ends"], where)
    along, holds = spec["along"], spec["holds"]
    # The collar falls over the outer stand: its under side lies against that, its upper side goes on from the inner one.
    return [
        Use("join", f"{outer}.{along}", holds["under"], "open", "enclosed"),
        Use("join", f"{inner}.{along}", holds["upper"], "open", "enclosed"),
        Use("join", f"{outer}.{one}", f"{inner}.{other}", "open", "enclosed"),
        Use("join", f"{outer}.{other}", f"{inner}.{one}", "open", "enclosed"),
    ]
