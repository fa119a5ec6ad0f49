"""Makes .venv in the checkout and keeps it right: what start.py and check.py share. Standard library only."""

import ctypes
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]

# What Qt loads from the system, and the Debian package that holds it; found with ldd on a bare Debian 12.
LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libX11.so.6": "libx11-6",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libxkbcommon.so.0": "libxkbcommon0",
}
X11_LIBRARIES = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb.so.1": "libxcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
WAYLAND_LIBRARIES = {
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
    "libwayland-egl.so.1": "libwayland-egl1",
}

RUN, CHECK = "run", "check"
REQUIREMENTS = {RUN: ("requirements.txt",), CHECK: ("requirements.txt", "requirements-dev.txt")}


def say(sentence: str) -> None:
    """Print one sentence at once, so that it stands before what the next program prints."""
    print(sentence, flush=True)


def prepare(purpose: str, root: Path = ROOT) -> Path:
    """Return the Python of a .venv that holds all that RUN or CHECK needs, making or mending it first.

    Ends the program with a sentence when something is missing that only the user can provide.
    """
    if sys.platform.startswith("linux"):
        install_missing_packages(missing_packages(window=purpose == RUN))
    venv = root / ".venv"
    python = python_of(venv)
    if python.exists() and _read(_stamp(venv, purpose)) == wanted_stamp(purpose, root):
        return python
    _make(venv, root)
    _fill(venv, purpose, root)
    return python


def python_of(venv: Path) -> Path:
    """Return the path of the interpreter in a virtual environment on this system."""
    return tool_of(venv, "python")


def tool_of(venv: Path, name: str) -> Path:
    """Return the path of a command in a virtual environment on this system."""
    return venv / "Scripts" / f"{name}.exe" if os.name == "nt" else venv / "bin" / name


def wanted_stamp(purpose: str, root: Path) -> str:
    """Return the text that stands in the stamp of a .venv which is right for this Python, place and list of parts."""
    files = [root / "packaging" / name for name in REQUIREMENTS[purpose]] + [root / "pyproject.toml"]
    digest = hashlib.sha256(b"\0".join(path.read_bytes() for path in files)).hexdigest()
    return f"{_made_for(root)}\n{digest}\n"


def _made_for(root: Path) -> str:
    # A virtual environment works only in the place and with the Python it was made with.
    return f"Python {sys.version_info.major}.{sys.version_info.minor} in {root}"


def _stamp(venv: Path, purpose: str) -> Path:
    return venv / f"firstcrank-{purpose}.stamp"


def _read(stamp: Path) -> str:
    return stamp.read_text(encoding="utf-8") if stamp.is_file() else ""


def _make(venv: Path, root: Path) -> None:
    """Make an empty .venv, unless there is a finished one of this Python and place that only lacks some parts."""
    stamps = [_read(_stamp(venv, purpose)) for purpose in REQUIREMENTS]
    if python_of(venv).exists() and any(stamp.startswith(f"{_made_for(root)}\n") for stamp in stamps):
        return
    if Path(sys.prefix).resolve() == venv.resolve():
        sys.exit(f"The Python in {venv} cannot remake its own folder. Run this with the Python it was made from.")
    if venv.exists():
        say(f"{venv} is unfinished, or was made by another Python or in another place: it is made again.")
        shutil.rmtree(venv)
    else:
        say(f"Making {venv}, a folder for the parts Firstcrank needs. Nothing is installed outside it.")
    run_or_leave([sys.executable, "-m", "venv", str(venv)], f"{venv} could not be made.")


def _fill(venv: Path, purpose: str, root: Path) -> None:
    say("Fetching the parts Firstcrank needs. The first time this takes a minute or more.")
    # Without its stamps, a .venv whose filling is broken off counts as unfinished.
    for each in REQUIREMENTS:
        _stamp(venv, each).unlink(missing_ok=True)
    parts = root / "packaging" / REQUIREMENTS[purpose][-1]
    pip = [str(python_of(venv)), "-m", "pip", "--quiet", "--quiet", "--disable-pip-version-check", "install"]
    fault = "The parts could not be fetched. Check the network connection and run the same command again."
    run_or_leave([*pip, "--requirement", str(parts)], fault)
    run_or_leave(
        [*pip, "--no-deps", "--editable", str(root)], "Firstcrank could not be put into its own folder of parts."
    )
    for each in REQUIREMENTS:
        if set(REQUIREMENTS[each]) <= set(REQUIREMENTS[purpose]):
            half = _stamp(venv, each).with_suffix(".half")
            half.write_text(wanted_stamp(each, root), encoding="utf-8")
            half.replace(_stamp(venv, each))
    say("Ready.")


def run_or_leave(command: list[str], fault: str) -> None:
    """Run a command; where it fails end the program with `fault`, for what went wrong stands on the error output."""
    if subprocess.run(command, check=False, stdout=subprocess.DEVNULL).returncode:
        sys.exit(fault)


def missing_packages(*, window: bool) -> list[str]:
    """Return the Debian packages whose library or module this Linux lacks, sorted.

    With `window` also those a window needs on the display that is there; without a display nothing more is asked for.
    """
    wanted = LIBRARIES | (_window_libraries() if window else {})
    missing = {package for library, package in wanted.items() if not loads(library)}
    if any(importlib.util.find_spec(module) is None for module in ("venv", "ensurepip")):
        missing.add(f"python{sys.version_info.major}.{sys.version_info.minor}-venv")
    return sorted(missing)


def _window_libraries() -> dict[str, str]:
    if os.environ.get("QT_QPA_PLATFORM"):
        return {}
    if os.environ.get("WAYLAND_DISPLAY"):
        return WAYLAND_LIBRARIES
    return X11_LIBRARIES if os.environ.get("DISPLAY") else {}


def loads(library: str) -> bool:
    """Return whether this system has a library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def install_missing_packages(packages: list[str]) -> None:
    """Install the packages when run as root on a Debian; otherwise name the command that does, and end the program."""
    if not packages:
        return
    if shutil.which("apt-get") is None:
        sys.exit(
            f"This system lacks what these Debian packages hold: {' '.join(packages)}. "
            "Install their like with your system's package manager, then run the same command again."
        )
    install = ["apt-get", "install", "--yes", "--no-install-recommends", *packages]
    if os.geteuid() != 0:
        command = f"sudo {' '.join(install)}"
        sys.exit(f"This system lacks some packages. Install them, then run the same command again:\n  {command}")
    say(f"This system lacks some packages. Installing them: {' '.join(install)}")
    os.environ["DEBIAN_FRONTEND"] = "noninteractive"
    fault = "The packages could not be installed; the lines above say why."
    run_or_leave(["apt-get", "--quiet", "--quiet", "update"], fault)
    run_or_leave([install[0], "--quiet", "--quiet", *install[1:]], fault)
