"""The words of both styles' steps, and of recipes written in a test, for a middling body."""

from __future__ import annotations

from functools import cache

from booklet.reading.shop import Shop, read_shop
from booklet.reading.yaml_source import parse_yaml
from booklet.sewing.words import StepWords, write_steps
from helpers.drafts import MIDDLING, Drafted, draft_sources, middling, sources


@cache
def shop() -> Shop:
    """The package's own shop."""
    return read_shop()


def words_of(drafted: Drafted, units: str = "cm") -> tuple[StepWords, ...]:
    table = drafted.seams
    return write_steps(table.steps, table, drafted.copies, drafted.table, shop(), units)  # type: ignore[arg-type]


@cache
def style_words(style: str, *options: tuple[str, str], units: str = "cm") -> tuple[StepWords, ...]:
    return words_of(middling(style, *options), units)


def recipe_words(style: str, recipe: str, units: str = "cm", **options: str) -> tuple[StepWords, ...]:
    """A recipe written in a test, over the pieces of a style. Asserts that the recipe itself is sound."""
    style_file, draft, _ = sources(style)
    sewing = parse_yaml(recipe, "sewing.yaml")
    drafted = draft_sources(style_file, draft, sewing, MIDDLING, options)
    words = words_of(drafted, units)
    assert not drafted.errors
    return words


def printed(words: tuple[StepWords, ...]) -> str:
    """Steps as plain text, for reading and for comparison: no-break spaces shown as ~."""
    out = []
    for w in words:
        if w.part:
            out.append(f"== {w.part} ==\n")
        out.append(f"{w.number} {w.title} ({w.minutes} min)")
        out += [f"  {p}" for p in w.paragraphs]
        out.append(f"  > {w.check}\n")
    return "\n".join(out).replace("\u00a0", "~")


def by_id(words: tuple[StepWords, ...]) -> dict[str, StepWords]:
    return {w.id: w for w in words}
