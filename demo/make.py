"""Makes the demonstration booklets: `python3 demo/make.py`, from any folder.

Needs Python 3.11 or newer and nothing else: it makes `.venv` at the top of the checkout, installs the package there
once, and prints where the finished PDFs are.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path, PurePath

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
OUT = ROOT / "demo" / "out"
BODY = "demo/bodies/marit.yaml"
SHOP = "demo/shop.yaml"
# style, paper, units
BOOKLETS = (("top", "a4", "cm"), ("skirt", "a4", "cm"), ("top", "letter", "in"))


class Stop(Exception):
    """The run cannot go on; its text is the one sentence that says why."""


def venv_python(folder: PurePath, windows: bool) -> PurePath:
    """Where a virtual environment keeps its interpreter."""
    return folder / "Scripts" / "python.exe" if windows else folder / "bin" / "python"


def stamp(pyproject: bytes, root: str, version: str) -> str:
    """What an installation depends on; an equal stamp means that pip has nothing to do."""
    return hashlib.sha256(b"\0".join((pyproject, root.encode(), version.encode()))).hexdigest()


def prepare() -> str:
    """The interpreter of `.venv` with the package installed; pip runs only if pyproject.toml has changed."""
    python = str(venv_python(VENV, os.name == "nt"))
    wanted = stamp((ROOT / "pyproject.toml").read_bytes(), str(ROOT), sys.version)
    # The test run installs the same and more, and leaves its own stamp.
    stamps = (VENV / "installed", VENV / "installed-for-tests")
    if Path(python).exists() and any(s.exists() and s.read_text() == wanted for s in stamps):
        return python
    print("Preparing .venv (once; it takes a minute or two) ...", flush=True)
    if not runs_same_version(python):
        make_venv()
    install(python, ".")
    stamps[0].write_text(wanted)
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


def make_booklet(
    python: str, style: str, paper: str, units: str
) -> tuple[Path, subprocess.CompletedProcess[str]]:
    target = OUT / f"{style}-{paper}.pdf"
    command = [python, "-m", "booklet", "make", f"styles/{style}"]
    command += ["--body", BODY, "--shop", SHOP, "--paper", paper, "--units", units, "-o", str(target)]
    environment = dict(os.environ, PYTHONUTF8="1")
    done = subprocess.run(
        command,
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
    )
    return target, done


def main() -> None:
    if sys.version_info < (3, 11):  # noqa: UP036  it is run by whatever Python is there
        raise Stop("Python 3.11 or newer is needed; this is {}.{}.".format(*sys.version_info[:2]))
    begun = time.monotonic()
    python = prepare()
    OUT.mkdir(parents=True, exist_ok=True)
    with ThreadPoolExecutor(max_workers=min(len(BOOKLETS), os.cpu_count() or 1)) as pool:
        results = list(pool.map(lambda booklet: make_booklet(python, *booklet), BOOKLETS))
    failed = 0
    for target, done in results:
        print(done.stdout, end="")
        failed += bool(done.returncode)
        if done.returncode:
            print(f"No booklet was made for {target.name}.")
    if failed:
        raise Stop(f"{failed} of {len(results)} booklets could not be made.")
    print(f"\nFinished in {time.monotonic() - begun:.0f} s:")
    for target, _ in results:
        print(f"  {target}")


if __name__ == "__main__":
    try:
        main()
    except Stop as reason:
        sys.exit(str(reason))
    except OSError as error:
        sys.exit(f"This cannot be done here: {error}")
    except KeyboardInterrupt:
        sys.exit("Stopped.")
