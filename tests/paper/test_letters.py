"""Letters on paper: what is printed for what was typed, how wide it is, and where it breaks."""

from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from app.paper.pdf.letters import FONTS, Span, broken, fitting_size, sentence, shortened, width_pt, words
from app.sheet.draw.tokens import FONT_WEIGHTS, font_file


def test_widths_are_those_another_library_measures() -> None:
    text = "Torque 0123456789 N·m, Größe ½"
    for weight in FONT_WEIGHTS:
        font = ImageFont.truetype(str(FONTS / font_file(weight)), 1000, layout_engine=ImageFont.Layout.BASIC)
        one_by_one = sum(font.getlength(letter) for letter in text)
        assert abs(width_pt(text, weight, 1000) - one_by_one) <= len(text)


def test_a_letter_the_fonts_lack_shows_as_a_question_mark() -> None:
    assert words("12 名 mm") == "12 ? mm"
    assert words("a\tb\nc\u200bd\ue000") == "a b cd?"
    assert words("e\u0301") == "é"


def test_a_text_is_cut_only_where_it_does_not_fit() -> None:
    assert shortened("Head", 400, 10, 100) == "Head"
    cut = shortened("W" * 1000, 400, 10, 100)
    assert cut.endswith("…")
    assert width_pt(cut, 400, 10) <= 100


def test_a_size_never_goes_under_nine_points() -> None:
    assert fitting_size("10.02", 700, 16, 500) == 16
    assert fitting_size("W" * 1000, 700, 16, 100) == 9


def test_a_sentence_gets_one_full_stop() -> None:
    assert [sentence(text) for text in ("Dry", "Dry.", "Dry? ", "")] == ["Dry.", "Dry.", "Dry?", ""]


@given(
    st.lists(st.tuples(st.text(max_size=200), st.sampled_from(FONT_WEIGHTS)), max_size=4),
    st.floats(60, 400),
    st.floats(0, 40),
)
def test_no_line_is_wider_than_its_room_and_no_letter_is_lost(
    texts: list[tuple[str, int]], room: float, indent: float
) -> None:
    spans = [Span(text, weight) for text, weight in texts]
    lines = broken(spans, 9.5, room, indent_pt=indent)
    for line in lines:
        for piece in line:
            assert piece.x + width_pt(piece.text, piece.weight, 9.5) <= room + 1e-6
    printed = "".join(piece.text for line in lines for piece in line).replace(" ", "")
    assert printed == "".join(words(text) for text, _ in texts).replace(" ", "")
