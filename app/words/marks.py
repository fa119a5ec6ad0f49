"""The marks of lines in words."""

from app.assembly.said.marks import Mark
from app.words.say import say


def why(mark: Mark) -> str:
    """Why a line stands as it does: what a person wrote, else the program's own reason; "" where there is none."""
    return mark.why or (say(mark.because) if mark.because is not None else "")
