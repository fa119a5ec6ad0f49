"""The colours can be read on every ground, and live in one file."""

import re
from pathlib import Path
from typing import get_args

import pytest
from msgspec.structs import astuple

from app.sheet.draw import tokens
from app.sheet.draw.tokens import DARK, LIGHT, PRINT, Distance, Token, Tokens

APP = Path(__file__).resolve().parents[2] / "app"

GROUNDS: tuple[Token, ...] = ("paper", "bench", "here")
TEXT: tuple[Token, ...] = ("text", "ink", "stop", "mind", "quiet")
PALETTES = {"light": LIGHT, "dark": DARK, "print": PRINT}

COLOUR = re.compile(
    r"#[0-9A-Fa-f]{8}\b|#[0-9A-Fa-f]{6}\b|[\"'(: ]#[0-9A-Fa-f]{3}[\"';)]|\b0x[0-9A-Fa-f]{6}\b"
    r"|QColor\(\s*[\"'\d]|fromRgb|GlobalColor|HexColor\(|\brgba?\(|\bhsla?\("
)


def _luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour, 0 to 1; source: WCAG 2.2, definition of relative luminance."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21; source: WCAG 2.2, definition of contrast ratio."""
    dark, light = sorted((_luminance(one), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_formula_gives_the_published_ends() -> None:
    # WCAG 2.2: black on white is 21:1. From memory: #767676 is the lightest grey that passes 4.5:1 on white.
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#FFFFFF") < 4.5


@pytest.mark.parametrize("name", PALETTES)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("token", TEXT)
def test_text_and_marks_read_at_seven_to_one_on_every_ground(name: str, ground: Token, token: Token) -> None:
    palette = PALETTES[name]
    assert contrast(palette.colour(token), palette.colour(ground)) >= 7.0


@pytest.mark.parametrize("name", PALETTES)
def test_the_gate_bar_reads_at_seven_to_one_and_stands_off_every_ground(name: str) -> None:
    palette = PALETTES[name]
    assert contrast(palette.on_gate, palette.gate) >= 7.0
    assert all(contrast(palette.gate, palette.colour(ground)) >= 7.0 for ground in GROUNDS)


@pytest.mark.parametrize("name", PALETTES)
@pytest.mark.parametrize("ground", GROUNDS)
def test_a_rule_that_separates_shows_at_three_to_one(name: str, ground: Token) -> None:
    palette = PALETTES[name]
    assert contrast(palette.rule, palette.colour(ground)) >= 3.0


@pytest.mark.parametrize(
    ("palette", "token", "expected"),
    [
        (LIGHT, "ink", (8.4, 7.6, 7.5)),
        (LIGHT, "stop", (9.4, 8.5, 8.4)),
        (DARK, "ink", (9.3, 10.1, 8.0)),
        (DARK, "mind", (10.8, 11.7, 9.4)),
    ],
)
def test_contrasts_are_those_the_palette_was_chosen_for(
    palette: Tokens, token: Token, expected: tuple[float, float, float]
) -> None:
    found = tuple(contrast(palette.colour(token), palette.colour(ground)) for ground in GROUNDS)
    assert found == pytest.approx(expected, abs=0.06)


def test_print_is_black_on_white_only() -> None:
    assert set(astuple(PRINT)) == {"#000000", "#FFFFFF"}


@pytest.mark.parametrize("name", PALETTES)
def test_every_token_is_a_colour(name: str) -> None:
    names = set(Tokens.__struct_fields__)
    assert names == set(get_args(Token))
    assert all(re.fullmatch("#[0-9A-F]{6}", colour) for colour in astuple(PALETTES[name]))


def test_no_colour_is_written_anywhere_else_in_the_program() -> None:
    found = [
        f"{path.relative_to(APP)}:{number}: {line.strip()}"
        for path in sorted(APP.rglob("*"))
        if path.suffix in {".py", ".qss", ".css", ".toml"} and path != APP / "sheet" / "draw" / "tokens.py"
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if COLOUR.search(line)
    ]
    assert found == []


@pytest.mark.parametrize(
    "line", ['"#0B4F8A"', "color: #fff;", "QColor(11, 79, 138)", 'QColor("red")', "0x0B4F8A", "rgba(1,2,3,4)"]
)
def test_the_search_for_colours_finds_them(line: str) -> None:
    assert COLOUR.search(line)


@pytest.mark.parametrize("line", ["# 4.07 is a line", "QColor(tokens.ink)", "number #1", "0x1F"])
def test_the_search_for_colours_leaves_other_text_alone(line: str) -> None:
    assert not COLOUR.search(line)


def test_paper_columns_add_up_to_the_live_width() -> None:
    columns = (
        tokens.PAPER_ARROW_COLUMN_MM,
        tokens.PAPER_NUMBER_COLUMN_MM,
        tokens.PAPER_BOX_COLUMN_MM,
        tokens.PAPER_LINE_COLUMN_MM,
        tokens.PAPER_SPEC_COLUMN_MM,
        tokens.PAPER_WRITTEN_COLUMN_MM,
    )
    assert sum(columns) == pytest.approx(tokens.PAPER_WIDTH_MM)


def test_distances_keep_the_capital_as_large_to_the_eye() -> None:
    # Equal minutes of arc: size grows with distance, Desk being 0.6 m.
    for distance, metres in ((Distance.ONE_METRE, 1.0), (Distance.BENCH, 1.5), (Distance.TWO_METRES, 2.0)):
        assert distance.times == pytest.approx(metres / 0.6, rel=0.005)
    assert Distance.DESK.times == 1.0
    assert [distance.label for distance in Distance] == ["Desk", "1 m", "1.5 m", "2 m"]


def test_every_weight_in_use_is_shipped() -> None:
    roles = [role for role in vars(tokens).values() if isinstance(role, tokens.TypeRole)]
    assert roles
    used = {role.screen_weight for role in roles} | {role.paper_weight for role in roles}
    assert used <= set(tokens.FONT_WEIGHTS)
