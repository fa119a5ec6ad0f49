"""A small invented engine whose lines show everything the sheet can print, and a hand that works it."""

from datetime import UTC, datetime, timedelta

from app.build.actions import Action
from app.build.build import Build, evolve
from app.build.decide import decide
from app.build.facts import Deed
from app.build.history import Told, told
from app.build.make import make_blank
from app.build.survey import Survey
from app.exchange.plan_file import parse_plan

BEGUN = datetime(2031, 3, 7, 9, 0, tzinfo=UTC)

PLAN = """
format = 1
id = "small"
title = "A small engine"
edition = "3"
summary = "Invented."
[arrangement]
layout = "inline"
cylinders = 4
firing_order = [1, 3, 4, 2]
mains = 5
crankpins = 4
cam_journals = 3
[[options]]
id = "seal"
ask = "Rear seal?"
default = "one"
choices = [{id = "one", title = "One-piece"}, {id = "two", title = "Two-piece"}]
[[sources]]
id = "practice"
title = "General practice"
trust = "general practice"
[[groups]]
id = "studs"
title = "Head stud holes"
count = 10
each = "Stud"
[[gates]]
id = "close"
letter = "A"
title = "Close the bottom"
after = "block"
means = "The pan goes on."
harm = "the engine comes out again"
[[gates]]
id = "crank"
letter = "B"
title = "Crank"
after = "oil"
means = "It turns."
harm = "the bearings run dry"

[[stages]]
id = "block"
title = "Block"
[[stages.steps]]
id = "holes"
do = "Write what each stud hole opens to"
places = "studs"
role = "hole-finding"
spec = {kind = "choice", choices = ["nothing", "oil", "coolant", "unknown"]}
[[stages.steps]]
id = "seal-studs"
do = "Seal the studs that are open"
note = "A thin coat on clean threads"
places = "studs"
role = "hole-seal"
needs = ["holes"]
when = [{step = "holes", any_of = ["oil", "coolant", "unknown"]}]
gate = "close"
harm = "coolant weeps along the thread"
[[stages.steps]]
id = "float"
do = "Measure crank end float"
note = "Dial gauge on the nose"
spec = {kind = "length", unit = "mm", limits = "0.05 to 0.20 mm", source = "practice"}
gate = "close"
harm = "a thrust face burns"
[[stages.steps]]
id = "ring-gap"
do = "Measure each ring gap"
places = "rings"
spec = {kind = "length", unit = "mm", limits = "at least 0.30 mm", source = "practice"}
[[stages.steps]]
id = "first-pass"
do = "Tighten main bolts, pass 1 of 2"
places = "mains"
fixed = "mains"
spec = {kind = "torque", unit = "N·m", limits = "30 N·m", source = "practice", state = "oiled"}
puts_in = [{id = "rag", name = "rag", where = "oil feed"}]
parts = [{id = "bolts", name = "Main bolts", count = 10, one_use = true, fit = "final"}]
[[stages.steps]]
id = "last-pass"
do = "Tighten main bolts, pass 2 of 2"
places = "mains"
fixed = "mains"
disturbs = ["float"]
spec = {kind = "torque", unit = "N·m", source = "practice"}
[[stages.steps]]
id = "turn"
do = "Turn the crank by hand, two turns"
hold = true
gate = "close"
harm = "it locks when the starter turns it"
caution = {level = "warning", text = "Hands clear of the counterweights"}
spec = {kind = "see", limits = "turns freely"}

[[stages]]
id = "oil"
title = "Oil"
[[stages.steps]]
id = "pan"
do = "Fit the pan"
act = "close"
once = true
easy = ["looks finished without it", "last of stage", "hidden by the next part"]
takes_out = ["rag"]
caution = {level = "caution", text = "Sealant skins over in ten minutes"}
[[stages.steps]]
id = "fill"
do = "Fill the oil"
needs = [{step = "pan", wait = "24 h", because = "sealant cures"}]
[[stages.steps]]
id = "prime"
do = "Write the oil pressure on a gauge"
role = "prime"
gate = "crank"
harm = "bearings are gone in seconds"
spec = {kind = "pressure", unit = "kPa", limits = "at least 200 kPa", source = "practice"}
[[stages.steps]]
id = "look"
do = "Look for leaks"

[[stages]]
id = "run"
title = "Run"
[[stages.steps]]
id = "crank"
do = "Crank in short bursts"
act = "crank"
"""


class Hand:
    """Somebody who works the small engine, an hour between two actions."""

    def __init__(self, plan: str = PLAN, name: str = "Grey four") -> None:
        parsed = parse_plan(plan)
        blank = make_blank(parsed, {})
        sources = {source.id: source for source in parsed.sources}
        self.build = Build(
            1,
            name,
            BEGUN,
            parsed.id,
            parsed.title,
            parsed.edition,
            blank.options,
            blank.stages,
            blank.lines,
            parsed.gates,
            sources,
        )
        self.now = BEGUN
        self.deeds: list[Deed] = []

    def next_time(self, hours: float = 1) -> datetime:
        """The time of the next action."""
        self.now += timedelta(hours=hours)
        return self.now

    def does(self, action: Action) -> None:
        """Do it, as the program does it."""
        deed = decide(self.build, action)
        evolve(self.build, deed)
        self.deeds.append(deed)

    @property
    def survey(self) -> Survey:
        """The build as it stands now."""
        return Survey(self.build, self.now)

    @property
    def journal(self) -> list[Told]:
        """Everything done so far, in words."""
        return [one for deed in self.deeds for one in told(self.build, deed)]
