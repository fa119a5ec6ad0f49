"""A deed in a few words."""

from app.assembly.build import Build
from app.assembly.deeds.labels import did
from app.assembly.said.deeds import Deed
from app.words.say import say


def label(build: Build, deed: Deed) -> str:
    """What the deed did to the build: “4.07 Done”; an undo or redo is told as what it takes back or puts back."""
    return say(did(build, deed))
