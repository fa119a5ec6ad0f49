"""The cam's events."""

from app.assembly.said.cam import CAM
from app.assembly.standing.lash_stops import cam_said
from app.assembly.standing.survey import Survey
from app.words.english.cam import NAMES
from app.words.table import WHEN, WHO, Column, Table
from app.words.telling import Part, Section, Telling
from app.words.times import clock


def cam(survey: Survey) -> Table:
    """The cam's events as its card has them; they say from which stops lash is set."""
    said = cam_said(survey.build)
    typed = ", ".join(f"{NAMES[name]} {text}" for name, text in said.typed.items()) if said else ""
    rows = ((typed, said.by, clock(said.at)),) if said else ()
    return Table("The cam's events", (Column("As its card says", 134, 700), WHO, WHEN), rows, "")


TELLING = Telling(
    CAM,
    words=lambda _build, _subject, one: ", ".join(f"{name} {text}" for name, text in one.typed.items()),
    named=lambda _build, _subject: "the cam's events",
    record=(Section(Part.WORKED, 1, lambda survey, _: (cam(survey),)),),
)
