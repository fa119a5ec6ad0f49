"""Marking by hand: what each mark demands is asked first, then it is done."""

from collections.abc import Callable, Mapping

from PySide6.QtCore import QObject, Signal

from app.assembly.lines import Line
from app.assembly.said.actions import Action, Concede, MarkLine, SayPart, TakeReading, TickPlace
from app.assembly.said.marks import State
from app.assembly.said.parts import Holding
from app.desk.places.gauge import ask_odd
from app.desk.sheet.figures import Asking, ask_figure, ask_how_read, ask_units
from app.desk.sheet.view import SheetView
from app.desk.widgets.ask import AskPanel, Field
from app.desk.widgets.value_field import decimal_mark
from app.desk.work import AtHand, Work
from app.sheet.rows import LineRow


class Marking(QObject):
    """Turns keys and presses on the sheet into actions on the build."""

    line_wanted = Signal(str)

    def __init__(self, view: SheetView, ask: AskPanel, at_hand: AtHand, parent: QObject) -> None:
        super().__init__(parent)
        self._view = view
        self._ask = ask
        self._at_hand = at_hand
        view.next_mark.connect(self.next_mark)
        view.mark_wanted.connect(self.mark)
        view.tick_wanted.connect(self.tick)
        view.value_written.connect(self.write)
        view.figure_wanted.connect(self.enter_figure)
        view.next_figure_wanted.connect(self.enter_next_figure)
        view.concession_wanted.connect(self.concede)

    @property
    def work(self) -> Work | None:
        """The build at hand."""
        return self._at_hand.work

    def line(self) -> Line | None:
        """The line in hand."""
        row = self._view.row
        if self.work is None or not isinstance(row, LineRow):
            return None
        return self.work.build.by_id[row.id]

    def _do(self, action: Action) -> bool:
        assert self.work is not None  # every caller has a line of it
        return self.work.do(action, self._view.arrow())

    # --- who

    def with_initials(self, then: Callable[[], None]) -> bool:
        """Whether the initials are known; asks for them when they are not, then goes on with `then`."""
        assert self.work is not None
        if self.work.initials:
            return True

        def keep(answers: Mapping[str, str]) -> bool:
            assert self.work is not None
            if not answers["by"].strip():
                self._ask.refuse("Your initials are needed: every mark carries them.")
                return False
            self.work.keep_initials(answers["by"])
            self._ask.close_panel()
            then()
            return not self._ask.asking

        self._ask.ask("Who is working?", (Field("by", "Initials", hint="for example MK"),), keep)
        return False

    def ask_initials(self) -> None:
        """Ask who is working now."""
        if self.work is None:
            return

        def keep(answers: Mapping[str, str]) -> bool:
            assert self.work is not None
            if not answers["by"].strip():
                self._ask.refuse("Your initials are needed: every mark carries them.")
                return False
            self.work.keep_initials(answers["by"])
            return True

        self._ask.ask("Who is working?", (Field("by", "Initials", self.work.initials),), keep)

    # --- marks

    def next_mark(self) -> None:
        """To do, then Started, then Done."""
        line = self.line()
        if line is None or self.work is None or not self.with_initials(self.next_mark):
            return
        state = self.work.survey.state(line)
        if state is State.DONE:
            self.work.refused.emit(f"{line.number} is Done. U un-marks it, ? says to look again.")
            return
        following = State.STARTED if state in (State.TO_DO, State.LATER, State.NOT_NEEDED) else State.DONE
        if following is State.DONE and line.reads and self.work.survey.unread(line):
            # The line is in hand: what it lacks is its value.
            self._view.next_open_place()
            self._view.open_entry()
            return
        self._mark(line, following)

    def mark(self, word: str) -> None:
        """One of the letter marks."""
        line = self.line()
        if line is None or not self.with_initials(lambda: self.mark(word)):
            return
        state = State(word)
        if state in _DEMANDS:
            self._demand(line, state)
        else:
            self._mark(line, state)

    def _mark(self, line: Line, state: State) -> None:
        """Mark it; where that opens other Done lines they are named first."""
        assert self.work is not None
        deed = self.work.decide(MarkLine(line.id, state, self.work.initials, self.work.now()))
        if deed is None:
            return
        opened = self.work.opened_by(deed, line)
        if not opened:
            self.work.keep(deed, self._view.arrow())
            return

        def keep(_answers: Mapping[str, str]) -> bool:
            assert self.work is not None
            self._do(MarkLine(line.id, state, self.work.initials, self.work.now()))
            return True

        names = "; ".join(f"{other.number} {other.step.do}" for other in opened)
        self._ask.ask(
            f"{line.number} {state.word} opens {len(opened)} Done line{'s' if len(opened) > 1 else ''}",
            (),
            keep,
            note=f"No longer known, to be looked at again: {names}. One undo takes all of it back.",
            button=f"Mark {line.number} {state.word}",
        )

    def _demand(self, line: Line, state: State) -> None:
        assert self.work is not None
        fields = [Field("why", "Why", hint=_DEMANDS[state])]
        if state is State.LATER:
            fields.append(Field("before", "Before line", self._next_number(line), hint="for example 4.07"))
            fields.append(Field("waits_for", "Waits for", hint="a line or a part, if it waits for one", optional=True))
            fields.append(
                Field("meanwhile", "How it looks meanwhile", hint="finger-tight, tag, empty hole", optional=True)
            )

        def keep(answers: Mapping[str, str]) -> bool:
            assert self.work is not None
            action = MarkLine(
                line.id,
                state,
                self.work.initials,
                self.work.now(),
                answers["why"].strip(),
                answers.get("before", "").strip(),
                answers.get("waits_for", "").strip(),
                meanwhile=answers.get("meanwhile", "").strip(),
            )
            return self._do(action)

        opened = self.work.would_open(line, undone=True) if self.work.survey.done(line) else ()
        note = f"Opens {', '.join(other.number for other in opened)}: to be looked at again." if opened else ""
        title = f"{line.number} {state.word}: {line.step.do}"
        self._ask.ask(title, tuple(fields), keep, note=note, button=f"Mark {state.word}")

    def _next_number(self, line: Line) -> str:
        """A good guess for “before”: the next line that keeps no earlier gate."""
        assert self.work is not None
        build = self.work.build
        return build.lines[line.position + 1].number if line.position + 1 < len(build.lines) else ""

    # --- places

    def tick(self, place: str) -> None:
        """Tick a place, or take its tick away; then go on to the next that is open."""
        line = self.line()
        if line is None or self.work is None or not self.with_initials(lambda: self.tick(place)):
            return
        old = self.work.build.facts.ticks.get(line.id, {}).get(place)
        state = State.TO_DO if old is not None and old.state is State.DONE else State.DONE
        if self._do(TickPlace(line.id, place, state, self.work.initials, self.work.now())) and state is State.DONE:
            self._view.next_open_place()

    def tick_rest(self) -> None:
        """Mark a many-alike line Done with all its open places, in one stroke that is kept as such."""
        line = self.line()
        if line is None or self.work is None or not self.with_initials(self.tick_rest):
            return
        self._do(MarkLine(line.id, State.DONE, self.work.initials, self.work.now(), together=True))

    def write(self, place: str, turn: int, text: str) -> None:
        """Write a value, then open the next place that has none."""
        line = self.line()
        if line is None or self.work is None:
            return
        if not self.with_initials(lambda: self.write(place, turn, text)):
            return
        work = self.work

        def keep(said: str) -> bool:
            if not self._do(TakeReading(line.id, place, said, work.initials, work.now(), turn, decimal_mark())):
                return False
            work.half_type(line, place, turn, "")
            return True

        if ask_odd(self._ask, work, line, (place, turn), text, keep):
            return
        if not keep(text):
            self._view.write_here()
            return
        more = bool(work.survey.unread(line)) and self._view.next_open_place()
        if not ask_how_read(self.asking(work), line, place, turn) and more:
            self._view.write_here()

    # --- figures, parts, decisions

    def enter_figure(self) -> None:
        """Ask for the figure of the line in hand and where it is from."""
        line = self.line()
        if line is None or self.work is None or not self.with_initials(self.enter_figure):
            return
        ask_figure(self.asking(self.work), line)

    def enter_next_figure(self) -> None:
        """Go to the next open line whose figure nobody has entered, and ask for it."""
        work = self.work
        if work is None or not self.with_initials(self.enter_next_figure):
            return
        line = self.line()
        here = line.position if line is not None else -1
        wanting = [one for one in work.survey.open_lines if work.survey.figure_missing(one)]
        after = next((one for one in wanting if one.position > here), None) or next(iter(wanting), None)
        if after is None:
            work.told.emit("Every open line has its figure.")
            return
        self.line_wanted.emit(after.id)
        ask_figure(self.asking(work), after)

    def asking(self, work: Work) -> Asking:
        """Where the questions about a line of the build at hand are asked."""
        return Asking(self._ask, work, self._do)

    def ask_units(self) -> None:
        """Ask which units come first where no figure says any."""
        if self.work is not None and self.with_initials(self.ask_units):
            ask_units(self.asking(self.work))

    def say_part(self, part: str) -> None:
        """Ask where a part is."""
        if self.work is None or not self.with_initials(lambda: self.say_part(part)):
            return
        said = self.work.build.facts.parts.get(part)
        name = next(p.name for line in self.work.build.lines for p in line.step.parts if p.id == part)
        choices = tuple((one.value, one.value.replace("-", " ").capitalize()) for one in Holding)
        current = said.holding.value if said else Holding.HERE.value
        fields = (
            Field("holding", "It is", current, choices),
            Field("why", "Note", said.why if said else "", optional=True),
        )

        def keep(answers: Mapping[str, str]) -> bool:
            assert self.work is not None
            action = SayPart(part, Holding(answers["holding"]), self.work.initials, self.work.now(), answers["why"])
            return self._do(action)

        self._ask.ask(f"Where is: {name}", fields, keep)

    def concede(self) -> None:
        """Ask why work goes on although the line is open."""
        line = self.line()
        if line is None or self.work is None or not self.with_initials(self.concede):
            return
        fields = (
            Field("text", "Why go on", hint="why it may stay open, and what would make you come back to it"),
            Field("before", "Clear it before line", hint="if there is one", optional=True),
        )

        def keep(answers: Mapping[str, str]) -> bool:
            assert self.work is not None
            by, now = self.work.initials, self.work.now()
            return self._do(Concede(line.id, answers["text"], by, now, answers["before"].strip()))

        note = f"If nobody does it: {line.step.harm}." if line.step.harm else ""
        self._ask.ask(f"{line.number} Go on in writing: {line.step.do}", fields, keep, note=note)


_DEMANDS = {
    State.LATER: "what it waits for",
    State.NOT_NEEDED: "why this engine does not need it",
    State.STOPPED: "what is out of limits or broken",
    State.LOOK_AGAIN: "what was opened up, or why you doubt it",
}
