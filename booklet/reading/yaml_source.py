"""Reads one YAML file into plain values, each of which remembers its line.

The safe loader with YAML 1.2's core idea of plain words: only whole numbers, decimals, true/false and null
are anything but text, so that `on:`, `no` and `1/4` stay what was typed. Keys are always text. Everything
that can be wrong with the file as a file is a `Fault` with a sentence: missing, unreadable, not UTF-8,
tabs, a key given twice, wild nesting or repetition.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

import yaml

from booklet.problems import Fault, Where
from booklet.reading.plain_text import read_text

LARGEST_BYTES = 2_000_000
MOST_VALUES = 50_000  # after aliases have been followed; a large style has about two thousand
DEEPEST = 24

Step = str | int


@dataclass(frozen=True)
class Source:
    """A file's values (dicts, lists, text, numbers, true/false, None) and the line of each."""

    file: str
    data: Any
    lines: Mapping[tuple[Step, ...], int]
    _asked: dict[tuple[Step, ...], Where] = field(default_factory=dict, init=False, compare=False, repr=False)

    def where(self, *path: Step) -> Where:
        """The place of a value by its keys and list positions; of what is around it if it isn't there."""
        known = self._asked.get(path)
        if known is None:
            known = self._asked[path] = self._where(path)
        return known

    def _where(self, path: tuple[Step, ...]) -> Where:
        for size in range(len(path), -1, -1):
            line = self.lines.get(tuple(path[:size]))
            if line is not None:
                return Where(self.file, line)
        return Where(self.file, 1)


def read_yaml(path: Path, name: str | None = None) -> Source:
    """Reads the file at `path`; `name` is what problems call it (by default the path as given)."""
    file = name or path.as_posix()
    text = read_text(
        path, file, LARGEST_BYTES, ", a style's text has far less", "Save it as UTF-8 in your editor."
    )
    return parse_yaml(text.replace("\r\n", "\n"), file)


def parse_yaml(text: str, file: str) -> Source:
    """Reads YAML text that came from `file`."""
    tab = text.find("\t")
    if tab >= 0:
        raise Fault.of(
            "yaml-tab", "there is a tab", Where(file, _line_at(text, tab)), "Indent and align with spaces."
        )
    try:
        node = _composed(text)
        if node is None:
            raise Fault.of("file-empty", "the file is empty", Where(file, 1))
        builder = _Builder(file)
        return Source(file, builder.build(node, ()), builder.lines)
    except yaml.reader.ReaderError as error:
        line = _line_at(text, int(error.position))
        raise Fault.of(
            "yaml-character", "there is a character that text cannot hold", Where(file, line)
        ) from None
    except yaml.MarkedYAMLError as error:
        raise _unreadable(error, file) from None
    except RecursionError:
        raise _too_deep(Where(file, 1)) from None


@lru_cache(maxsize=64)
def _composed(text: str) -> yaml.Node | None:
    """The nodes of a text, which nobody changes; whoever reads many bodies or variants of a style has them at once."""
    node: yaml.Node | None = _PlainLoader(text).get_single_node()
    return node


class _PlainLoader(yaml.SafeLoader):
    """Composes nodes only; words are resolved by the short list below and by nothing else."""

    yaml_implicit_resolvers: Final[dict[str, list[tuple[str, re.Pattern[str]]]]] = {}  # type: ignore[misc]

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.depth = 0

    def compose_node(self, parent: yaml.Node | None, index: Any) -> yaml.Node | None:
        self.depth += 1
        if self.depth > 2 * DEEPEST:
            mark = self.peek_event().start_mark
            raise yaml.composer.ComposerError(None, None, "it is nested too deep", mark)
        node = super().compose_node(parent, index)
        self.depth -= 1
        return node


_NULL, _BOOL, _INT, _FLOAT, _TEXT = (
    f"tag:yaml.org,2002:{t}" for t in ("null", "bool", "int", "float", "str")
)
_PlainLoader.add_implicit_resolver(_NULL, re.compile(r"(?:~|null|Null|NULL|)$"), ["~", "n", "N", ""])
_PlainLoader.add_implicit_resolver(_BOOL, re.compile(r"(?:true|True|TRUE|false|False|FALSE)$"), list("tTfF"))
_WHOLE = re.compile(r"[-+]?[0-9]+$")
_NUMBER = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$")
_PlainLoader.add_implicit_resolver(_INT, _WHOLE, list("-+0123456789"))
_PlainLoader.add_implicit_resolver(_FLOAT, _NUMBER, list("-+.0123456789"))
_CONTAINERS = ("tag:yaml.org,2002:map", "tag:yaml.org,2002:seq")


class _Builder:
    """Turns nodes into values; counts and measures depth, since an alias may repeat a part many times."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.count = 0
        self.lines: dict[tuple[Step, ...], int] = {}

    def build(self, node: yaml.Node, path: tuple[Step, ...], line: int | None = None) -> Any:
        """The value of a node. `line` is that of its key, if it has one: an editor is sent to the key."""
        here = Where(self.file, line or node.start_mark.line + 1)
        self.lines[path] = here.line
        self.count += 1
        if self.count > MOST_VALUES:
            raise Fault.of(
                "yaml-size", f"the file unfolds to over {MOST_VALUES} values", here, "Look at its * aliases."
            )
        if len(path) > DEEPEST:
            raise _too_deep(here)
        if isinstance(node, yaml.MappingNode) and node.tag in _CONTAINERS:
            return self._mapping(node, path)
        if isinstance(node, yaml.SequenceNode) and node.tag in _CONTAINERS:
            return [self.build(child, (*path, i)) for i, child in enumerate(node.value)]
        if isinstance(node, yaml.ScalarNode):
            return _scalar(node, here)
        raise _tag_refused(node, here)

    def _mapping(self, node: yaml.MappingNode, path: tuple[Step, ...]) -> dict[str, Any]:
        values: dict[str, Any] = {}
        first: dict[str, int] = {}
        for key_node, value_node in node.value:
            where = Where(self.file, key_node.start_mark.line + 1)
            if not isinstance(key_node, yaml.ScalarNode):
                raise Fault.of(
                    "yaml-key",
                    "a key must be a plain word",
                    where,
                    "Put text that has braces or brackets in quotes.",
                )
            key = str(key_node.value)
            if key in values:
                raise Fault.of(
                    "yaml-key-twice",
                    f"'{key}' is given twice, first in line {first[key]}",
                    where,
                    "Keep one of the two.",
                )
            first[key] = where.line
            values[key] = self.build(value_node, (*path, key), where.line)
        return values


def _scalar(node: yaml.ScalarNode, here: Where) -> Any:
    text = str(node.value)
    if node.tag == _TEXT:
        return text
    if node.tag == _NULL:
        return None
    if node.tag == _BOOL:
        return text.lower() == "true"
    if node.tag in (_INT, _FLOAT) and _NUMBER.match(text):  # a tag in the file may say so of any text
        if len(text) > 24:
            raise Fault.of("number-long", f"the number {text[:12]}... has {len(text)} characters", here)
        number = float(text)
        if math.isinf(number):
            raise Fault.of("number-huge", f"the number {text} is too large", here)
        return int(text) if _WHOLE.match(text) else number
    raise _tag_refused(node, here)


def _tag_refused(node: yaml.Node, here: Where) -> Fault:
    return Fault.of(
        "yaml-tag", f"the tag {str(node.tag)[:40]} is not used here", here, "Leave out what starts with '!'."
    )


def _too_deep(where: Where) -> Fault:
    return Fault.of("yaml-depth", f"the file is nested over {DEEPEST} levels deep", where)


def _line_at(text: str, position: int) -> int:
    return text.count("\n", 0, position) + 1


def _unreadable(error: yaml.MarkedYAMLError, file: str) -> Fault:
    """YAML's own finding in our words, at the line where a mend would begin."""
    problem = error.problem or "something is out of place"
    mark = error.problem_mark or error.context_mark
    mend = ""
    if "another document" in problem:
        problem, mend = "a second document begins", "Leave out the line '---'."
    elif "stream end" in problem or "unexpected end of stream" in problem:
        mark = error.context_mark or mark
        problem, mend = "a bracket, brace or quote that begins here is never closed", "Close it."
    elif "mapping values" in problem:
        problem = "there is a second ':' where only text can be"
        mend = "Put text that has ': ' in it in quotes, and align the line with those above."
    elif "cannot start any token" in problem or "alias" in problem or "anchor" in problem:
        mend = "Put text that starts with %, @, `, * or & in quotes."
    elif "expected" in problem:
        mend = "Look for a missing bracket, comma or quote, or another indent, in this line or above it."
    where = Where(file, mark.line + 1 if mark else 1)
    return Fault.of("yaml", f"this cannot be read as YAML: {problem}", where, mend)
