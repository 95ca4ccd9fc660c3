"""Each soft rule and the case in which it does not speak: one recipe where it does, a like one where it does not."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest
import yaml
from helpers.changed import Changes, problems
from helpers.steps import ROOT

from booklet.sewing.acts_done import Act, Spot
from booklet.sewing.order_work import Work
from booklet.sewing.rules import ALWAYS, BY_ID, RULES
from booklet.sewing.unless import CASES

KNIT = ("    title: main cloth\n", "    title: main cloth\n    knit: true\n")


@dataclass(frozen=True)
class Pair:
    rule: str
    style: str
    speaks: Changes
    silent: Changes
    options: dict[str, str] = field(default_factory=dict)  # of the recipe where it speaks
    silent_options: dict[str, str] | None = None  # of the other, where they are not the same


def text_of(style: str) -> str:
    return (ROOT / "styles" / style / "sewing.yaml").read_text(encoding="utf-8")


def steps(style: str) -> list[dict]:
    read = yaml.safe_load(text_of(style))["steps"]
    return [{k: {"on" if i is True else i: j for i, j in v.items()} if isinstance(v, dict) else v
             for k, v in s.items()} for s in read]  # fmt: skip


def recipe(style: str, order: list[dict]) -> list[tuple[str, str]]:
    return [
        (text_of(style), yaml.safe_dump({"steps": order}, sort_keys=False, allow_unicode=True, width=1000))
    ]


def moved(style: str, step: str, after: str, **new: object) -> list[tuple[str, str]]:
    """The recipe with one step moved behind another and its keys changed."""
    all_steps = steps(style)
    one = next(s for s in all_steps if s["id"] == step)
    rest = [s for s in all_steps if s is not one]
    at = next(n + 1 for n, s in enumerate(rest) if s["id"] == after)
    return recipe(style, [*rest[:at], {**one, **new}, *rest[at:]])


def added(style: str, after: str, **new: object) -> list[tuple[str, str]]:
    """The recipe with a new step behind another; '_' in its keys is a space."""
    one = {"part" if k == "part" else k.replace("_", " "): v for k, v in new.items()}
    at = next(n + 1 for n, s in enumerate(steps(style)) if s["id"] == after)
    return recipe(style, [*steps(style)[:at], {**one, "id": "new"}, *steps(style)[at:]])


def with_step(style: str, step: str, **new: object) -> list[tuple[str, str]]:
    """The recipe with the keys of one step changed; None takes one out."""

    def change(s: dict) -> dict:
        return {k: v for k, v in {**s, **new}.items() if v is not None} if s["id"] == step else s

    return recipe(style, [change(s) for s in steps(style)])


HEAD = {"run": "sleeve.head", "by": "fullness + front_ease + back_ease", "rows": 2}
BIB = {"run": "apron.bib_top", "kind": "single"}
MORE_EASE = [("ease: {front: 0.4, back: 0.6}", "ease: {front: 0.8, back: 1}")]
LEG = {"run": "chain(front.hem, back.hem)", "kind": "double"}
BARE_CUFF = ("{cloth: interfacing, count: 2, as: pair, trim: to stitch line}", "")
BIAS = [
    ("    title: Front\n", "    title: Front\n    grain: bias\n"),
    ("    title: Back\n", "    title: Back\n    grain: bias\n"),
]

PAIRS = (
    Pair("staystitch-late", "aline", {"sewing": added("aline", "centre-back", staystitch=["back.waist"])},
         {"sewing": added("aline", "sides", staystitch=["back.centre"])}),
    Pair("gather-early", "top", {"sewing": moved("top", "gather-lower", "set-sleeves")},
         {"sewing": with_step("top", "gather-head", gather=HEAD)}, {"sleeve_end": "cuff"}),
    Pair("sleeve-flat", "blouse", {"draft": MORE_EASE, "sewing": with_step("blouse", "set-sleeves", ease="18 mm")},
         {"draft": MORE_EASE, "sewing": with_step("blouse", "set-sleeves", ease="18 mm"), "style": [KNIT]}),
    Pair("hem-early", "trousers", {"sewing": moved("trousers", "hems", "sides", hem=LEG)},
         {"sewing": moved("trousers", "hems", "sides", hem=LEG), "style": [KNIT]}),
    Pair("bind-early", "apron", {"sewing": moved("apron", "hem-bib", "bind")},
         {"sewing": moved("apron", "hem-bib", "bind", hem=BIB)}, {"ties": "bound"}),
    Pair("finish-late", "aline", {"sewing": moved("aline", "neaten-centre", "understitch-waist")}, {}),
    Pair("topstitch-late", "top", {"sewing": added("top", "face-neck", topstitch=["shoulders"])},
         {"sewing": added("top", "understitch-neck", topstitch=["front.neckline", "back.neckline"])}),
    Pair("zip-order", "aline", {"sewing": moved("aline", "zip-centred", "neaten-centre")}, {},
         {"zip": "centred"}, {"zip": "concealed"}),
    Pair("hang", "aline", {"draft": BIAS}, {}),
    Pair("hole-thin", "blouse", {"draft": [BARE_CUFF], "sewing": with_step("blouse", "fuse", fuse=["stand", "collar"])}, {}),
)  # fmt: skip


def spoken(folder: Path, style: str, changes: Changes, rule: str, options: dict[str, str]) -> bool:
    return rule in {p.code for p in problems(folder, style, changes, **options)}


@pytest.mark.parametrize("pair", PAIRS, ids=lambda p: p.rule)
def test_a_rule_speaks_unless_its_case_holds(pair: Pair, tmp_path: Path) -> None:
    assert BY_ID[pair.rule].unless not in ("", ALWAYS)
    quiet = pair.options if pair.silent_options is None else pair.silent_options
    assert spoken(tmp_path, pair.style, pair.speaks, pair.rule, pair.options)
    assert not spoken(tmp_path, pair.style, pair.silent, pair.rule, quiet)


def test_every_soft_rule_says_its_case_or_that_there_is_none() -> None:
    for rule in RULES:
        assert rule.hard == (rule.unless == ""), rule.id
        # A rule of order asks its case of the acts; one with a check of its own has it there.
        if not rule.hard and rule.unless != ALWAYS:
            assert (CASES[rule.unless].holds is not None) == bool(rule.first), rule.id
    used = {rule.unless for rule in RULES if rule.unless}
    assert used == set(CASES)
    assert all(case.words for name, case in CASES.items() if name != ALWAYS)


def act(name: str, order: int, *plies: str) -> Act:
    return Act(
        name, (order, 0), f"step-{order}", None, "", tuple(Spot(p, "end", 0, 10) for p in plies), plies
    )  # type: ignore[arg-type]


def test_a_seam_through_shell_and_lining_may_come_after_the_felling() -> None:
    """Both layers lie together at the seam's end, so the felling holds nothing shut that the seam must reach."""
    earlier = act("join", 1, "shell.left", "lining.left", "shell.right", "lining.right")
    fell = act("fell", 2, "lining.left", "lining.right")
    work = cast(Work, SimpleNamespace(of=lambda names: [earlier]))
    holds = CASES["through both"].holds
    assert holds is not None
    assert holds(work, act("join", 3, "shell.left", "shell.right", "lining.left", "lining.right"), fell)
    assert not holds(work, act("join", 3, "lining.left", "lining.right"), fell)
    assert not holds(work, act("join", 3, "shell.left", "shell.right"), fell)
