"""The two scripts that a fresh machine starts with: demo/make.py and tests/run.py."""

from __future__ import annotations

import ast
import importlib.util
import subprocess
import sys
from pathlib import Path, PurePosixPath, PureWindowsPath
from types import ModuleType

import pytest

SCRIPTS = ("demo/make.py", "tests/run.py")


@pytest.fixture(params=SCRIPTS)
def script(request: pytest.FixtureRequest, root: Path) -> ModuleType:
    """The script, loaded as a module so that its functions can be asked."""
    spec = importlib.util.spec_from_file_location("script_under_test", root / request.param)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_interpreter_is_found_on_both_kinds_of_system(script: ModuleType) -> None:
    windows = script.venv_python(PureWindowsPath(r"C:\Sewing room\booklet\.venv"), True)
    assert str(windows) == r"C:\Sewing room\booklet\.venv\Scripts\python.exe"
    assert str(script.venv_python(PurePosixPath("/home/x/.venv"), False)) == "/home/x/.venv/bin/python"


def test_the_stamp_changes_with_project_place_and_python(script: ModuleType) -> None:
    stamps = [
        script.stamp(b"one", "/a", "3.11"),
        script.stamp(b"two", "/a", "3.11"),
        script.stamp(b"one", "/b", "3.11"),
        script.stamp(b"one", "/a", "3.12"),
    ]
    assert len(set(stamps)) == 4
    assert script.stamp(b"one", "/a", "3.11") == stamps[0]


def test_an_old_python_is_told_so_in_one_sentence(
    script: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 1))
    arguments: tuple[list[str], ...] = ([],) if script.main.__code__.co_argcount else ()
    with pytest.raises(script.Stop, match=r"^Python 3\.11 or newer is needed; this is 3\.9\.$"):
        script.main(*arguments)


def test_a_missing_venv_module_is_told_in_one_sentence(
    script: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "ensurepip", None)
    with pytest.raises(script.Stop, match=r"^Python's own module 'ensurepip' is missing; install it"):
        script.make_venv()


def test_a_failing_pip_is_told_with_its_last_error(
    script: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(script, "VENV", tmp_path)
    monkeypatch.setattr(script, "ROOT", tmp_path)
    broken = tmp_path / "python"
    broken.write_text(
        "#!/bin/sh\necho 'WARNING: retrying'\necho 'ERROR: No matching distribution'\necho ''\nexit 1\n"
    )
    broken.chmod(0o755)
    with pytest.raises(script.Stop, match=r"is there a network.*ERROR: No matching distribution"):
        script.install(str(broken), ".")
    assert "retrying" in (tmp_path / "pip.log").read_text()


def test_an_environment_of_another_python_is_not_used(script: ModuleType) -> None:
    assert script.runs_same_version(sys.executable)
    assert not script.runs_same_version("/nowhere/python")


@pytest.mark.parametrize("name", SCRIPTS)
def test_only_the_standard_library_is_imported(name: str, root: Path) -> None:
    tree = ast.parse((root / name).read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            assert all(alias.name.split(".")[0] in sys.stdlib_module_names for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert (node.module or "").split(".")[0] in sys.stdlib_module_names


@pytest.mark.parametrize("name", SCRIPTS)
def test_python_3_7_could_still_read_the_script_and_be_told(name: str, root: Path) -> None:
    ast.parse((root / name).read_text(encoding="utf-8"), feature_version=(3, 7))


def test_the_ci_script_is_sound_bash(root: Path) -> None:
    subprocess.run(["bash", "-n", str(root / ".ci" / "run")], check=True)


@pytest.mark.parametrize("script", ["tests/run.py"], indirect=True)
def test_the_long_sweeps_are_left_out_unless_asked_for(script: ModuleType) -> None:
    chosen = script.chosen
    assert chosen(["-q"]) == ["-m", "not slow and not more", "-q"]
    assert chosen(["--more", "-q"]) == ["-m", "not slow", "-q"]
    assert chosen(["--slow", "-q"]) == ["-q"]
    assert chosen(["-m", "slow"]) == ["-m", "slow"]
