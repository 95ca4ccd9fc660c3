"""What the shapes of all files share: how keys are spelt, the forms of a value, and errors turned into Problems.

A shape is a pydantic model of one mapping in a file. Its fields are the file's keys with '_' for a space and a trailing
'_' where the key is a word of Python: `fold_lines` is 'fold lines', `from_` is 'from'. Any other key is refused.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Annotated, Any, Literal, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Discriminator,
    StrictBool,
    StrictInt,
    StrictStr,
    Tag,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import ErrorDetails, PydanticCustomError

from booklet.amounts import FUNCTION_NAMES
from booklet.formula import parse_condition, parse_equation, parse_formula
from booklet.problems import Collector, Fault, nearest
from booklet.reading.yaml_source import Source, Step
from booklet.units import parse_length, parse_ratio

Side = Literal["left", "right"]
SideOrWhole = Literal["left", "right", "whole"]
FileUnit = Literal["in", "cm", "mm"]


def _key_of(field: str) -> str:
    return field.rstrip("_").replace("_", " ")


class Shape(BaseModel):
    """One mapping of a file."""

    model_config = ConfigDict(extra="forbid", frozen=True, alias_generator=_key_of, populate_by_name=False)

    @model_validator(mode="before")
    @classmethod
    def _tell_known_keys(cls, data: Any, info: ValidationInfo) -> Any:
        """Notes which keys this mapping might have had, for the sentence about one that it may not have."""
        if isinstance(data, dict) and info.context is not None:
            info.context[id(data)] = cls.keys()
        return data

    @classmethod
    @cache
    def keys(cls) -> tuple[str, ...]:
        return tuple(str(field.alias) for field in cls.model_fields.values())


def refuse(what: str, mend: str = "") -> PydanticCustomError:
    """An error of our own inside a validator. `what` goes on from the name of the thing: 'sleeve.cut ' + what."""
    # The words travel as values: they may hold braces.
    return PydanticCustomError("sentence", "{what}", {"what": what, "mend": mend})


def _refuse_as(fault: Fault) -> PydanticCustomError:
    problem = fault.problems[0]
    return refuse(": " + problem.what, problem.mend)


# ---------------------------------------------------------------- names

_NAME = re.compile(r"[^\W\d]\w*")
_TAKEN = ("and", "or", "not", "ring", "chain", "straight", "pi", "nan", "inf", "infinity", *FUNCTION_NAMES)


def _check_name(name: str) -> str:
    if not _NAME.fullmatch(name):
        raise refuse(
            " is not a name that formulas and recipes can use", "Write letters, digits and _, a letter first."
        )
    if name in _TAKEN:
        raise refuse(" is a word that formulas use themselves", "Choose another name.")
    return name


Name = Annotated[str, AfterValidator(_check_name)]


# ---------------------------------------------------------------- forms of a value


def form(value: Any) -> str:
    """How a value is written, as the tag that picks among the forms a key allows."""
    if isinstance(value, dict):
        return "(mapping)"
    return "(list)" if isinstance(value, list) else "(plain)"


def _value_form(value: Any) -> str:
    if not isinstance(value, dict):
        return "(plain)"
    if "solve" in value:
        return "(solve)"
    return "(pair)" if "in" in value or "cm" in value or "mm" in value else "(choice)"


def _check_plain(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise refuse(f" is {_shown(value)}, a number or a formula was expected")
    try:
        parse_formula(value, "cm")
    except Fault as fault:
        raise _refuse_as(fault) from None
    return value


def _check_equation(value: str) -> str:
    try:
        parse_equation(value, "cm")
    except Fault as fault:
        raise _refuse_as(fault) from None
    return value


def _check_condition(value: Any) -> Any:
    try:
        parse_condition(value, "cm")
    except Fault as fault:
        raise _refuse_as(fault) from None
    return value


def _check_pair(value: Any) -> Any:
    try:
        parse_length(value, "cm", negative=True)
    except Fault as fault:
        raise _refuse_as(fault) from None
    return value


def _check_length(value: Any) -> Any:
    try:
        parse_length(value, "cm")
    except Fault as fault:
        raise _refuse_as(fault) from None
    return value


def _check_ratio(value: Any) -> Any:
    try:
        parse_ratio(value)
    except Fault as fault:
        raise _refuse_as(fault) from None
    return value


_PLAIN_SCHEMA = {"type": ["number", "string"]}
_PAIR_SCHEMA = {
    "type": "object",
    "properties": {"cm": _PLAIN_SCHEMA, "mm": _PLAIN_SCHEMA, "in": _PLAIN_SCHEMA},
    "required": ["in"],
    "minProperties": 2,
    "additionalProperties": False,
}
_CONDITION_SCHEMA = {
    "anyOf": [
        {"type": "string"},
        {"type": "object"},
        {"type": "array", "items": {"type": ["string", "object"]}},
    ]
}

Plain = Annotated[
    Any,
    AfterValidator(_check_plain),
    WithJsonSchema({**_PLAIN_SCHEMA, "description": "a number or a formula"}),
]
Pair = Annotated[Any, AfterValidator(_check_pair), WithJsonSchema(_PAIR_SCHEMA)]
# A plain length: nothing to work out, '1-1/2' is one and a half.
PlainLength = Annotated[
    Any, AfterValidator(_check_length), WithJsonSchema({"anyOf": [_PLAIN_SCHEMA, _PAIR_SCHEMA]})
]
Ratio = Annotated[Any, AfterValidator(_check_ratio), WithJsonSchema(_PLAIN_SCHEMA)]
When = Annotated[Any, AfterValidator(_check_condition), WithJsonSchema(_CONDITION_SCHEMA)]
PlainOrPair = Annotated[
    Annotated[Plain, Tag("(plain)")] | Annotated[Pair, Tag("(pair)")],
    Discriminator(_value_form),
]


class Choice(Shape):
    """{is: formula, when: condition, else: formula}; `kind` for a value that is no length."""

    is_: PlainOrPair
    when: When = None
    else_: PlainOrPair = 0
    kind: Literal["length", "ratio", "angle", "count"] = "length"

    @model_validator(mode="after")
    def _else_needs_when(self) -> Choice:
        if "else_" in self.model_fields_set and self.when is None:
            raise refuse(" has else: without when:", "Add when: with the condition that decides.")
        return self


class Solve(Shape):
    """{solve: 'LEFT = RIGHT', between: [low, high]}: the value itself is looked for between the bounds."""

    solve: Annotated[StrictStr, AfterValidator(_check_equation)]
    between: tuple[Plain, Plain]
    when: When = None
    else_: PlainOrPair = 0


# A length to be worked out.
Value = Annotated[
    Annotated[Plain, Tag("(plain)")] | Annotated[Pair, Tag("(pair)")] | Annotated[Choice, Tag("(choice)")],
    Discriminator(_value_form),
]
# An entry of `values:`, which may also be solved for.
NamedValue = Annotated[
    Annotated[Plain, Tag("(plain)")]
    | Annotated[Pair, Tag("(pair)")]
    | Annotated[Choice, Tag("(choice)")]
    | Annotated[Solve, Tag("(solve)")],
    Discriminator(_value_form),
]
# One name or several.
Names = Annotated[
    Annotated[StrictStr, Tag("(plain)")] | Annotated[list[StrictStr], Tag("(list)")],
    Discriminator(form),
]
Words = StrictStr
Count = StrictInt
Flag = StrictBool


# ---------------------------------------------------------------- errors

S = TypeVar("S", bound=Shape)


def check_shape(source: Source, shape: type[S], collector: Collector) -> S | None:
    """The file's values as that shape, or None with every error in `collector`, each with file and line."""
    if not isinstance(source.data, dict):
        collector.error(
            "shape",
            source.where(),
            "the file does not hold keys and values",
            "Begin with a line such as 'units: cm'.",
        )
        return None
    known: dict[int, tuple[str, ...]] = {}
    try:
        return shape.model_validate(source.data, context=known)
    except ValidationError as error:
        for details in error.errors(include_url=False):
            _tell(source, details, known, collector)
        return None


def _tell(
    source: Source, error: ErrorDetails, known: dict[int, tuple[str, ...]], collector: Collector
) -> None:
    path, parent, last = _path_in_file(source, error["loc"])
    where = source.where(*path)
    label = _label(path)
    kind = error["type"]
    if kind == "extra_forbidden":
        inside = f" in {_label(path[:-1])}" if path[1:] else ""
        mend = nearest(str(last), known.get(id(parent), ()))
        if error["input"] is None:
            mend = "If it goes on from the words before it, put all of them in quotes." + mend
        collector.error("unknown-key", where, f"there is no key '{last}'{inside}", mend)
    elif kind == "missing":
        collector.error("missing-key", where, f"{label or 'the file'} has no '{error['loc'][-1]}'", "Add it.")
    elif kind == "sentence":
        context = error["ctx"]
        collector.error("value", where, f"{label}{context['what']}", str(context["mend"]))
    else:
        what, mend = _plain_words(error)
        collector.error("value", where, f"{label} is {_shown(error['input'])}, {what} was expected", mend)


def _path_in_file(source: Source, loc: tuple[int | str, ...]) -> tuple[tuple[Step, ...], Any, Step]:
    """Pydantic's place without its own words in it: the path of keys in the file, what holds it, its last step."""
    data: Any = source.data
    holder: Any = None
    path: list[Step] = []
    for step in loc:
        inside = isinstance(data, dict) and step in data
        inside = inside or (isinstance(data, list) and isinstance(step, int) and step < len(data))
        if inside:
            path.append(step)
            holder, data = data, data[step]
    return tuple(path), holder, path[-1] if path else ""


def _label(path: tuple[Step, ...]) -> str:
    """'pieces.front.cut', 'steps 4.join': list items are counted from one."""
    text = ""
    for step in path:
        text += f" {step + 1}" if isinstance(step, int) else f".{step}" if text else str(step)
    return text


def _plain_words(error: ErrorDetails) -> tuple[str, str]:
    kind = error["type"]
    context = error.get("ctx") or {}
    if kind == "literal_error":
        allowed = str(context.get("expected", "")).replace("'", "")
        return allowed, nearest(str(error["input"]), re.split(r", | or ", allowed)).split("Known:")[0]
    if kind == "string_type":
        return "text", "Put it in quotes if it is meant as text." if _is_simple(error["input"]) else ""
    if kind in ("list_type", "tuple_type"):
        return "a list", "Write [ ] round it."
    if kind in ("dict_type", "model_type", "model_attributes_type"):
        return "a mapping such as {key: value}", ""
    if kind in ("int_type", "int_parsing", "int_from_float"):
        return "a whole number", ""
    if kind in ("bool_type", "bool_parsing"):
        return "true or false", ""
    if kind in ("greater_than", "greater_than_equal"):
        return f"a number from {context.get('ge', context.get('gt'))} on", ""
    if kind in ("too_short", "too_long"):
        least, most = context.get("min_length"), context.get("max_length")
        return f"a list of {f'at least {least}' if kind == 'too_short' else f'at most {most}'}", ""
    if kind == "union_tag_invalid":
        tags = str(context.get("expected_tags", ""))
        words = {
            "'(plain)'": "text",
            "'(list)'": "a list",
            "'(mapping)'": "a mapping",
            "'(choice)'": "{is: , when: }",
        }
        return " or ".join(words[t] for t in tags.split(", ") if t in words) or "another form", ""
    return "something else", ""


def _is_simple(value: Any) -> bool:
    return isinstance(value, (bool, int, float))


def _shown(value: Any) -> str:
    if value is None:
        return "empty"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, bool):
        return "true" if value else "false"
    text = str(value)
    return f"'{text if len(text) <= 40 else text[:37] + '...'}'"
