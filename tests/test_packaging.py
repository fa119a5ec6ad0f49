"""A fresh checkout gets its own folder of parts, a broken one is mended, and the desktop files say what is true."""

import importlib.util
import os
import re
import subprocess
import sys
import tomllib
from configparser import ConfigParser
from pathlib import Path
from types import ModuleType
from xml.etree import ElementTree

import pytest

from app.sheet.draw.tokens import LIGHT

ROOT = Path(__file__).resolve().parents[1]
PACKAGING = ROOT / "packaging"


def _load(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, PACKAGING / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def environment() -> ModuleType:
    return _load("environment")


@pytest.fixture
def check(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(PACKAGING)
    return _load("check")


class Commands:
    """Keeps the commands instead of fetching parts; a new environment appears as its two files would."""

    def __init__(self, environment: ModuleType, root: Path) -> None:
        self.python: Path = environment.python_of(root / ".venv")
        self.fail_on = ""
        self.ran: list[str] = []

    def run(self, command: list[str], fault: str) -> None:
        line = " ".join(command)
        self.ran.append(line)
        if self.fail_on and self.fail_on in line:
            sys.exit(fault)
        if "-m venv" in line:
            self.python.parent.mkdir(parents=True)
            self.python.touch()


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = tmp_path / "check out"
    (root / "packaging").mkdir(parents=True)
    for name in ("packaging/requirements.txt", "packaging/requirements-dev.txt", "pyproject.toml"):
        (root / name).write_bytes((ROOT / name).read_bytes())
    return root


@pytest.fixture
def commands(environment: ModuleType, root: Path, monkeypatch: pytest.MonkeyPatch) -> Commands:
    commands = Commands(environment, root)
    monkeypatch.setattr(environment, "run_or_leave", commands.run)
    monkeypatch.setattr(environment, "missing_packages", lambda **_: [])
    return commands


def test_first_start_makes_the_environment_and_fills_it(
    environment: ModuleType, root: Path, commands: Commands
) -> None:
    assert environment.prepare("run", root) == commands.python
    made, parts, ours = commands.ran
    assert made.endswith(f"-m venv {root / '.venv'}")
    assert parts.endswith(f"--requirement {root / 'packaging' / 'requirements.txt'}")
    assert ours.endswith(f"--editable {root}")


def test_second_start_does_nothing(environment: ModuleType, root: Path, commands: Commands) -> None:
    environment.prepare("run", root)
    commands.ran.clear()
    environment.prepare("run", root)
    assert commands.ran == []


def test_start_uses_what_check_has_made(environment: ModuleType, root: Path, commands: Commands) -> None:
    environment.prepare("check", root)
    commands.ran.clear()
    environment.prepare("run", root)
    assert commands.ran == []


def test_check_adds_its_parts_to_what_start_has_made(environment: ModuleType, root: Path, commands: Commands) -> None:
    environment.prepare("run", root)
    commands.ran.clear()
    environment.prepare("check", root)
    assert not any("-m venv" in line for line in commands.ran)
    assert any("requirements-dev.txt" in line for line in commands.ran)


@pytest.mark.parametrize("changed", ["packaging/requirements.txt", "pyproject.toml"])
def test_changed_parts_are_fetched_into_the_same_environment(
    environment: ModuleType, root: Path, commands: Commands, changed: str
) -> None:
    environment.prepare("run", root)
    commands.ran.clear()
    with (root / changed).open("a", encoding="utf-8") as file:
        file.write("# newer\n")
    environment.prepare("run", root)
    assert len(commands.ran) == 2
    assert all("pip" in line for line in commands.ran)


@pytest.mark.parametrize("broken_at", ["--requirement", "--editable"])
def test_a_broken_off_environment_is_made_again(
    environment: ModuleType, root: Path, commands: Commands, broken_at: str
) -> None:
    commands.fail_on = broken_at
    with pytest.raises(SystemExit, match=r"[.]$"):
        environment.prepare("run", root)
    leftover = root / ".venv" / "half-fetched"
    leftover.touch()
    commands.fail_on = ""
    commands.ran.clear()
    environment.prepare("run", root)
    assert "-m venv" in commands.ran[0]
    assert not leftover.exists()


def test_an_environment_broken_off_while_mending_is_made_again(
    environment: ModuleType, root: Path, commands: Commands
) -> None:
    environment.prepare("run", root)
    commands.fail_on = "--requirement"
    with pytest.raises(SystemExit):
        environment.prepare("check", root)
    commands.fail_on = ""
    commands.ran.clear()
    environment.prepare("run", root)
    assert "-m venv" in commands.ran[0]


def test_a_moved_checkout_makes_its_environment_again(
    environment: ModuleType, root: Path, commands: Commands, tmp_path: Path
) -> None:
    environment.prepare("run", root)
    moved = root.rename(tmp_path / "moved")
    commands.python = environment.python_of(moved / ".venv")
    commands.ran.clear()
    environment.prepare("run", moved)
    assert "-m venv" in commands.ran[0]


def test_an_environment_whose_python_is_gone_is_made_again(
    environment: ModuleType, root: Path, commands: Commands
) -> None:
    environment.prepare("run", root)
    commands.python.unlink()
    commands.ran.clear()
    environment.prepare("run", root)
    assert "-m venv" in commands.ran[0]


def test_a_library_that_is_not_there_is_named_by_its_package(
    environment: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(environment, "LIBRARIES", {"libnosuchthing.so.9": "libnosuchthing9"})
    assert "libnosuchthing9" in environment.missing_packages(window=False)


@pytest.mark.parametrize(
    ("display", "table"),
    [
        ({"DISPLAY": ":0"}, "X11_LIBRARIES"),
        ({"DISPLAY": ":0", "WAYLAND_DISPLAY": "wayland-0"}, "WAYLAND_LIBRARIES"),
        ({}, None),
        ({"DISPLAY": ":0", "QT_QPA_PLATFORM": "offscreen"}, None),
    ],
)
def test_only_the_display_that_is_there_asks_for_its_libraries(
    environment: ModuleType, monkeypatch: pytest.MonkeyPatch, display: dict[str, str], table: str | None
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in display.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(environment, "loads", lambda _: False)
    expected = set(environment.LIBRARIES.values()) | set(getattr(environment, table).values() if table else ())
    assert set(environment.missing_packages(window=True)) == expected
    assert set(environment.missing_packages(window=False)) == set(environment.LIBRARIES.values())


@pytest.mark.skipif(os.name == "nt", reason="Debian only")
def test_without_root_the_one_command_is_named(environment: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(environment.os, "geteuid", lambda: 1000)
    monkeypatch.setattr(environment.shutil, "which", lambda name: f"/usr/bin/{name}")
    with pytest.raises(SystemExit) as stopped:
        environment.install_missing_packages(["libegl1", "libgl1"])
    assert str(stopped.value).endswith("  sudo apt-get install --yes --no-install-recommends libegl1 libgl1")


@pytest.mark.skipif(os.name == "nt", reason="Debian only")
def test_root_installs_by_itself(
    environment: ModuleType, commands: Commands, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(environment.os, "geteuid", lambda: 0)
    monkeypatch.setattr(environment.shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setenv("DEBIAN_FRONTEND", "")
    environment.install_missing_packages(["libegl1"])
    assert [line.split()[-1] for line in commands.ran] == ["update", "libegl1"]
    assert os.environ["DEBIAN_FRONTEND"] == "noninteractive"
    assert "libegl1" in capsys.readouterr().out


def test_without_apt_the_libraries_are_named_all_the_same(
    environment: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(environment.shutil, "which", lambda _: None)
    with pytest.raises(SystemExit, match="libegl1"):
        environment.install_missing_packages(["libegl1"])


def test_every_pinned_part_has_an_exact_version_and_is_a_declared_dependency(environment: ModuleType) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {
        "requirements.txt": project["dependencies"],
        "requirements-dev.txt": project["optional-dependencies"]["dev"],
    }
    for file, dependencies in declared.items():
        lines = (PACKAGING / file).read_text(encoding="utf-8").splitlines()
        pins = [line for line in lines if line and not line.startswith(("#", "-r "))]
        assert all(re.fullmatch(r"[\w-]+==[\w.]+( *;.*)?", pin) for pin in pins), pins
        assert {pin.split("==")[0] for pin in pins} == {re.split("[<>=;]", name)[0] for name in dependencies}


def test_check_runs_the_tests_last(check: ModuleType) -> None:
    steps = check.steps(Path("python"), long=False)
    assert list(steps) == ["layout of the code", "code habits", "types", "floors", "plan schema", "tests"]
    assert steps["tests"][:3] == ["python", "-m", "pytest"]
    assert check.steps(Path("python"), long=True)["tests"] == [*steps["tests"], "--long"]


@pytest.mark.parametrize(("failing", "code"), [(set(), 0), ({"types"}, 1), ({"types", "tests"}, 1), ({"tests"}, 1)])
def test_check_goes_on_after_a_failure_and_fails_in_the_end(
    check: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], failing: set[str], code: int
) -> None:
    names = ["layout of the code", "types", "tests"]
    commands = {name: [sys.executable, "-c", f"raise SystemExit({int(name in failing)})"] for name in names}
    monkeypatch.setattr(check.environment, "prepare", lambda _: Path(sys.executable))
    monkeypatch.setattr(check, "steps", lambda _, **_how: commands)
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    assert check.main([]) == code
    lines = capsys.readouterr().out.splitlines()
    assert [line for line in lines if line in {f"== {name}" for name in names}] == [f"== {name}" for name in names]
    assert ("== FAILED before the tests: types" in lines) == ("types" in failing)
    assert lines[-1] == "== tests"


def test_the_machine_check_runs_the_same_command() -> None:
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "#!/usr/bin/env bash"
    assert lines[-1] == "python3 packaging/check.py"
    assert os.access(ROOT / ".ci" / "run", os.X_OK) or os.name == "nt"


@pytest.mark.parametrize("script", ["start", "check"])
def test_an_old_python_is_refused_in_one_sentence(script: str) -> None:
    pretend = f"import sys, runpy; sys.version_info = (3, 9, 2); runpy.run_path({str(PACKAGING / f'{script}.py')!r})"
    ended = subprocess.run([sys.executable, "-c", pretend], capture_output=True, text=True, check=False)
    assert ended.returncode == 1
    assert ended.stderr == "Firstcrank needs Python 3.11 or newer; this is Python 3.9.\n"


def test_the_desktop_entry_starts_the_installed_command() -> None:
    entry = ConfigParser(interpolation=None)
    entry.optionxform = str  # type: ignore[assignment,method-assign]
    entry.read(PACKAGING / "firstcrank.desktop", encoding="utf-8")
    said = entry["Desktop Entry"]
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert said["Exec"] in project["scripts"]
    assert (ROOT / "resources" / "icons" / f"{said['Icon']}.svg").is_file()
    assert said["Type"] == "Application"
    assert said["Categories"].endswith(";")


def test_the_catalogue_entry_names_the_same_program() -> None:
    component = ElementTree.parse(PACKAGING / "firstcrank.metainfo.xml").getroot()
    assert component.findtext("id") == "org.firstcrank.Firstcrank"
    assert component.findtext("launchable") == "firstcrank.desktop"
    assert (PACKAGING / "firstcrank.desktop").is_file()
    assert component.findtext("provides/binary") == "firstcrank"


def test_the_icon_is_square_cornered_and_uses_the_sheet_s_own_colours() -> None:
    icon = (ROOT / "resources" / "icons" / "firstcrank.svg").read_text(encoding="utf-8")
    assert ElementTree.fromstring(icon).get("viewBox") == "0 0 24 24"
    assert set(re.findall("#[0-9A-Fa-f]+", icon)) <= {LIGHT.paper, LIGHT.text, LIGHT.ink}
    assert not re.search(r"\brx=|\bry=|round|gradient|opacity", icon, re.IGNORECASE)
