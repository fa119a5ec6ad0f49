"""What the program remembers of its user between starts: a small typed file, and nothing of any build."""

import os
import tomllib
from pathlib import Path

from msgspec import Struct
from msgspec.structs import asdict, replace
from platformdirs import user_config_path, user_data_path

from app.sheet.draw.tokens import Distance

APPLICATION = "Firstcrank"


class Settings(Struct, frozen=True):
    """The person's own choices. `theme` is "system", "light" or "dark"; `distance` one of `Distance`."""

    theme: str = "system"
    distance: str = Distance.DESK.name
    paper: str = "A4"
    steps: bool = True
    letters: bool = True
    workshop: str = ""
    build: int = 0


def config_folder() -> Path:
    """Where settings and window geometry live; FIRSTCRANK_CONFIG puts them elsewhere."""
    return Path(os.environ.get("FIRSTCRANK_CONFIG") or user_config_path(APPLICATION, appauthor=False))


def data_folder() -> Path:
    """Where the sample workshop is put; FIRSTCRANK_DATA puts it elsewhere."""
    return Path(os.environ.get("FIRSTCRANK_DATA") or user_data_path(APPLICATION, appauthor=False))


def load(folder: Path) -> Settings:
    """The settings in a folder; what is missing or cannot be read is as if never chosen."""
    try:
        found = tomllib.loads((folder / "settings.toml").read_text("utf-8"))
    except (OSError, tomllib.TOMLDecodeError, UnicodeDecodeError):
        return Settings()
    usual = asdict(Settings())
    kept = {name: found[name] for name in usual if isinstance(found.get(name), type(usual[name]))}
    settings = Settings(**(usual | kept))
    return settings if settings.distance in Distance.__members__ else Settings()


def save(folder: Path, settings: Settings) -> None:
    """Write the settings, whole or not at all."""
    folder.mkdir(parents=True, exist_ok=True)
    lines = (f"{name} = {_toml(value)}\n" for name, value in asdict(settings).items())
    part = folder / "settings.toml.part"
    part.write_text("".join(lines), "utf-8")
    part.replace(folder / "settings.toml")


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int):
        return str(value)
    escaped = str(value).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


class Choices:
    """The settings in force, each choice kept at once: the power may go before the window is closed."""

    def __init__(self, settings: Settings, folder: Path) -> None:
        self.now = settings
        self._folder = folder

    def choose(self, **chosen: object) -> None:
        """Choose anew, by the names of `Settings`."""
        settings = replace(self.now, **chosen)
        if settings != self.now:
            self.now = settings
            self.keep()

    def keep(self) -> None:
        """Write them."""
        save(self._folder, self.now)
