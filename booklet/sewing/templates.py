"""The templates of steps: filled in with an operation's facts, the package's own or those that a shop lays over them.

A shop's templates run in a sandbox. Whatever is wrong with one of them is a `Fault` at its file and line.
"""

from __future__ import annotations

import re
import traceback
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import lru_cache
from typing import Any, Literal

import jinja2
from jinja2 import meta, nodes
from jinja2.sandbox import ImmutableSandboxedEnvironment, SecurityError

from booklet.language import Tongue
from booklet.problems import Collector, Fault, Where, nearest
from booklet.resources import data_folder
from booklet.sewing.operations import OPERATIONS
from booklet.sewing.phrases import Phrases
from booklet.wording import NONE, Wording

Units = Literal["cm", "in"]
SECTIONS = ("title", "text", "check")
_TAG_LINE = re.compile(r"^[ \t]*((?:\{%[^%]*%\}[ \t]*)+)\n(?!\[)", re.MULTILINE)
_SECTION_LINE = re.compile(r"^\[(\w+)\]\s*$", re.MULTILINE)
MOST_REPEATED = 10_000


class _Sandbox(ImmutableSandboxedEnvironment):
    """Refuses what would fill the memory: powers, and texts or lists repeated without end."""

    intercepted_binops = frozenset(["*", "**"])

    def call_binop(self, context: jinja2.runtime.Context, operator: str, left: Any, right: Any) -> Any:
        sized = isinstance(left, (str, list, tuple)) or isinstance(right, (str, list, tuple))
        if operator == "**" or (sized and max(_number(left), _number(right)) > MOST_REPEATED):
            raise SecurityError(f"'{operator}' with so much is not allowed here")
        return super().call_binop(context, operator, left, right)


def _number(value: Any) -> float:
    return float(value) if isinstance(value, (int, float)) else 0.0


def own_template(name: str, language: str) -> str | None:
    """The package's own template of that name, as its file holds it."""
    path = data_folder("templates") / language / "steps" / name
    return path.read_text(encoding="utf-8") if path.suffix == ".j2" and path.is_file() else None


@lru_cache(maxsize=8)
def environment(language: str, wording: Wording = NONE) -> jinja2.Environment:
    def source(name: str) -> tuple[str, str, Callable[[], bool]] | None:
        text = wording.text(f"steps/{name}")
        if text is None:
            text = own_template(name, language)
        # A line of tags alone leaves no line behind but is counted, save before a section's name; any other keeps its end,
        # so that words don't run together.
        return None if text is None else (_TAG_LINE.sub(r"\1{#\n#}", text), name, lambda: True)

    kind = _Sandbox if wording.named("steps", ".j2") else jinja2.Environment
    env = kind(loader=jinja2.FunctionLoader(source), undefined=jinja2.StrictUndefined, autoescape=False)
    env.filters.update(Phrases.FILTERS)
    return env


def render(
    template: str,
    facts: Mapping[str, Any],
    units: Units,
    tongue: Tongue,
    unlike: frozenset[int] = frozenset(),
    side: str = "",
) -> dict[str, str]:
    """The sections of a template, filled in; `unlike` and `side` as in `Phrases`.

    Raises `Fault` for what is wrong with a shop's template, jinja2.UndefinedError for one of the package's own.
    """
    filled = Phrases(units, tongue, unlike=unlike, side=side)
    wording = tongue.words.wording
    try:
        made = environment(tongue.language, wording).get_template(template)
        text = tongue.grammar.spaced(made.render({**facts, Phrases.KEY: filled}))
    except Exception as error:  # a template may do anything; its author is told where
        fault = _shops_fault(error, wording)
        if fault is None:
            raise
        raise fault from None
    parts = re.split(rf"^\[({'|'.join(SECTIONS)})\]\n", text, flags=re.MULTILINE)
    found = dict(zip(parts[1::2], parts[2::2], strict=True))
    return {name: found.get(name, "") for name in SECTIONS}


def _shops_fault(error: Exception, wording: Wording) -> Fault | None:
    """The sentence about an error that came up in one of the shop's templates, at the innermost line of theirs."""
    if isinstance(error, jinja2.TemplateNotFound):
        return None  # told by `check_templates`, at its line
    for frame in reversed(traceback.extract_tb(error.__traceback__)):
        name = frame.filename
        if wording.text(f"steps/{name}") is not None:
            where = Where(f"{wording.folder}/steps/{name}", frame.lineno or 1)
            said = " ".join(str(error).split())
            if isinstance(error, jinja2.UndefinedError):
                return Fault.of("template-unknown", f"this step does not give it: {said}", where,
                                "Ask first: {% if NAME is defined %}.")  # fmt: skip
            return Fault.of("template", f"the template cannot be filled in: {said}", where)
    return None


# ---------------------------------------------------------------- what a shop's templates may say


@lru_cache(maxsize=8)
def check_templates(language: str, wording: Wording) -> None:
    """Raises `Fault` with everything in a shop's step templates that can be told without filling them in."""
    collector = Collector()
    mine = [name.removeprefix("steps/") for name, _ in wording.named("steps", ".j2")]
    env = environment(language, wording)
    whole = {o.template for o in OPERATIONS.values()}
    trees: dict[str, nodes.Template] = {}
    for name in mine:
        where = Where(f"{wording.folder}/steps/{name}", 1)
        text = wording.text(f"steps/{name}") or ""
        if name in whole:
            _sections(text, where, collector)
        try:
            trees[name] = env.parse(_TAG_LINE.sub(r"\1{#\n#}", text), name)
            env.compile(trees[name], name)
        except jinja2.TemplateSyntaxError as error:
            said = (error.message or "").rstrip(".")
            at = Where(where.file, error.lineno)
            collector.error("template", at, f"the template cannot be read: {said}", _filter_mend(said, env))
    included = {n for name in (*_own_names(language), *mine) for n in _includes(name, language, wording)}
    known = sorted({*_own_names(language), *mine})
    for name, tree in trees.items():
        file = f"{wording.folder}/steps/{name}"
        if name not in _own_names(language) and name not in included:
            what = f"no step is printed from the template '{name}', and no template includes it"
            collector.error(
                "template-unused", Where(file, 1), what, nearest(name, _own_names(language)).strip()
            )
        for line, asked in _includes_at(tree):
            if asked not in known:
                what = f"it includes '{asked}', which is not there"
                collector.error("template", Where(file, line), what, nearest(asked, known).strip())
    collector.raise_if_errors()


def unknown_names(template: str, facts: Iterable[str], language: str, wording: Wording) -> Fault | None:
    """What the shop's templates behind one step ask for that the step does not give, in branches not taken too."""
    mine = [n for n in _with_included(template, language, wording) if wording.text(f"steps/{n}") is not None]
    if not mine:
        return None
    known = {*facts, Phrases.KEY, "loop", *_package_names(template, language)}
    collector = Collector()
    trees = {n: _tree(n, language, wording) for n in _with_included(template, language, wording)}
    known |= {n.name for tree in trees.values() for n in tree.find_all(nodes.Name) if n.ctx != "load"}
    given = sorted(known - {Phrases.KEY, "loop"})
    known |= set(environment(language, wording).globals)
    for name in mine:
        for asked in trees[name].find_all(nodes.Name):
            if asked.ctx == "load" and asked.name not in known:
                where = Where(f"{wording.folder}/steps/{name}", asked.lineno)
                what = f"the step gives no '{asked.name}'"
                collector.error("template-unknown", where, what, nearest(asked.name, given).strip())
    return Fault(collector.problems) if collector.problems else None


def _sections(text: str, where: Where, collector: Collector) -> None:
    found = [m for m in _SECTION_LINE.finditer(text)]
    for m in found:
        if m[1] not in SECTIONS:
            at = Where(where.file, text.count("\n", 0, m.start()) + 1)
            collector.error("template", at, f"[{m[1]}] is no part of a step", nearest(m[1], SECTIONS).strip())
    for name in SECTIONS[:2]:
        if name not in [m[1] for m in found]:
            collector.error(
                "template",
                where,
                f"the template has no part [{name}]",
                f"Write [{name}] on a line of its own.",
            )


def _filter_mend(said: str, env: jinja2.Environment) -> str:
    named = re.search(r"No filter named '(\w+)'", said)
    return nearest(named[1], sorted(Phrases.FILTERS)).strip() if named else ""


@lru_cache(maxsize=8)
def _own_names(language: str) -> tuple[str, ...]:
    return tuple(sorted(p.name for p in (data_folder("templates") / language / "steps").glob("*.j2")))


@lru_cache(maxsize=256)
def _tree(name: str, language: str, wording: Wording) -> nodes.Template:
    env = environment(language, wording)
    assert env.loader is not None
    try:
        return env.parse(env.loader.get_source(env, name)[0], name)
    except jinja2.TemplateError:
        return nodes.Template([])  # told by `check_templates`


def _includes_at(tree: nodes.Template) -> Iterator[tuple[int, str]]:
    for node in tree.find_all((nodes.Include, nodes.Extends, nodes.Import, nodes.FromImport)):
        name = node.template  # type: ignore[attr-defined]
        if isinstance(name, nodes.Const):
            yield node.lineno, str(name.value)


def _includes(name: str, language: str, wording: Wording) -> tuple[str, ...]:
    return tuple(n for _, n in _includes_at(_tree(name, language, wording)))


def _with_included(template: str, language: str, wording: Wording) -> list[str]:
    """A template and whatever it includes, each once."""
    out = [template]
    for name in out:
        out += [n for n in dict.fromkeys(_includes(name, language, wording)) if n not in out]
    return out


@lru_cache(maxsize=256)
def _package_names(template: str, language: str) -> frozenset[str]:
    """What the package's own templates behind a step ask for."""
    found: set[str] = set()
    for name in _with_included(template, language, NONE):
        tree = _tree(name, language, NONE)
        found |= meta.find_undeclared_variables(tree)
        found |= {n.name for n in tree.find_all(nodes.Name) if n.ctx != "load"}
    return frozenset(found)
