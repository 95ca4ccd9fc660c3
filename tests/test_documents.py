"""README.md is true of the program: it tells every command and option, and none that there isn't; its pictures are there."""

from __future__ import annotations

import re
import runpy
from pathlib import Path

import pytest
import typer
from helpers.steps import ROOT
from PIL import Image

from booklet.cli import app

README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = typer.main.get_command(app).commands  # type: ignore[attr-defined]
ROWS = {m[1]: m[0] for m in re.finditer(r"(?m)^\| `(\w+).*$", README)}
ASKED = ("--help",)  # every command's
OTHER = ("--more", "--slow")  # of tests/run.py
# What several commands take is told below the table, command by command.
SHARED = re.search(r"(?s)\n(`check`, `make`.*?)\n\n", README)


def shared() -> dict[str, set[str]]:
    """The options that the paragraph below the table gives to each command."""
    assert SHARED is not None
    text = SHARED[1].replace("\n", " ")
    first, _, rest = text.partition(" Instead of a body ")
    second, _, third = rest.partition("; ")
    clauses = [first, second, *third.split(", `try` ")]
    clauses[-1] = "`try` " + clauses[-1]
    out: dict[str, set[str]] = {}
    for clause in clauses:
        named, _, taken = clause.partition("take")
        for command in re.findall(r"`(\w+)`", named):
            out.setdefault(command, set()).update(re.findall(r"--[\w-]+", taken))
    return out


def options(command: str) -> list[tuple[str, ...]]:
    return [
        tuple(o for o in p.opts if o.startswith("-")) for p in COMMANDS[command].params if p.opts[0][0] == "-"
    ]


def test_the_table_names_every_command() -> None:
    assert set(ROWS) == set(COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_option_of_a_command_is_told(command: str) -> None:
    told = set(re.findall(r"(?<![\w-])--?[\w-]+", ROWS[command])) | shared().get(command, set())
    missing = [names for names in options(command) if not set(names) & told and names != ASKED]
    assert missing == []


@pytest.mark.parametrize("command", COMMANDS)
def test_no_option_is_told_that_a_command_has_not(command: str) -> None:
    told = set(re.findall(r"(?<![\w-])--[\w-]+", ROWS[command])) | shared().get(command, set())
    assert told - {name for names in options(command) for name in names} == set()


def test_every_option_in_the_text_is_one_of_some_command() -> None:
    known = {name for command in COMMANDS for names in options(command) for name in names}
    assert set(re.findall(r"(?<![\w-])--[a-z][\w-]*", README)) - known - set(OTHER) == set()


def test_the_tour_shows_the_pictures_that_its_script_paints() -> None:
    shown = re.findall(r"!\[([^\]]+)\]\(demo/pictures/(\w+)\.png\)", README)
    script = runpy.run_path(str(ROOT / "demo" / "pictures.py"))
    painted = [p.name for p in script["PICTURES"]]
    assert sorted(name for _, name in shown) == sorted(painted)
    assert {p.booklet for p in script["PICTURES"]} == set(script["BOOKLETS"])
    for name in painted:
        file = ROOT / "demo" / "pictures" / f"{name}.png"
        with Image.open(file) as picture:
            assert picture.width == script["WIDE"] and file.stat().st_size < 150_000


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "styles/README.md", "templates/README.md"])
def test_every_link_leads_to_a_file(name: str) -> None:
    file = ROOT / name
    links = re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", file.read_text(encoding="utf-8"))
    local = [link for link in links if "://" not in link]
    assert [link for link in local if not (file.parent / Path(link)).exists()] == []


def test_the_map_names_every_folder_and_door_of_the_package() -> None:
    told = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    package = ROOT / "booklet"
    folders = [f.name for f in package.iterdir() if (f / "__init__.py").exists()]
    modules = [f.stem for f in package.glob("*.py") if f.stem != "__init__"]
    missing = [n for n in (*folders, *modules) if not re.search(rf"`(?:booklet/)?{n}(?:[/`.])|`{n}/", told)]
    assert folders and sorted(missing) == []
