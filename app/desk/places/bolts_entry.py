"""The bolts of a step worked by hand: what each key on their page asks for, and does."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured, Order
from app.assembly.said import actions as a
from app.assembly.said.marks import State
from app.assembly.said.tools import TOOL
from app.assembly.standing.entry_places import entry_place
from app.assembly.standing.joints import described, state_of
from app.assembly.standing.tightening import joint_of
from app.assembly.standing.units import unit_at
from app.desk.places.bolts_page import TightenPage
from app.desk.registry import Page
from app.desk.theme import PageTheme
from app.desk.widgets.ask import AskPanel, Field
from app.desk.widgets.value_field import decimal_mark
from app.desk.work import AtHand, Work
from app.sheet.tighten import Coming
from app.trade.choices import Choice, Offer, clamped_choices, strength_choices, thread_choices
from app.trade.quantity import Kind
from app.trade.shipped_tables import shipped_tables
from app.trade.tables import Method, ThreadState
from app.words.entry import quantity_taken_for, taken_for

if TYPE_CHECKING:
    from app.desk.desk import Desk

Answers = Mapping[str, str]
NOT_SAID = ("", "not said")


class Bolting(QObject):
    """Turns keys and presses on the bolts' page into actions; questions are asked below the page."""

    left = Signal()

    def __init__(self, page: TightenPage, ask: AskPanel, initials: Callable[..., bool], at_hand: AtHand) -> None:
        super().__init__(page)
        self._page = page
        self._ask = ask
        self._initials = initials
        self._at_hand = at_hand
        page.done.connect(self.tighten)
        page.write_wanted.connect(self.write)
        page.joint_wanted.connect(self.describe)
        page.wrench_wanted.connect(self.say_wrench)
        page.order_wanted.connect(self.say_order)
        page.slacken_wanted.connect(self.slacken)
        page.line_done.connect(self.close_line)

    @property
    def work(self) -> Work | None:
        """The build at hand."""
        return self._at_hand.work

    @property
    def _line(self) -> Line | None:
        return self._page.line if self.work is not None else None

    # --- bolts

    def tighten(self, place: str) -> None:
        """The bolt in hand has its pass: a wrench that clicks came to its setting, anything else is written."""
        line, work = self._line, self.work
        if line is None or work is None or not self._initials(lambda: self.tighten(place)):
            return
        coming = self._coming(place)
        if coming is None:
            return
        if coming.measured:
            self.write(place)
            return
        action = a.TightenBolt(line.id, place, work.initials, work.now(), torque=coming.torque, setting=coming.setting)
        if work.do(action):
            self._page.go_on()

    def _coming(self, place: str) -> Coming | None:
        """What the bolt has coming, as the page shows it; None, and told, where it has had its last."""
        coming = self._page.coming.get(place)
        if coming is None and self.work is not None:
            self.work.refused.emit("This bolt has had its last pass. A slackens the joint to begin again.")
        return coming

    def write(self, place: str) -> None:
        """Ask what the bolt came to."""
        line, work = self._line, self.work
        if line is None or work is None or not self._initials(lambda: self.write(place)):
            return
        coming = self._coming(place)
        if coming is None:
            return
        fields = self._fields_of(line, place, coming)

        def keep(v: Answers) -> bool:
            assert self.work is not None
            action = a.TightenBolt(
                line.id,
                place,
                self.work.initials,
                self.work.now(),
                torque=v["torque"],
                angle=v.get("angle", ""),
                stretch=v["stretch"],
                decimal=decimal_mark(),
            )
            if not self.work.do(action):
                return False
            self.work.half_type(line, place, 1, "")
            self._page.go_on()
            return True

        self._ask.ask(f"{line.number} {coming.title}, {coming.the_pass.title}", fields, keep)

    def _fields_of(self, line: Line, place: str, coming: Coming) -> tuple[Field, ...]:
        """What is asked of a bolt in the pass it has coming; what was half typed of it stands there again."""
        work = self.work
        assert work is not None  # it is asked for at a line
        draft, typed = work.draft(line, place), partial(work.half_type, line, place, 1)
        hint = f"for example {coming.the_pass.text}"
        if coming.the_pass.torque is not None:
            torque = partial(self._torque, line, place)
            fields = [Field("torque", "Torque it came to", draft, hint=hint, understand=torque, typed=typed)]
        else:
            angle, torque = partial(_taken, Kind.ANGLE, "deg"), partial(_taken, Kind.TORQUE, "N·m")
            at_end = "where the wrench shows it"
            fields = [
                Field("angle", "Angle it was turned by", draft, hint=hint, understand=angle, typed=typed),
                Field("torque", "Torque at its end", hint=at_end, optional=True, understand=torque),
            ]
        stretch_hint = "for example 0.52 mm" if coming.window else "where it is measured"
        stretch = partial(_taken, Kind.LENGTH, "mm")
        fields.append(Field("stretch", "Stretch", hint=stretch_hint, optional=not coming.window, understand=stretch))
        return tuple(fields)

    def _torque(self, line: Line, place: str, text: str) -> str:
        """What a torque is taken for: judged where it is the line's own value, else in both systems."""
        assert self.work is not None  # a bolt is asked about
        survey = self.work.survey
        one = entry_place(survey, line, place)
        if one is not None and line.step.spec is not None and line.step.spec.kind is Measured.TORQUE:
            return taken_for(survey, line, one, text, decimal_mark()).words
        return _taken(Kind.TORQUE, unit_at(survey, line) or "N·m", text)

    def close_line(self) -> None:
        """Every bolt has its last pass: the line is marked Done, and the next line of the joint comes up."""
        line, work = self._line, self.work
        if line is None or work is None or not self._initials(self.close_line):
            return
        if work.survey.state(line) is State.DONE:
            self.left.emit()
            return
        if work.sign_off(line):
            self._page.show_next()

    def slacken(self) -> None:
        """The joint is slackened fully, to begin again."""
        line = self._line
        if line is None or self.work is None or not self._initials(self.slacken):
            return

        def keep(v: Answers) -> bool:
            assert self.work is not None
            return self.work.do(a.Slacken(line.id, v["why"], self.work.initials, self.work.now()))

        note = (
            "Slacken in the reverse order, a little each at first. Every pass of this joint counts as not done again."
        )
        self._ask.ask(f"Slacken all of {line.number}", (Field("why", "Why", hint="over the angle"),), keep, note=note)

    # --- the joint

    def describe(self) -> None:
        """What is known of the bolts, what they bear on and hold in, and what is on the threads."""
        line, work = self._line, self.work
        if line is None or work is None:
            return
        tables, plan = shipped_tables(), line.tightening
        materials = _offers(clamped_choices(tables))
        strengths = strength_choices(tables)
        states = tuple((one.value, one.value) for one in ThreadState)
        spec_state = state_of(line.step.spec.state) if line.step.spec else None
        given = {
            "thread": plan.thread if plan else "",
            "strength": plan.strength if plan else "",
            "clamped": plan.clamped if plan else "",
            "tapped": plan.tapped if plan else "",
            "written_for": spec_state.value if spec_state is not None else "",
        }
        fields = (
            self._field("thread", "Thread", given, hint=_OWN_THREAD, offers=_offers(thread_choices(tables))),
            self._field("strength", "Marked on the head", given, hint=_OWN_STRENGTH, offers=_offers(strengths)),
            self._field("written_for", "Figure is written for", given, choices=(NOT_SAID, *states)),
            self._field("state", "On the threads here", given, choices=(NOT_SAID, *states)),
            self._field("face", "Bearing face, across", given, hint="16 mm; a hard washer's, where there is one"),
            self._field("hole", "Hole under it", given, hint="11 mm"),
            self._field("clamped", "It bears on", given, hint=_OWN_PRESSURE, offers=materials),
            self._field("tapped", "Screws into", given, hint=_OWN_TENSILE, offers=materials),
            self._field("engagement", "Thread engaged", given, hint="20 mm"),
            self._field("method", "Tightened by", given, choices=_with_none(tuple(one.value for one in Method))),
        )
        self._say(
            f"{line.number} The joint",
            fields,
            "The engine's and the part's maker go first; this only shows the spread.",
        )

    def say_wrench(self) -> None:
        """Which wrench, what is on it, and what the nut takes before it bites."""
        line, work = self._line, self.work
        if line is None or work is None:
            return
        tools = tuple((key, f"{key}  {one.name}, {one.span}") for (key, _), one in work.build.facts.of(TOOL).items())
        fields = (
            self._field("wrench", "Wrench", {}, choices=(NOT_SAID, *tools)),
            self._field("lever", "Lever, drive to where it is held", {}, hint="420 mm; the tool's own where empty"),
            self._field("adapter", "Adapter, centre to centre", {}, hint="50 mm; a plain socket is none"),
            self._field("adapter_angle", "Adapter's angle", {}, hint="0° straight ahead, 90° square, 180° back"),
            self._field("run_on", "Run-on torque of the nut", {}, hint="6 N·m, read while it turns"),
            self._field("stretch", "Stretch wanted", {}, hint="0.48 to 0.61 mm, where it is judged"),
            self._field("longest", "Longest bolt to be used again", {}, hint="60.5 mm, by its own sheet"),
            self._field("necked", "Neck thinner by at most", {}, hint="0.15 mm, by its own sheet"),
        )
        note = "Records, Tools keeps your wrenches. Pull square to the handle; never a pipe on it."
        self._say(f"{line.number} Wrench and adapter", fields, note)

    def say_order(self) -> None:
        """How the bolts lie, their order and the passes."""
        line, work = self._line, self.work
        if line is None or work is None:
            return
        places = ", ".join(place.id for place in work.survey.places(line))
        fields = (
            self._field(
                "pattern",
                "They lie",
                {},
                choices=(("", "as the plan says"), *((one.value, _LIE[one]) for one in Order)),
            ),
            self._field("rows", "Bolts in each row", {}, hint="5, 5"),
            self._field("order", "Order, if the maker gives one", {}, hint=places),
            self._field("passes", "Passes", {}, hint="70 %, 100 %   or   30 N·m, 60 N·m, 82 N·m"),
        )
        note = "The last pass is always the figure itself. Above about 40 N·m one manual's first round is at 70 %."
        self._say(f"{line.number} Order and passes", fields, note)

    def _field(
        self,
        key: str,
        label: str,
        given: Mapping[str, str],
        *,
        hint: str = "",
        choices: tuple[tuple[str, str], ...] = (),
        offers: tuple[str, ...] = (),
    ) -> Field:
        """A field with what was said, else what the plan offers."""
        assert self.work is not None  # asked for with a line only
        line = self._page.line
        said = joint_of(self.work.build, line) if line is not None else None
        value = said.said(key) if said is not None else given.get(key, "")
        return Field(key, label, value, choices, hint, optional=True, offers=offers)

    def _say(self, title: str, fields: tuple[Field, ...], note: str) -> None:
        line = self._line
        if line is None or not self._initials(lambda: self._say(title, fields, note)):
            return

        def keep(v: Answers) -> bool:
            work = self.work
            assert work is not None
            try:
                said = described(v, shipped_tables(), work.initials, work.now(), joint_of(work.build, line))
            except ValueError as error:
                self._ask.refuse(str(error))
                return False
            return work.do(a.DescribeJoint(line.id, said, work.initials, work.now()))

        self._ask.ask(title, fields, keep, note=note)


_OWN_THREAD = "M10x1.25, 7/16-14 UNC, or your own by diameter, pitch and angle: own 13.4x1.1 55°"
_OWN_PRESSURE = "grey iron 250, or the most it bears: 600 MPa, and where that is from"
_OWN_TENSILE = "grey iron 250, or its tensile strength: 250 MPa, and where that is from"
_OWN_STRENGTH = "10.9, Grade 8, A2-70, or your own figure: 1310 MPa, 190 ksi"


def _offers(choices: tuple[Choice, ...]) -> tuple[str, ...]:
    return tuple(one.text for one in choices if one.offer is Offer.TABLE)


def _taken(kind: Kind, unit: str, text: str) -> str:
    """What a quantity is taken for, or why it cannot be read; "" for none."""
    return quantity_taken_for(text, kind, unit, decimal_mark()).words


_LIE = {
    Order.ROWS: "in rows, from the middle outward",
    Order.CIRCLE: "on a circle, crosswise",
    Order.LISTED: "in the order given",
}


def _with_none(words: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    return (NOT_SAID, *((word, word) for word in words))


def make_page(desk: "Desk", _key: str) -> Page:
    """The bolts of the line in hand."""
    theme = PageTheme(desk.theme)
    page = TightenPage(theme)
    bolting = Bolting(page, desk.ask, desk.marking.with_initials, desk.at_hand)
    bolting.left.connect(desk.pages.show_home)
    page.left.connect(desk.pages.show_home)
    page.figure_wanted.connect(desk.marking.enter_figure)
    page.offer_wanted.connect(desk.records.offer_figure)

    def begin(_about: str) -> bool:
        line = desk.home.line
        if line is None or line.tightening is None:
            return False
        page.begin(line)
        return True

    def refill() -> None:
        if desk.at_hand.work is not None:
            page.show_work(desk.at_hand.work)

    return Page(page, theme, begin, refill, page.setFocus, page.set_asking)
