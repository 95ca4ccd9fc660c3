"""One file into values with lines, and every way in which a file can be bad."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.problems import Fault, Where
from booklet.reading.yaml_source import parse_yaml, read_yaml

TEXT = """\
units: in
on: no
values:
  scye: bust_girth / 6 + 1.5   # depth
  quarter: 1/4
steps:
  - join: [a, b]
  - press: ~
"""


def told(text: str) -> str:
    with pytest.raises(Fault) as caught:
        parse_yaml(text, "f.yaml")
    return str(caught.value)


def test_words_stay_words_and_only_numbers_truth_and_nothing_are_more() -> None:
    data = parse_yaml(
        "[no, yes, on, 1/4, 2020-01-01, 0x10, 1_000, .nan, 1-1/2, 7, -2.5, 1e3, true, ~]", "f"
    ).data
    assert data[:9] == ["no", "yes", "on", "1/4", "2020-01-01", "0x10", "1_000", ".nan", "1-1/2"]
    assert data[9:] == [7, -2.5, 1000.0, True, None]


def test_keys_are_text_always() -> None:
    assert parse_yaml("{on: 1, 36: 2, 5.5: 3, true: 4}", "f").data == {"on": 1, "36": 2, "5.5": 3, "true": 4}


def test_every_value_knows_its_line() -> None:
    source = parse_yaml(TEXT, "draft.yaml")
    assert source.data["on"] == "no"
    assert source.where("values", "quarter") == Where("draft.yaml", 5)
    assert source.where("steps", 1, "press") == Where("draft.yaml", 8)
    assert source.where("values", "missing", "deeper") == Where("draft.yaml", 3)
    assert source.where() == Where("draft.yaml", 1)


def test_an_alias_repeats_what_its_anchor_named() -> None:
    assert parse_yaml("a: &x {wide: 2}\nb: *x", "f").data == {"a": {"wide": 2}, "b": {"wide": 2}}


@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("a: 1\nb:\t2", "f.yaml:2: there is a tab. Indent and align with spaces."),
        ("a:\n\tb: 2", "f.yaml:2: there is a tab."),
        ("a: 1\nb: 2\na: 3", "f.yaml:3: 'a' is given twice, first in line 1."),
        ("", "f.yaml:1: the file is empty."),
        ("# only words\n", "f.yaml:1: the file is empty."),
        ("a: [1, 2", "f.yaml:1: this cannot be read as YAML: a bracket, brace or quote that begins here"),
        ("a: 1\nb: 'x", "f.yaml:2: this cannot be read as YAML: a bracket, brace or quote"),
        ("a: 1\nb: c: d", "f.yaml:2: this cannot be read as YAML: there is a second ':'"),
        ("a: %x", "f.yaml:1: this cannot be read as YAML: found character '%'"),
        ("a: *b", "f.yaml:1: this cannot be read as YAML: found undefined alias"),
        ("- a\nb: 1", "f.yaml:2: this cannot be read as YAML: expected"),
        ("a: 1\n---\nb: 2", "f.yaml:2: this cannot be read as YAML: a second document begins"),
        ("a: 1\nb: !!python/object/apply:os.getcwd []", "f.yaml:2: the tag tag:yaml.org,2002:python/object/apply"),
        ("a: !!int x", "f.yaml:1: the tag tag:yaml.org,2002:int is not used here."),
        ("a: 1\n{[1]: 2}", "f.yaml:2: this cannot be read as YAML"),
        ("{[1]: 2}", "f.yaml:1: a key must be a plain word."),
        ("a: 1\nb: 1e999", "f.yaml:2: the number 1e999 is too large."),
        ("a: " + "9" * 5000, "f.yaml:1: the number 999999999999... has 5000 characters."),
        ("a: 'x\x01'", "f.yaml:1: there is a character that text cannot hold."),
        ("a: &x [*x]", "f.yaml:1: the file is nested over 24 levels deep."),
        ("[" * 30 + "]" * 30, "f.yaml:1: the file is nested over 24 levels deep."),
        ("[" * 100_000, "f.yaml:1: this cannot be read as YAML: it is nested too deep."),
    ],
)  # fmt: skip
def test_a_bad_file_gives_a_sentence_with_its_line(text: str, begins: str) -> None:
    assert told(text).startswith(begins)


def test_a_file_that_unfolds_without_end_is_stopped() -> None:
    lines = ["a0: &a0 [1, 1, 1, 1, 1, 1, 1, 1, 1]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 9)]
    assert "unfolds to over 50000 values" in told("\n".join(lines))


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    latin = tmp_path / "latin.yaml"
    latin.write_bytes(b"a: 1\nb: caf\xe9\n")
    large = tmp_path / "large.yaml"
    large.write_bytes(b"#" * 2_000_001)
    for path, words in (
        (tmp_path / "none.yaml", "none.yaml:1: there is no such file."),
        (tmp_path, ":1: this is a folder, a file was expected."),
        (latin, "latin.yaml:2: the file is not UTF-8 text. Save it as UTF-8 in your editor."),
        (large, "large.yaml:1: the file has over 2 MB, a style's text has far less."),
        (latin / "under.yaml", "under.yaml:1: the file cannot be read (not a directory)."),
    ):
        with pytest.raises(Fault) as caught:
            read_yaml(path)
        assert str(caught.value).endswith(words)


def test_a_mark_at_the_beginning_and_foreign_line_ends_do_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\r\nb: 2\r\n")
    source = read_yaml(path, "f.yaml")
    assert (source.data, source.where("b").line) == ({"a": 1, "b": 2}, 2)
