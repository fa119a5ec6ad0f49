"""What is kept beside the sheet, worked in the window: a page for each kind, and what can be said there."""

from collections.abc import Callable, Mapping
from datetime import datetime

from msgspec import Struct
from PySide6.QtCore import QObject

from app.assembly.build import ARRANGEMENT
from app.assembly.deeds.holes import OPENS_TO
from app.assembly.deeds.preview import preview
from app.assembly.deeds.tools import TOOL_SORTS
from app.assembly.lines import Line
from app.assembly.plan.steps import Trust
from app.assembly.said import actions as a
from app.assembly.said.counts import COUNT
from app.assembly.said.events import EVENT
from app.assembly.said.figures import CANDIDATE
from app.assembly.said.findings import FINDING, Disposition
from app.assembly.said.holes import HOLE
from app.assembly.said.marks import State
from app.assembly.said.options import OPTION
from app.assembly.said.parts import Fitted
from app.assembly.said.running import RUN
from app.assembly.said.temporary import ITEM
from app.assembly.said.tools import TOOL
from app.assembly.standing.changes import Changes
from app.assembly.standing.remembered import last_left, long_pause, must_be_remembered, not_known_final, to_be_asked
from app.desk.pages.list_page import ListRow
from app.desk.records.rows import told_rows
from app.desk.sheet.page import SheetPage
from app.desk.widgets.ask import AskPanel, Field
from app.desk.work import AtHand, Work
from app.trade.choices import Offer, thread_choices
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind
from app.trade.shipped_tables import shipped_tables
from app.words.say import say

Answers = Mapping[str, str]
YES_NO = (("", "No"), ("yes", "Yes"))
MM_PER_KM = 1e6


class RecordPage(Struct, frozen=True):
    """One page: what it is called and for, its rows, what Enter does, and its buttons."""

    title: str
    about: str
    rows: Callable[[], list[ListRow]]
    wanted: Callable[[str], None]
    buttons: tuple[tuple[str, Callable[[], None]], ...]
    empty: str


class Records(QObject):
    """Asks and writes; `home` has the line in hand."""

    def __init__(
        self, ask: AskPanel, home: SheetPage, initials: Callable[..., bool], at_hand: AtHand, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._ask = ask
        self._home = home
        self._initials = initials
        self._at_hand = at_hand
        ask.closed.connect(self._looked)

    def say(self, letter: str) -> None:
        """What a single letter of the sheet says beside the marks."""
        {"o": self.open_up, "x": self.find, "s": self.second_look}[letter]()

    def _line(self) -> Line | None:
        return self._home.line

    # --- the pages

    def pages(self) -> dict[str, RecordPage]:
        """Every page by its key."""
        return {
            "findings": RecordPage(
                "Findings",
                "What was found, what was decided, and what would reopen it. Enter decides",
                lambda: told_rows(FINDING, self._work.survey),
                self.decide,
                (("Found something …", self.find),),
                "Nothing was found out of order, or nobody has written it down.",
            ),
            "temporary": RecordPage(
                "Temporary things",
                "What went in must come out; nothing is turned while it is in. Enter takes it out",
                lambda: told_rows(ITEM, self._work.survey),
                self.take_out,
                (("Something went in …", self.put_in_temporary), ("Something is lost …", self.lost)),
                "Nothing is in that must come out.",
            ),
            "holes": RecordPage(
                "Holes, plugs and studs",
                "Each by name; unknown counts as open. Enter writes what is known of one",
                lambda: told_rows(HOLE, self._work.survey),
                self.describe_hole,
                (),
                "The plan of this build maps no holes.",
            ),
            "fasteners": RecordPage(
                "Tightenings",
                "Trials and the machine shop's count too. Enter writes a count, 0 for a new bolt",
                lambda: told_rows(COUNT, self._work.survey),
                self.count,
                (),
                "The plan of this build counts no bolts.",
            ),
            "tools": RecordPage(
                "Tools",
                "With their last check. Enter says that one was found wrong: what it measured since is not known",
                lambda: told_rows(TOOL, self._work.survey),
                self.tool_wrong,
                (("Enter a tool or a check …", self.keep_tool),),
                "No tool is entered yet.",
            ),
            "options": RecordPage(
                "Options",
                "Enter answers one anew: lines come and go, nothing recorded is lost",
                lambda: told_rows(OPTION, self._work.survey),
                self.change_option,
                (),
                "The plan of this build has no options.",
            ),
            "running": RecordPage(
                "Running",
                "Hours, distance and heat cycles since the first start, and what is due by them",
                lambda: told_rows(RUN, self._work.survey),
                self._home.go_to_step,
                (("It ran …", self.ran),),
                "",
            ),
            "events": RecordPage(
                "Events",
                "What can befall a build apart from its lines. Enter says it happened",
                lambda: told_rows(EVENT, self._work.survey),
                self.happened,
                (),
                "The plan of this build knows no events.",
            ),
            "figures": RecordPage(
                "Figures side by side",
                "What the maker, the part maker and others say for the line in hand. Enter chooses one",
                self._figure_rows,
                self.choose_figure,
                (("Put a figure beside them …", self.offer_figure),),
                "No figure is offered for this line yet.",
            ),
        }

    @property
    def _work(self) -> Work:
        assert self._at_hand.work is not None  # pages are shown for a build only
        return self._at_hand.work

    def _figure_rows(self) -> list[ListRow]:
        line = self._line()
        return told_rows(CANDIDATE, self._work.survey, line) if line else []

    # --- asking and doing

    def _ask_for(
        self,
        title: str,
        fields: tuple[Field, ...],
        make: Callable[[Answers, str, datetime], a.Action],
        *,
        note: str = "",
        leave: Callable[[], None] | None = None,
    ) -> None:
        """Ask, make the action of the answers, and do it; a refusal is said in the panel."""

        def keep(answers: Answers) -> bool:
            try:
                action = make(answers, self._work.initials, self._work.now())
            except (ValueError, NotationError) as error:
                self._ask.refuse(str(error))
                return False
            return self._work.do(action)

        if self._initials(lambda: self._ask_for(title, fields, make, note=note, leave=leave)):
            self._ask.ask(title, fields, keep, note=note, leave=leave)

    # --- findings

    def find(self) -> None:
        """Something was found at the line in hand."""
        line = self._line()
        if line is None:
            return
        fields = (
            Field("what", "What was found"),
            Field("place", "Where", choices=_places(line)),
            Field("measured", "Measured", optional=True),
            Field("symptom", "A symptom: noise, no pressure, an odd feel", choices=YES_NO),
        )
        self._ask_for(
            f"Found at {line.number}: {line.step.do}",
            fields,
            lambda v, by, at: a.Find(v["what"], by, at, line.id, v["place"], v["measured"], bool(v["symptom"])),
            note="A symptom is a hold: nothing after this line is signed off until it is explained or conceded.",
        )

    def decide(self, key: str) -> None:
        """What is done about a finding."""
        finding = self._work.build.facts.of(FINDING).get((key, ""))
        if finding is None:
            return
        choices = tuple((one.name, one.value.capitalize()) for one in Disposition if one is not Disposition.OPEN)
        fields = (
            Field("decision", "Decision", finding.decision.name, choices),
            Field("why", "Why, and by what evidence", finding.why),
            Field("watch", "What to watch", finding.watch, optional=True),
            Field(
                "reopens",
                "What would reopen it",
                ", ".join(finding.reopens),
                hint="event:cam-changed, distance:500 miles, hours:20 h, date:2027-05-01, line:4.07",
                optional=True,
            ),
        )
        self._ask_for(
            f"Decide {key}: {finding.what}",
            fields,
            lambda v, by, at: a.DecideFinding(
                key, Disposition[v["decision"]], v["why"], by, at, v["watch"], _split(v["reopens"])
            ),
        )

    # --- things opened, put in, looked at twice

    def open_up(self) -> None:
        """Something was slackened, opened or removed: of this line, or beside the plan."""
        line = self._line()
        if line is None:
            return
        survey = self._work.survey
        done = survey.done(line)
        by, now = self._unsigned()
        opened = self._would(a.OpenUp("opened", by, now, line.id)).reopened if done else ()
        note = f"Opens {', '.join(one.number for one in opened)}: to be looked at again." if done else ""
        of_line = (("line", f"Of {line.number}: {line.step.do}"),) if done else ()
        fields = (
            Field("what", "What was slackened, opened or removed", "slackened" if done else ""),
            Field("of", "It belongs to", choices=(*of_line, ("apart", "Nothing of the plan: make a line to close it"))),
            Field("place", "Where", choices=_places(line)),
            Field("why", "Why", optional=True),
            Field("disturbs", "Lines no longer known by it", hint="4.07, 4.09", optional=True),
        )

        def make(v: Answers, by: str, at: datetime) -> a.OpenUp:
            if v["of"] == "line":
                return a.OpenUp(v["what"], by, at, line.id, v["place"], why=v["why"])
            disturbs = _split(v["disturbs"])
            return a.OpenUp(v["what"], by, at, place=v["place"], after=line.id, why=v["why"], disturbs=disturbs)

        self._ask_for(f"Opened up at {line.number}", fields, make, note=note)

    def put_in(self) -> None:
        """A step the plan forgot, after the line in hand."""
        line = self._line()
        if line is None:
            return
        fields = (
            Field("what", "What is to be done"),
            Field("why", "Why", optional=True),
            Field("disturbs", "Lines it makes unknown when done", hint="4.07, 4.09", optional=True),
        )
        self._ask_for(
            f"Put a line in after {line.number}",
            fields,
            lambda v, by, at: a.PutIn(v["what"], line.id, by, at, v["why"], _split(v["disturbs"])),
            note="It gets this line's number with a letter; nothing is renumbered.",
        )

    def second_look(self) -> None:
        """Another pair of eyes, or the same in a later session, with the first reading hidden."""
        line = self._line()
        if line is None or not self._initials(self.second_look):
            return
        places = self._work.survey.places(line) if line.reads else ()
        fields = (
            Field("by", "Who looks"),
            *(Field(place.id, f"{place.title}, read anew") for place in places),
        )
        self._ask_for(
            f"Second look at {line.number}: {line.step.do}",
            fields,
            lambda v, _by, at: a.LookSecond(line.id, v["by"], at, {place.id: v[place.id] for place in places}),
            note="The first reading is hidden until this is kept; both are shown in the record.",
        )
        self._work.look_second(line.id)

    def _looked(self) -> None:
        if self._at_hand.work is not None:
            self._at_hand.work.look_second("")

    # --- temporary things

    def put_in_temporary(self) -> None:
        """A rag, cap, tape or tool goes in."""
        fields = (
            Field("name", "What", hint="rag"),
            Field("count", "How many", "1"),
            Field("where", "Where", hint="intake ports"),
            Field("turning", "May be turned over with it in, like clay", choices=YES_NO),
        )
        self._ask_for(
            "Something goes in that must come out",
            fields,
            lambda v, by, at: a.PutTemporary(v["name"], v["where"], by, at, _whole(v["count"]), bool(v["turning"])),
        )

    def lost(self) -> None:
        """A tool or nut cannot be found."""
        fields = (Field("name", "What is missing"), Field("where", "Where it may be"))
        self._ask_for(
            "Lost: nothing is started until it is found",
            fields,
            lambda v, by, at: a.PutTemporary(v["name"], v["where"], by, at, lost=True),
        )

    def take_out(self, key: str) -> None:
        """It comes out, counted; one of the plan's is taken out at its own line."""
        if key in self._work.build.by_id:
            self._home.go_to_step(key)
        elif key:
            self._ask_for(
                f"{key} comes out",
                (Field("count", "How many came out"),),
                lambda v, by, at: a.TakeOut(key, by, at, _whole(v["count"])),
            )

    # --- holes, bolts, tools

    def describe_hole(self, key: str) -> None:
        """What is known of one hole."""
        group, _, place = key.partition("/")
        if not place:
            return
        fields = (
            Field("opens_to", "Opens to", choices=tuple((word, word or "as found") for word in OPENS_TO)),
            Field("thread", "Thread", hint="M10x1.25, 3/8-18 NPT", optional=True, offers=_known_threads()),
            Field("depth", "Depth", optional=True),
            Field("closed_with", "Closed with", hint="plug, stud, bolt, sender", optional=True),
            Field("length", "Length that fits", optional=True),
            Field("compound", "Compound", optional=True),
            Field("refits", "Who refits it", optional=True),
        )
        self._ask_for(
            f"Hole {place}",
            fields,
            lambda v, by, at: a.DescribeHole(group, place, by, at, **{name: v[name] for name in v}),
        )

    def count(self, key: str) -> None:
        """How often a bolt has been tightened."""
        fasteners, _, place = key.partition("/")
        if place:
            self._ask_for(
                f"Tightenings of {place}",
                (
                    Field("times", "Tightened so far, 0 for a new one"),
                    Field("length", "Its length", hint="60.12 mm", optional=True),
                    Field("free", "Thread where it was free", hint="9.86 mm", optional=True),
                    Field("neck", "Thread where it is thinnest", hint="9.80 mm", optional=True),
                ),
                lambda v, by, at: a.CountTightenings(
                    fasteners, place, _whole(v["times"]), by, at, "", v["length"], v["free"], v["neck"]
                ),
            )

    def keep_tool(self) -> None:
        """A tool, or a new check of one."""
        fields = (
            Field("tool", "Called", hint="TW1"),
            Field("name", "What it is", hint="torque wrench, 1/2 in"),
            Field("span", "Range", hint="20 to 100 N·m", optional=True),
            Field("graduation", "Graduation", hint="0.5 N·m", optional=True),
            Field("sort", "It tells by", choices=(("", "not said"), *((one, one) for one in TOOL_SORTS))),
            Field("lever", "Lever, drive to where it is held", hint="420 mm", optional=True),
            Field("checked", "Last checked", hint="2026-03-14", optional=True),
            Field("cycles", "Used since then", hint="120 times", optional=True),
            Field("doubt", "A reading with it is in doubt by", hint="± 0.004 mm", optional=True),
        )
        self._ask_for(
            "Enter a tool",
            fields,
            lambda v, by, at: a.KeepTool(
                v["tool"],
                v["name"],
                by,
                at,
                v["span"],
                v["graduation"],
                _day(v["checked"]),
                v["sort"],
                v["lever"],
                _whole(v["cycles"]) if v["cycles"].strip() else None,
                v["doubt"],
            ),
        )

    def tool_wrong(self, key: str) -> None:
        """A tool was found wrong."""
        self._ask_for(
            f"{key} was found wrong",
            (Field("note", "How it was found, and by how much"),),
            lambda v, by, at: a.ToolWrong(key, by, at, v["note"]),
            note="Everything read with it since its last good check becomes Look again. One undo takes it back.",
        )

    # --- options, events, running, figures

    def change_option(self, key: str) -> None:
        """An option answered anew; what comes and goes is told before it is done."""
        build = self._work.build
        if key.startswith(ARRANGEMENT):
            self._change_arrangement(key)
            return
        option = next(one for one in build.plan_options if one.id == key)
        current = build.options.get(key, option.default)
        others = tuple((choice.id, choice.title) for choice in option.choices if choice.id != current)
        changes = [f"{title}: {self._change(key, choice)}" for choice, title in others]
        self._ask_for(
            option.ask,
            (Field("choice", "Answer", choices=others), Field("why", "Why")),
            lambda v, by, at: a.ChooseOption(key, v["choice"], by, at, v["why"]),
            note="  ".join(changes),
        )

    def _change_arrangement(self, key: str) -> None:
        """Another head, another crank: the lines whose places change are told before it is done."""
        build = self._work.build
        name = key.removeprefix(ARRANGEMENT)
        now = getattr(build.arrangement, name)
        moved = self._would(a.ChooseOption(key, str(now + 1), *self._unsigned())).other_places
        touched = ", ".join(line.number for line in moved) or "none"
        self._ask_for(
            f"{name.replace('_', ' ').capitalize()}, now {now}",
            (Field("choice", "How many", str(now)), Field("why", "Why")),
            lambda v, by, at: a.ChooseOption(key, v["choice"], by, at, v["why"]),
            note=f"Lines whose places follow from it: {touched}. Done ones become Look again; nothing written is lost.",
        )

    def _change(self, option: str, choice: str) -> str:
        """What another answer would bring, take away and open, in words."""
        seen = self._would(a.ChooseOption(option, choice, *self._unsigned()))
        come = ", ".join(line.number for line in seen.coming) or "nothing"
        go = ", ".join(line.number for line in seen.going) or "nothing"
        again = f", to be looked at again: {', '.join(line.number for line in seen.reopened)}" if seen.reopened else ""
        return f"comes {come}; goes {go}{again}."

    def _would(self, action: a.Action) -> Changes:
        """What an action would change on the sheet, without doing it."""
        return preview(self._work.build, [action]).changes

    def _unsigned(self) -> tuple[str, datetime]:
        """Who and when, for what is only looked at."""
        return self._work.initials or "?", self._work.now()

    def happened(self, key: str) -> None:
        """An event; what it makes unknown is told before."""
        happening = self._work.build.happenings.get(key)
        if happening is None:
            return
        opened = [line.number for line in self._would(a.Happen(key, *self._unsigned())).reopened]
        note = f"To be looked at again: {', '.join(opened)}." if opened else "Nothing that is Done hangs on it."
        self._ask_for(
            happening.title,
            (Field("note", "How it came", optional=True),),
            lambda v, by, at: a.Happen(key, by, at, v["note"]),
            note=note,
        )

    def ran(self) -> None:
        """A spell of running."""
        fields = (
            Field("hours", "Hours", hint="1.5", optional=True),
            Field("distance", "Distance", hint="60 miles, or 100 km", optional=True),
            Field("cycles", "Heat cycles", hint="1", optional=True),
            Field("note", "What was seen and heard", optional=True),
        )
        self._ask_for("It ran", fields, _run)

    def offer_figure(self) -> None:
        """A figure beside the others for the line in hand."""
        line = self._line()
        if line is None:
            return
        fields = (
            Field("text", "Figure, as printed"),
            Field("source", "Where it is from"),
            Field("trust", "Kind", choices=tuple((one.name, one.value.capitalize()) for one in Trust)),
            Field("edition", "Edition", optional=True),
            Field("dated", "Dated", optional=True),
            Field("converted", "Converted by", optional=True),
        )
        self._ask_for(
            f"A figure for {line.number}: {line.step.do}",
            fields,
            lambda v, by, at: a.OfferFigure(
                line.id, v["text"], v["source"], Trust[v["trust"]], by, at, v["edition"], v["dated"], v["converted"]
            ),
        )

    def choose_figure(self, key: str) -> None:
        """One of the figures, with the reason."""
        line = self._line()
        if line is not None and key:
            self._ask_for(
                f"Choose {key} for {line.number}",
                (Field("why", "Why this one"),),
                lambda v, by, at: a.ChooseFigure(line.id, key, v["why"], by, at),
                note="Readings and tightenings made to another figure are judged again.",
            )

    # --- leaving and coming back

    def leave(self) -> None:
        """What must be remembered, and one note."""
        items = [say(one) for one in must_be_remembered(self._work.survey)]
        told = ". ".join(items[:8]) + (f". And {len(items) - 8} more" if len(items) > 8 else "")
        self._ask_for(
            "Leaving",
            (Field("note", "One note to yourself", optional=True),),
            lambda v, by, at: a.Leave(v["note"], by, at),
            note=f"To be remembered: {told}." if items else "Nothing is in hand, in the engine or open.",
        )

    def come_back(self, *, asked: bool = False) -> None:
        """After a break: the note left, and whether the last lines are still true. `asked` says a person wants it."""
        survey = self._work.survey
        lines = to_be_asked(survey)
        if not lines and not asked:
            return
        left = last_left(survey.build)
        words = [f"You left: {left.note or 'no note'}." if left else ""]
        words += [". ".join(say(one) for one in left.items) + "."] if left and left.items else []
        since = long_pause(survey)
        if since is not None:
            final = ", ".join(line.number for line in not_known_final(survey, since)) or "none"
            words.append(f"Months have gone by. Not known to be final: {final}.")
        fields = tuple(
            Field(line.id, f"{line.number} {line.step.do}", choices=(("true", "Still true"), ("again", "Look again")))
            for line in lines
            if survey.state(line) is State.DONE or survey.state(line) is State.STARTED
        )
        self._ask_for(
            "Coming back: are the last lines still true?",
            fields,
            _resume,
            note=" ".join(word for word in words if word),
            leave=self._skipped,
        )

    def _skipped(self) -> None:
        """The question was left unanswered; that is kept too."""
        self._work.do(a.Resume(self._work.initials, self._work.now()))

    def fit_part(self) -> None:
        """How a part is on; the parts of the line in hand come first."""
        line = self._line()
        here = list(line.step.parts) if line is not None else []
        parts = {part.id: part.name for part in [*here, *(p for one in self._work.build.lines for p in one.step.parts)]}
        if not parts:
            self._work.refused.emit(
                "No line of this build needs a part. Put a forgotten line in, or write it as found."
            )
            return
        self._ask_for(
            "A part goes on, or comes off",
            (
                Field("part", "Part", choices=tuple(parts.items())),
                Field("fit", "It is", choices=tuple((one.name, _FITTED[one]) for one in Fitted)),
                Field("why", "Note", optional=True),
            ),
            lambda v, by, at: a.FitPart(v["part"], Fitted[v["fit"]], by, at, v["why"]),
            note="Off again, or on only to look, opens the lines that put it on for good.",
        )


_FITTED = {
    Fitted.TRIAL: "on, to look and measure",
    Fitted.FINAL: "on, for good",
    Fitted.OFF: "off again",
}


def _resume(v: Answers, by: str, at: datetime) -> a.Resume:
    confirmed = tuple(step for step, answer in v.items() if answer == "true")
    return a.Resume(by, at, confirmed, tuple(step for step, answer in v.items() if answer == "again"))


def _run(v: Answers, by: str, at: datetime) -> a.LogRun:
    hours = read_quantity(v["hours"], Kind.TIME, unit="h").magnitude / 3600 if v["hours"].strip() else 0.0
    distance = read_quantity(v["distance"], Kind.LENGTH).magnitude / MM_PER_KM if v["distance"].strip() else 0.0
    cycles = _whole(v["cycles"]) if v["cycles"].strip() else 0
    return a.LogRun(by, at, hours, distance, cycles, v["note"])


def _places(line: Line) -> tuple[tuple[str, str], ...]:
    own = tuple((place.id, place.title) for place in line.places) if len(line.places) > 1 else ()
    return (("", "The whole line"), *own)


def _split(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(",") if word.strip())


def _whole(text: str) -> int:
    if not text.strip().isdigit():
        raise ValueError(f"“{text}” is not a count; write a whole number such as 2.")
    return int(text)


def _day(text: str) -> datetime | None:
    if not text.strip():
        return None
    try:
        return datetime.fromisoformat(text.strip()).astimezone()
    except ValueError:
        raise ValueError(f"“{text}” is not a date; write it as 2026-03-14.") from None


def _known_threads() -> tuple[str, ...]:
    return tuple(one.text for one in thread_choices(shipped_tables()) if one.offer is Offer.TABLE)
