"""A small invented engine whose lines show everything the sheet can print, and a hand that works it."""

from datetime import UTC, datetime, timedelta

from app.assembly.deeds.decide import decide
from app.assembly.make import begin_build, make_blank
from app.assembly.plan.steps import Trust
from app.assembly.said import actions as a
from app.assembly.said.actions import Action
from app.assembly.said.deeds import Deed
from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.standing.survey import Survey
from app.exchange.plan_file import parse_plan
from app.words.journal import Told, told

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
        self.build = begin_build(blank, key=1, name=name, made=BEGUN)
        self.now = BEGUN
        self.deeds: list[Deed] = []

    def next_time(self, hours: float = 1) -> datetime:
        """The time of the next action."""
        self.now += timedelta(hours=hours)
        return self.now

    def does(self, action: Action) -> None:
        """Do it, as the program does it."""
        deed = decide(self.build, action)
        self.build = self.build.after(deed)
        self.deeds.append(deed)

    @property
    def survey(self) -> Survey:
        """The build as it stands now."""
        return Survey(self.build, self.now)

    @property
    def journal(self) -> list[Told]:
        """Everything done so far, in words."""
        return [one for deed in self.deeds for one in told(self.build, deed)]


FULL = (
    PLAN.replace('each = "Stud"\n', 'each = "Stud"\nthread = "M10"\nclosed_with = "stud"\nfinding = "holes"\n', 1)
    .replace(
        '[[gates]]\nid = "close"',
        '[[fasteners]]\nid = "main-bolts"\ntitle = "Main bolts"\nplaces = "mains"\nlimit = 3\n'
        '[[happenings]]\nid = "tipped"\ntitle = "Engine tipped over"\ndisturbs = ["prime"]\n'
        '[[gates]]\nid = "close"',
        1,
    )
    .replace('id = "ring-gap"\n', 'id = "ring-gap"\nsecond_look = true\n')
    .replace('id = "look"\n', 'id = "look"\nsecond_look = true\n')
    .replace('id = "turn"\n', 'id = "turn"\nturns = "hand"\n')
)


def eventful() -> Hand:
    """A build in which everything happened that no plan foresees."""
    hand = Hand(FULL)
    for stud in range(1, 11):
        hand.does(a.TakeReading("1.01", str(stud), "oil" if stud == 1 else "nothing", "MK", hand.next_time()))
    hand.does(a.MarkLine("1.01", State.DONE, "MK", hand.next_time()))
    hand.does(a.DescribeHole("studs", "3", "MK", hand.next_time(), depth="22 mm", compound="thread paste"))
    hand.does(a.Find("score on the thrust face", "MK", hand.next_time(), "1.03", measured="0.03 mm deep"))
    back = ("event:tipped", "distance:500 miles", "line:1.06")
    why = "below the depth the sheet allows"
    hand.does(a.DecideFinding("f1", Disposition.USE_AS_IS, why, "JT", hand.next_time(), "float at each strip", back))
    hand.does(a.Find("a knock at one place", "MK", hand.next_time(), "1.04", place="2-top", symptom=True))
    hand.does(a.Happen("tipped", "MK", hand.next_time(), "rolled over on the stand"))
    hand.does(a.ChooseOption("seal", "two", "MK", hand.next_time(), "the carrier is cracked"))
    hand.does(a.OpenUp("oil feed joint", "MK", hand.next_time(), after="1.03", place="rear", why="in the way"))
    hand.does(a.PutIn("Weigh the bolts", "1.03", "JT", hand.next_time(), "one looks short"))
    hand.does(a.OfferFigure("1.06", "60 to 65 N·m", "Manual", Trust.MAKER, "MK", hand.next_time(), "3rd", "1999"))
    hand.does(a.OfferFigure("1.06", "44 to 48 lb ft", "Leaflet", Trust.ADVICE, "MK", hand.next_time()))
    hand.does(a.ChooseFigure("1.06", "c1", "printed beats hearsay", "MK", hand.next_time()))
    checked = hand.next_time()
    hand.does(a.KeepTool("dial", "Dial gauge", "MK", hand.now, "0 to 10 mm", "0.01 mm", checked))
    for number in range(1, 5):
        for ring in ("top", "second", "oil"):
            place = f"{number}-{ring}"
            hand.does(a.TakeReading("1.04", place, "0.35 mm", "MK", hand.next_time(0.1), tool="gauge 7"))
    hand.does(a.MarkLine("1.04", State.DONE, "MK", hand.next_time()))
    second = {f"{number}-{ring}": "0.36 mm" for number in range(1, 5) for ring in ("top", "second", "oil")}
    hand.does(a.LookSecond("1.04", "JT", hand.next_time(), second))
    hand.does(a.TakeReading("1.03", "-", "0.14 mm", "MK", hand.next_time(), tool="dial"))
    hand.does(a.ToolWrong("dial", "MK", hand.next_time(), "sticks at half a turn"))
    hand.does(a.CountTightenings("main-bolts", "", 1, "MK", hand.next_time()))
    hand.does(a.CountTightenings("main-bolts", "2", 3, "JT", hand.next_time()))
    hand.does(a.PutTemporary("tape", "feed hole", "MK", hand.next_time(), count=2))
    hand.does(a.PutTemporary("nut", "somewhere in the pan", "MK", hand.next_time(), lost=True))
    hand.does(a.PutTemporary("clay", "piston 1", "MK", hand.next_time(), turning_ok=True))
    hand.does(a.TakeOut("t3", "JT", hand.next_time()))
    hand.does(a.LogRun("MK", hand.next_time(), hours=0.5, heat_cycles=1, note="on the stand"))
    hand.does(a.LogRun("MK", hand.next_time(), hours=1.25, distance_km=32, heat_cycles=1))
    return hand
