"""Readers of what is typed into a sum's fields where it is more than one value; each fault is one sentence."""

import re

from app.trade.notation import read_quantity, write_magnitude
from app.trade.quantity import Kind

MOST_FIGURES = 48
LONGEST_NAME = 24


def in_range(value: float, unit: str, least: float, most: float, *, over: bool) -> None:
    """Raise ValueError unless a value (base unit) lies between two others; `over` leaves the lower one out."""
    if not least <= value <= most or (over and value == least):
        low, high = write_magnitude(least, unit), write_magnitude(most, unit)
        said = write_magnitude(value, unit)
        raise ValueError(f"{said} cannot be; give {'more than' if over else 'from'} {low}, {'' if over else 'to '}"
                         f"{'and at most ' if over else ''}{high}.")  # fmt: skip


def whole(text: str, least: int, most: int) -> int:
    """A whole number from `least` to `most`, or ValueError with a sentence."""
    if not (text.isascii() and text.isdigit() and len(text) < 9):
        raise ValueError(f"“{short(text)}” is not a whole number such as {least}.")
    found = int(text)
    if not least <= found <= most:
        raise ValueError(f"{found} cannot be; give {least} to {most}.")
    return found


def split(text: str) -> list[str]:
    """The entries of a field, with “;” or a comma and a space between them; a comma alone stays in its number."""
    return [one.strip() for one in text.replace(", ", ";").replace("\n", ";").split(";") if one.strip()]


def read_lines(text: str) -> list[str]:
    """Entries of a field of rows: one to a line, or with “;” between them."""
    return [one.strip() for one in text.replace("\n", ";").split(";") if one.strip()]


def numbers(text: str) -> tuple[int, ...]:
    """Whole numbers with commas, dashes or spaces between them, as a firing order is written."""
    words = text.replace(",", " ").replace("-", " ").replace(";", " ").split()
    if not words:
        raise ValueError("write whole numbers such as 1-3-4-2.")
    return tuple(whole(word, 1, 999) for word in words)


def reals(text: str, decimal: str, count: int | None = None) -> tuple[float, ...]:
    """Numbers in one field, as events or readings are written: “20-60-60-20”, “60, 145.5”; so many where it is said."""
    flat = text.replace("°", " ").strip()
    dashed = re.fullmatch(r"\d+([.,]\d+)?(\s*-\s*\d+([.,]\d+)?)+", flat)
    texts = flat.split("-") if dashed else flat.replace(";", " ").replace(", ", " ").split()
    found = tuple(read_quantity(one, Kind.NUMBER, unit="1", decimal=decimal).magnitude for one in texts)
    if not found or (count is not None and len(found) != count):
        wanted = f"{count} numbers" if count else "numbers"
        raise ValueError(f"“{short(text)}” is not {wanted} with spaces between them.")
    for one in found:
        in_range(one, "1", -720.0, 720.0, over=False)
    return found


def figures(
    text: str, kind: Kind, unit: str | None, decimal: str, *, least: float = 0.0, most: float = 1e6, over: bool = True
) -> dict[str, float]:
    """Figures by name, as “1 150; 2 145 psi” or “A: 85.96; B: 85.97”, in the base unit; those without one are counted.

    A unit that stands only after the last figure is that of all of them. ValueError with a sentence for anything else.
    """
    rows = [_named(one, number) for number, one in enumerate(split(text), 1)]
    if not 1 <= len(rows) <= MOST_FIGURES:
        raise ValueError(f"give 1 to {MOST_FIGURES} figures with “;” between them, not {len(rows)}.")
    sign = _unit_after(rows[-1][1])
    found: dict[str, float] = {}
    for name, said in rows:
        if name in found:
            raise ValueError(f"“{short(name)}” stands there more than once; give it one figure.")
        whole_text = said if _unit_after(said) else f"{said} {sign}".strip()
        one = read_quantity(whole_text, kind, unit=unit, decimal=decimal)
        in_range(one.magnitude, one.unit, least, most, over=over)
        found[name] = one.magnitude
    return found


def _named(text: str, number: int) -> tuple[str, str]:
    """The name and the figure of an entry: before a colon or the first space, or else its number."""
    name, colon, said = text.partition(":")
    if not colon:
        name, _, said = text.partition(" ")
        if not re.match(r"[-+−]?[\d.,]", said.strip()):
            name, said = str(number), text
    if not name.strip() or not said.strip() or len(name.strip()) > LONGEST_NAME:
        raise ValueError(f"“{short(text)}” is not a name of up to {LONGEST_NAME} letters and its figure.")
    return name.strip(), said.strip()


def _unit_after(text: str) -> str:
    match = re.fullmatch(r"[-+−]?[\d.,/\s]*(.*)", text)
    return match[1].strip() if match else ""


def by_number(found: dict[str, float], least: int, most: int) -> dict[int, float]:
    """Figures whose names are whole numbers, such as cylinders or speeds; ValueError for another name, or one twice."""
    numbered = {whole(name, least, most): value for name, value in found.items()}
    if len(numbered) < len(found):
        raise ValueError("one number stands there twice; give each one figure.")
    return numbered


def valve_name(text: str) -> str:
    """A valve as the program writes it, “in1”, “ex3b”, from I1, in1, E3B or ex3b; ValueError for anything else."""
    match = re.fullmatch(r"(i|in|e|ex)(\d{1,2})([a-c]?)", text.strip().lower())
    if match is None or not match[2].isascii():
        raise ValueError(f"“{short(text)}” is not a valve such as I1 or E3.")
    return f"{'in' if match[1].startswith('i') else 'ex'}{match[2]}{match[3]}"


def short(text: str) -> str:
    """What was typed, on one line and not too long, to be said back."""
    flat = " ".join(text.split())
    return flat if len(flat) <= 40 else f"{flat[:39]}…"
