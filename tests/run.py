"""Runs every check of the project: `python3 tests/run.py [--more|--slow] [arguments for pytest]`, from any folder.

Further cases of quick tests are left out unless `--more` asks for them, sweeps over ten seconds unless `--slow` does.

Needs Python 3.11 or newer and nothing else: it makes `.venv` at the top of the checkout and installs the package and
the test tools there once. Formatting, lint and types come first, the tests last; all run, whatever the first ones say.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path, PurePath

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
STAMP = VENV / "installed-for-tests"
CHECKS = (
    ("formatting", ("ruff", "format", "--check", "--quiet", ".")),
    ("lint", ("ruff", "check", "--quiet", ".")),
    ("types", ("mypy", "--no-error-summary")),
)


class Stop(Exception):
    """The run cannot go on; its text is the one sentence that says why."""


def venv_python(folder: PurePath, windows: bool) -> PurePath:
    """Where a virtual environment keeps its interpreter."""
    return folder / "Scripts" / "python.exe" if windows else folder / "bin" / "python"


def stamp(pyproject: bytes, root: str, version: str) -> str:
    """What an installation depends on; an equal stamp means that pip has nothing to do."""
    return hashlib.sha256(b"\0".join((pyproject, root.encode(), version.encode()))).hexdigest()


def prepare() -> str:
    """The interpreter of `.venv` with package and test tools; pip runs only if pyproject.toml has changed."""
    python = str(venv_python(VENV, os.name == "nt"))
    wanted = stamp((ROOT / "pyproject.toml").read_bytes(), str(ROOT), sys.version)
    if Path(python).exists() and STAMP.exists() and STAMP.read_text() == wanted:
        return python
    print("Preparing .venv (once; it takes a minute or two) ...", flush=True)
    if not runs_same_version(python):
        make_venv()
    install(python, ".[dev]")
    STAMP.write_text(wanted)
    return python


def runs_same_version(python: str) -> bool:
    """Whether there is an environment already whose interpreter is of this very version."""
    try:
        asked = subprocess.run(
            [python, "-c", "import sys; print(sys.version)"], capture_output=True, text=True
        )
    except OSError:
        return False
    return asked.stdout.strip() == sys.version.strip()


def make_venv() -> None:
    try:
        import ensurepip  # noqa: F401  Debian ships Python without it; then venv fails half-way
        import venv  # noqa: F401
    except ImportError as error:
        raise Stop(
            f"Python's own module '{error.name}' is missing; install it (on Debian: python3-venv) and run this again."
        ) from None
    made = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", str(VENV)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    if made.returncode:
        raise Stop(f"A virtual environment cannot be made in {VENV}: {last_line(made.stdout)}")


def install(python: str, what: str) -> None:
    pip = [python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-input", "-e", what]
    done = subprocess.run(pip, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    if done.returncode:
        (VENV / "pip.log").write_text(done.stdout, encoding="utf-8")
        raise Stop(
            f"pip could not install the package; is there a network? It said: {last_line(done.stdout)} "
            "(all of it is in .venv/pip.log)."
        )


def last_line(text: str) -> str:
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    errors = [line for line in lines if line.startswith("ERROR:")]
    return (errors or lines or ["nothing"])[-1]


def chosen(arguments: list[str]) -> list[str]:
    """What pytest is told: all but slow sweeps and further cases, unless they or a choice of marks are asked for."""
    rest = [a for a in arguments if a not in ("--slow", "--more")]
    if "--slow" in arguments or "-m" in rest:
        return rest
    return ["-m", "not slow" if "--more" in arguments else "not slow and not more", *rest]


def main(arguments: list[str]) -> int:
    if sys.version_info < (3, 11):  # noqa: UP036  it is run by whatever Python is there
        raise Stop("Python 3.11 or newer is needed; this is {}.{}.".format(*sys.version_info[:2]))
    python = prepare()
    faults = []
    for name, command in CHECKS:
        done = subprocess.run([python, "-m", *command], cwd=ROOT)
        print(f"{name}: {'faults, see above' if done.returncode else 'clean'}", flush=True)
        if done.returncode:
            faults.append(name)
    # pytest's closing line stays the last one, so what else went wrong is said before it.
    if faults:
        print(f"The run fails for {' and '.join(faults)}, whatever the tests say.", flush=True)
    # A file's tests stay together: what they share is made once.
    workers = ["-n", "2", "--dist", "loadfile"]
    tests = subprocess.run([python, "-m", "pytest", *workers, *chosen(arguments)], cwd=ROOT)
    return tests.returncode or int(bool(faults))


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except Stop as reason:
        sys.exit(str(reason))
    except OSError as error:
        sys.exit(f"This cannot be done here: {error}")
    except KeyboardInterrupt:
        sys.exit("Stopped.")
