"""The shipped fonts: figures of one width, every character we show, and usable by the screen and the paper."""

import ast
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from PySide6.QtGui import QFont, QFontDatabase, QFontMetricsF
from PySide6.QtWidgets import QApplication
from reportlab.pdfbase import ttfonts

from app.sheet.draw.tokens import FONT_FAMILY, FONT_WEIGHTS, font_file

ROOT = Path(__file__).resolve().parents[1]
FONTS = ROOT / "resources" / "fonts"

ASCII = "".join(chr(code) for code in range(0x20, 0x7F))
LETTERS = "ÄÖÜäöüßẞÀÂÆÇÈÉÊËÎÏÔŒÙÛŸàâæçèéêëîïôœùûÿÅåØøÑñÁÍÓÚáíóúŁłŚśŻżŹźĄąĘęĆćŃńČčŠšŽžŘřĚěŮůŐőŰű"
SIGNS = "°±×÷·µμ½¼¾²³≤≥≠≈√−–—…“”„‘’‚«»§€£πΔ\u00a0"

# These list every spelling people may type, among them characters the program reads but never writes.
TRADE = ROOT / "app" / "trade"
READERS = {*(TRADE / "notation").glob("*.py"), TRADE / "quantity.py"}

# The same for the rest of the program.
READ_ONLY = set("′″‴\u2009\u202f\u2011\u200b\ufeff\n\t\r")


@pytest.mark.parametrize("weight", FONT_WEIGHTS)
def test_the_ten_figures_have_one_advance(weight: int) -> None:
    font = TTFont(FONTS / font_file(weight))
    characters = font.getBestCmap()
    assert len({font["hmtx"][characters[ord(digit)]][0] for digit in "0123456789"}) == 1


def test_the_figures_have_the_same_shapes_apart() -> None:
    font = TTFont(FONTS / font_file(400))
    characters = font.getBestCmap()
    outlines = {font["glyf"][characters[ord(digit)]].compile(font["glyf"]) for digit in "0123456789"}
    assert len(outlines) == 10


@pytest.mark.parametrize("weight", FONT_WEIGHTS)
def test_every_character_we_show_is_in_the_map(weight: int) -> None:
    characters = TTFont(FONTS / font_file(weight)).getBestCmap()
    missing = [letter for letter in ASCII + LETTERS + SIGNS if ord(letter) not in characters]
    assert missing == []


def _texts() -> list[tuple[Path, str]]:
    """Return every text the program can show: its own words, and the plans that come with it."""
    texts = []
    for path in sorted(set((ROOT / "app").rglob("*.py")) - READERS):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        words = (node.value for node in ast.walk(tree) if isinstance(node, ast.Constant))
        texts.append((path, "".join(word for word in words if isinstance(word, str))))
    texts.extend(
        (path, path.read_text(encoding="utf-8"))
        for path in sorted((ROOT / "demo_data").rglob("*"))
        if path.suffix in {".json", ".toml", ".txt", ".csv"}
    )
    return texts


def test_every_character_in_the_program_and_its_plans_is_in_the_map() -> None:
    known = {chr(code) for code in TTFont(FONTS / font_file(400)).getBestCmap()} | READ_ONLY
    missing = {
        f"{path.relative_to(ROOT)}: {letter} U+{ord(letter):04X}"
        for path, text in _texts()
        for letter in set(text)
        if letter not in known
    }
    assert sorted(missing) == []


@pytest.mark.parametrize("weight", FONT_WEIGHTS)
def test_the_font_says_that_it_is_a_changed_copy_and_keeps_its_licence(weight: int) -> None:
    font = TTFont(FONTS / font_file(weight))
    names = font["name"]
    assert names.getBestFamilyName() == FONT_FAMILY
    assert "Atkinson" not in "".join(names.getDebugName(number) or "" for number in (1, 3, 4, 6, 16))
    assert "Made from Atkinson Hyperlegible Next" in names.getDebugName(10)
    assert "SIL Open Font License" in names.getDebugName(13)
    assert names.getDebugName(0).startswith("Copyright")
    assert font["OS/2"].usWeightClass == weight


def test_the_licence_goes_with_the_fonts() -> None:
    licence = (FONTS / "LICENSE-OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert "with Reserved Font Name" not in licence.splitlines()[0]


@pytest.mark.parametrize("weight", FONT_WEIGHTS)
def test_paper_sets_figures_in_one_width(weight: int) -> None:
    font = ttfonts.TTFont(f"test-{weight}", str(FONTS / font_file(weight)))
    assert len({font.stringWidth(digit, 11.5) for digit in "0123456789"}) == 1
    assert font.stringWidth("µ≤½", 11.5) > 0


def test_screen_and_paper_set_the_same_width(qapp: QApplication) -> None:
    text = "Tighten head nuts, pass 2 of 3"
    for weight in FONT_WEIGHTS:
        file = str(FONTS / font_file(weight))
        assert QFontDatabase.addApplicationFont(file) >= 0
        font = QFont(FONT_FAMILY)
        font.setWeight(QFont.Weight(weight))
        font.setPixelSize(1000)
        font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
        font.setKerning(False)
        metrics = QFontMetricsF(font)
        assert len({metrics.horizontalAdvance(digit) for digit in "0123456789"}) == 1
        paper = ttfonts.TTFont(f"same-{weight}", file).stringWidth(text, 1000)
        assert metrics.horizontalAdvance(text) == pytest.approx(paper, rel=0.002)
