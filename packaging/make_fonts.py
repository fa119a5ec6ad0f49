"""Make resources/fonts from the published typeface: the same letters, figures of one width, its own family name.

Needs npm on the path (or the package's .tgz as the one argument) and fontTools. The same input gives the same bytes.
"""

import hashlib
import shutil
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

from fontTools.ttLib import TTFont

ROOT = Path(__file__).resolve().parents[1]
FONTS = ROOT / "resources" / "fonts"

PACKAGE = "@expo-google-fonts/atkinson-hyperlegible-next@0.4.1"
ARCHIVE = "expo-google-fonts-atkinson-hyperlegible-next-0.4.1.tgz"
ARCHIVE_SHA256 = "9c98b93e3f7dd7d7819f9c439aac9fb5b5466781fa1eb002caeb52eb7cb15ce8"

FAMILY = "Firstcrank Sheet"
STYLES = {400: "Regular", 500: "Medium", 600: "SemiBold", 700: "Bold", 800: "ExtraBold"}

# Copyright, licence and licence address stay as they are: the licence asks for them.
KEPT_NAMES = {0, 13, 14}
MICRO_SIGN, GREEK_MU = 0x00B5, 0x03BC


def make_fonts(archive: Path, folder: Path) -> list[Path]:
    """Write one .ttf for each weight, and the licence, into the folder; return what was written."""
    digest = hashlib.sha256(archive.read_bytes()).hexdigest()
    if digest != ARCHIVE_SHA256:
        raise SystemExit(f"{archive} is not the published {PACKAGE}: its SHA-256 is {digest}.")
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    with tempfile.TemporaryDirectory() as room:
        with tarfile.open(archive) as packed:
            packed.extractall(room, filter="data")
        package = Path(room) / "package"
        for weight, style in STYLES.items():
            source = package / f"{weight}{style}" / f"AtkinsonHyperlegibleNext_{weight}{style}.ttf"
            made.append(_make_font(source, folder / f"FirstcrankSheet-{weight}.ttf", style))
        made.append(Path(shutil.copyfile(package / "LICENSE_FONT", folder / "LICENSE-OFL.txt")))
    return made


def _make_font(source: Path, target: Path, style: str) -> Path:
    # Keeping the source's own time stamp keeps the bytes the same from one run to the next.
    font = TTFont(source, recalcTimestamp=False)
    _set_figures_to_one_width(font)
    _rename(font, style)
    # Describes the place of a weight inside the original family, by names this copy no longer has.
    del font["STAT"]
    font.save(target, reorderTables=False)
    return target


def _set_figures_to_one_width(font: TTFont) -> None:
    """Point 0-9 at the font's own tabular figures, and the micro sign at its Greek mu.

    Neither Qt by default nor reportlab at all applies font features, so the character map must say it.
    """
    tabular, original = _tabular_figures(font), dict(font.getBestCmap())
    moved = {ord(digit): tabular[original[ord(digit)]] for digit in "0123456789"}
    moved[MICRO_SIGN] = original[GREEK_MU]
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap.update(moved)


def _tabular_figures(font: TTFont) -> dict[str, str]:
    features = font["GSUB"].table
    lookups = {
        lookup
        for record in features.FeatureList.FeatureRecord
        if record.FeatureTag == "tnum"
        for lookup in record.Feature.LookupListIndex
    }
    figures: dict[str, str] = {}
    for lookup in sorted(lookups):
        for table in features.LookupList.Lookup[lookup].SubTable:
            figures.update(table.mapping)
    return figures


def _rename(font: TTFont, style: str) -> None:
    """Give the copy its own name; as systems that know only four styles want it, and as newer ones do."""
    names = font["name"]
    version = names.getDebugName(5)
    source = names.getDebugName(16) or names.getDebugName(1)
    names.names = [name for name in names.names if name.nameID in KEPT_NAMES]
    plain = style in ("Regular", "Bold")
    postscript = f"{FAMILY.replace(' ', '')}-{style}"
    said = {
        1: FAMILY if plain else f"{FAMILY} {style}",
        2: style if plain else "Regular",
        3: f"{version.removeprefix('Version ')};{postscript}",
        4: f"{FAMILY} {style}",
        5: version,
        6: postscript,
        10: f"Made from {source}, with figures of one width in place of its proportional ones.",
    }
    if not plain:
        said |= {16: FAMILY, 17: style}
    for number, text in said.items():
        names.setName(text, number, 3, 1, 0x409)


def _fetch(room: Path) -> Path:
    npm = shutil.which("npm")
    if npm is None:
        raise SystemExit(f"npm was not found. Install it, or name the downloaded {ARCHIVE} as the one argument.")
    subprocess.run([npm, "pack", PACKAGE, "--silent"], cwd=room, check=True, stdout=subprocess.DEVNULL)
    return room / ARCHIVE


def main() -> None:
    """Make the fonts from the archive named on the command line, or fetch it first."""
    if len(sys.argv) > 1:
        made = make_fonts(Path(sys.argv[1]), FONTS)
    else:
        with tempfile.TemporaryDirectory() as room:
            made = make_fonts(_fetch(Path(room)), FONTS)
    for path in made:
        print(f"{path.relative_to(ROOT)}  {path.stat().st_size} bytes")


if __name__ == "__main__":
    main()
