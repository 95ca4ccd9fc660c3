"""The command line: what each command writes and says, and that whatever goes wrong ends in a sentence and a status."""

from __future__ import annotations

import errno
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from booklet import making
from booklet.cache import Kept
from booklet.cli import main
from booklet.inputs import asked_options, pdf_path
from booklet.problems import Fault
from booklet.reading.schemas import schemas

Capture = pytest.CaptureFixture[str]
MADE = Kept(b"%PDF", {"pages": "1 page.", "problems": []})


@pytest.fixture(scope="module")
def new_style(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small style that `booklet new` writes."""
    folder = tmp_path_factory.mktemp("new") / "skirt one"
    assert main(["new", str(folder)]) == 0
    return folder


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("BOOKLET_NO_CACHE", "1")
    monkeypatch.chdir(tmp_path)


def in_its_own_process(code: str, root: Path) -> str:
    environment = {**os.environ, "PYTHONPATH": str(root)}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True
    )
    return done.stdout


# ---------------------------------------------------------------- help and imports


@pytest.mark.parametrize(
    "command", ["new", "check", "make", "binder", "facts", "look", "lay", "dxf", "try", "schema"]
)
def test_every_command_has_its_help(command: str, capsys: Capture) -> None:
    assert main([command, "--help"]) == 0
    told = capsys.readouterr().out
    assert f"booklet {command}" in told
    assert "TODO" not in told and len(told.splitlines()) > 5


def test_without_a_command_the_help_is_shown(capsys: Capture) -> None:
    assert main([]) == 0
    assert "Commands:" in capsys.readouterr().out


def test_the_package_alone_brings_in_no_library(root: Path) -> None:
    code = "import sys, booklet; print([m for m in ('numpy', 'yaml', 'pydantic', 'reportlab') if m in sys.modules])"
    assert in_its_own_process(code, root).strip() == "[]"


def test_check_brings_in_no_painter(root: Path) -> None:
    code = (
        "import sys; from booklet.cli import main; status = main(['check', 'STYLE']);"
        "print(status, [m for m in ('reportlab', 'matplotlib', 'uharfbuzz', 'fontTools') if m in sys.modules])"
    ).replace("STYLE", (root / "styles" / "skirt").as_posix())
    assert in_its_own_process(code, root).splitlines()[-1] == "0 []"


def test_the_names_for_python_users_are_there() -> None:
    import booklet

    assert all(callable(getattr(booklet, name)) for name in booklet.__all__)
    assert set(booklet.__all__) <= set(dir(booklet))
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = booklet.nothing


# ---------------------------------------------------------------- usage mistakes


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["frobnicate"], "No such command 'frobnicate'"),
        (["make"], "Missing argument 'STYLE'"),
        (["make", "STYLE", "--papr", "a4"], "--papr"),
        (["make", "STYLE", "--paper", "a5"], "--paper is 'a5'. Known: a4, letter."),
        (["make", "STYLE", "--units", "ells"], "--units is 'ells'. Known: cm, in."),
        (["make", "STYLE", "--width", "wide"], "--width is 'wide', which is no number"),
        (["make", "STYLE", "--option", "length"], "--option 'length' is no choice of an option"),
        (["make", "STYLE", "--option", "lenght=knee"], "no option 'lenght'. Did you mean 'length'?"),
        (["make", "STYLE", "--option", "length=nee"], "'nee' is no choice of length. Did you mean 'knee'?"),
        (
            ["make", "STYLE", "--option", "length=knee", "--option", "length=calf"],
            "asked for twice: knee and calf",
        ),
        (["make", "STYLE", "-o", "booklet.txt"], "Give it a name that ends in .pdf."),
        (["make", "STYLE", "-o", "not/there.pdf"], "not is not there"),
        (["make", "STYLE", "--body", "nobody.yaml"], "nobody.yaml:1: there is no such file."),
        (["make", "STYLE", "--shop", "noshop.yaml"], "noshop.yaml:1: there is no such file."),
        (["check", "STYLE", "--option", "length=nee"], "'nee' is no choice of length"),
        (["facts", "nowhere"], "nowhere:1: there is no such folder."),
    ],
    ids=lambda v: " ".join(v[1:]).replace("STYLE ", "") if isinstance(v, list) else "",
)
def test_a_usage_mistake_is_a_sentence(arguments: list[str], words: str, root: Path, capsys: Capture) -> None:
    style = str(root / "styles" / "skirt")
    assert main([style if a == "STYLE" else a for a in arguments]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert words in said.err
    assert "Traceback" not in said.err
    assert list(Path().iterdir()) == []


def test_all_mistakes_are_told_at_once(root: Path, capsys: Capture) -> None:
    style = str(root / "styles" / "skirt")
    assert (
        main(["make", style, "--paper", "a5", "--units", "ells", "--body", "x.yaml", "--option", "nothing"])
        == 1
    )
    told = capsys.readouterr().err
    assert told.startswith("4 errors:")


def test_options_are_read() -> None:
    assert asked_options(["neck=slit", " sleeve_end = cuff "]) == {"neck": "slit", "sleeve_end": "cuff"}
    with pytest.raises(Fault, match="no choice"):
        asked_options(["=slit"])


def test_where_the_booklet_goes(tmp_path: Path) -> None:
    assert pdf_path(None, "T-07-M-03-a4") == Path("T-07-M-03-a4.pdf")
    assert pdf_path(tmp_path, "T-07-M-03-a4") == tmp_path / "T-07-M-03-a4.pdf"
    (tmp_path / "f.pdf").mkdir()
    (tmp_path / "f.pdf" / "x.pdf").mkdir()
    with pytest.raises(Fault, match="is a folder"):
        pdf_path(tmp_path / "f.pdf", "x")


# ---------------------------------------------------------------- new


def test_the_new_style_checks_without_a_remark(new_style: Path, capsys: Capture) -> None:
    assert main(["check", str(new_style), "--strict"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert said.out.startswith("Passed: Skirt with an elastic waist, for Sample body, 2 combinations")


def test_new_leaves_a_folder_alone_that_holds_something(tmp_path: Path, capsys: Capture) -> None:
    (tmp_path / "own.txt").write_text("mine")
    assert main(["new", str(tmp_path)]) == 1
    assert "the folder is not empty" in capsys.readouterr().err
    assert [p.name for p in tmp_path.iterdir()] == ["own.txt"]
    assert main(["new", str(tmp_path / "own.txt")]) == 1
    assert "this is a file" in capsys.readouterr().err


# ---------------------------------------------------------------- check


def damaged(root: Path, style: str, file: str, old: str, new: str, into: Path) -> Path:
    folder = into / style
    shutil.copytree(root / "styles" / style, folder)
    text = (folder / file).read_text(encoding="utf-8")
    assert text.count(old) == 1
    (folder / file).write_text(text.replace(old, new), encoding="utf-8")
    return folder


MARIT = ("--body", "demo/bodies/marit.yaml")


def test_check_tells_which_choice_a_problem_belongs_to(root: Path, tmp_path: Path, capsys: Capture) -> None:
    style = damaged(root, "top", "sewing.yaml", "with: cuff.upper", "with: cuff.uper", tmp_path)
    body = str(root / MARIT[1])
    assert main(["check", str(style), "--body", body]) == 1
    said = capsys.readouterr()
    assert "cuff has no edge 'uper'. Did you mean 'upper'?" in said.err
    assert "[sleeve_end: cuff]" in said.err
    assert said.out.startswith("Failed:")
    # The other choice is sound.
    assert main(["check", str(style), "--body", body, "--option", "sleeve_end=elastic"]) == 0


def test_check_as_json(root: Path, tmp_path: Path, capsys: Capture) -> None:
    style = damaged(root, "top", "sewing.yaml", "with: cuff.upper", "with: cuff.uper", tmp_path)
    assert main(["check", str(style), "--body", str(root / MARIT[1]), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert (told["format"], told["passed"]) == (1, False)
    passed = {(c["options"]["neck"], c["options"]["sleeve_end"]): c["passed"] for c in told["combinations"]}
    assert passed == {
        ("wide", "elastic"): True,
        ("wide", "cuff"): False,
        ("slit", "elastic"): True,
        ("slit", "cuff"): False,
    }
    found = next(p for p in told["problems"] if p["code"] == "unknown-edge")
    assert found["file"].endswith("sewing.yaml") and found["line"] > 1
    assert [c["neck"] for c in found["combinations"]] == ["wide", "slit"]


def test_files_that_cannot_be_read_are_told_as_json_too(tmp_path: Path, capsys: Capture) -> None:
    assert main(["check", str(tmp_path), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert not told["passed"]
    assert {p["code"] for p in told["problems"]} >= {"file-missing"}


def test_a_warning_fails_only_a_strict_check(new_style: Path, tmp_path: Path, capsys: Capture) -> None:
    body = tmp_path / "body.yaml"
    text = (new_style / "body.yaml").read_text(encoding="utf-8")
    body.write_text(text.replace("knee_height: 47", "knee_height: 20"), encoding="utf-8")
    assert main(["check", str(new_style), "--body", str(body)]) == 0
    said = capsys.readouterr()
    assert "1 warning:" in said.err and "knee_height is 200" in said.err
    assert main(["check", str(new_style), "--body", str(body), "--strict"]) == 1


def test_more_combinations_than_can_be_walked_are_refused(
    new_style: Path, tmp_path: Path, capsys: Capture
) -> None:
    style = tmp_path / "many"
    shutil.copytree(new_style, style)
    text = (style / "style.yaml").read_text(encoding="utf-8")
    more = "".join(f"  more_{n}: [a, b, c]\n" for n in range(9))
    text = text.replace("option titles:", f"{more}option titles:", 1)
    (style / "style.yaml").write_text(text, encoding="utf-8")
    assert main(["check", str(style)]) == 1
    assert "have 39366 combinations" in capsys.readouterr().err
    held = [f"--option=more_{n}=b" for n in range(9)]
    assert main(["check", str(style), *held]) == 0


# ---------------------------------------------------------------- make


def test_make_writes_the_booklet_under_its_own_name(new_style: Path, capsys: Capture) -> None:
    assert main(["make", str(new_style), "--paper", "Letter", "--units", "in"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    name = "S-01_Skirt-with-an-elastic-waist_size-1_booklet_Letter.pdf"
    assert said.out.startswith(f"Wrote {name}: ")
    assert [p.name for p in Path().iterdir()] == [name]
    assert Path(name).read_bytes().startswith(b"%PDF-1.5")


def test_a_cloth_too_narrow_is_an_error_and_a_wider_one_is_taken(new_style: Path, capsys: Capture) -> None:
    assert main(["make", str(new_style), "--width", "40 cm"]) == 1
    assert "too wide" in capsys.readouterr().err
    assert list(Path().iterdir()) == []


def test_ctrl_c_leaves_nothing(new_style: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    earlier = Path("out.pdf")
    earlier.write_bytes(b"earlier")
    monkeypatch.setattr("booklet.printing.files.os.replace", stopped)
    monkeypatch.setattr(making, "make_booklet", lambda *_: MADE)
    assert main(["make", str(new_style), "-o", "out.pdf"]) == 130
    assert capsys.readouterr().err == "Stopped. Nothing was written.\n"
    assert [p.name for p in Path().iterdir()] == ["out.pdf"]
    assert earlier.read_bytes() == b"earlier"


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENOSPC, "no space left on device"),
        (errno.EACCES, "permission denied"),
        (errno.EROFS, "read-only"),
    ],
)
def test_a_full_disk_or_a_folder_read_only(
    number: int, words: str, new_style: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    earlier = Path("out.pdf")
    earlier.write_bytes(b"earlier")
    monkeypatch.setattr(making, "make_booklet", lambda *_: MADE)
    monkeypatch.setattr(
        f"booklet.printing.files.{'os.fdopen' if number == errno.ENOSPC else 'tempfile.mkstemp'}", refused
    )
    assert main(["make", str(new_style), "-o", "out.pdf"]) == 1
    told = capsys.readouterr().err
    assert "out.pdf cannot be written" in told and words in told
    assert [p.name for p in Path().iterdir()] == ["out.pdf"]
    assert earlier.read_bytes() == b"earlier"


def test_a_fault_of_the_program_is_one_sentence(
    new_style: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(making, "make_booklet", broken)
    assert main(["make", str(new_style)]) == 1
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert told.startswith(
        "This is a fault of the program, not of your files: ZeroDivisionError in test_cli.py, line "
    )
    assert "Traceback" not in told
    monkeypatch.setenv("BOOKLET_DEBUG", "1")
    assert main(["make", str(new_style)]) == 1
    assert "Traceback" in capsys.readouterr().err


def test_a_reader_who_stops_reading_is_no_fault(new_style: Path, root: Path) -> None:
    code = "import sys; from booklet.cli import main; sys.exit(main(['check', 'STYLE', '--json']))"
    command = [sys.executable, "-c", code.replace("STYLE", new_style.as_posix())]
    environment = {**os.environ, "PYTHONPATH": str(root)}
    with subprocess.Popen(
        command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None and process.stderr is not None
        process.stdout.close()
        told = process.stderr.read()
    assert told == b""


# ---------------------------------------------------------------- look and schema


def test_look_paints_garment_pieces_steps_and_lays(new_style: Path, capsys: Capture) -> None:
    assert main(["look", str(new_style)]) == 0
    folder = Path("S-01_Skirt-with-an-elastic-waist_size-1_look")
    names = sorted(p.name for p in folder.iterdir())
    assert capsys.readouterr().out == f"Wrote {len(names)} pictures into {folder}.\n"
    assert {"garment-front.png", "piece-01-front.png", "piece-02-back.png", "lays-01.png"} <= set(names)
    assert any(n.startswith("step-01-sides-1") for n in names)
    assert all((folder / n).read_bytes().startswith(b"\x89PNG") for n in names)


def test_schemas_are_written(tmp_path: Path) -> None:
    assert main(["schema", str(tmp_path / "deep" / "er")]) == 0
    assert {
        p.name: json.loads(p.read_text("utf-8")) for p in (tmp_path / "deep" / "er").iterdir()
    } == schemas()
    (tmp_path / "file").write_text("x")
    assert main(["schema", str(tmp_path / "file")]) == 1
