"""Lash set by hand: what each key on its page asks for, and does."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from app.assembly.said import actions as a
from app.assembly.standing.entry_places import next_round
from app.assembly.standing.lash_stops import cam_said, is_lash
from app.desk.places.gauge import Gauge, ask_odd
from app.desk.places.lash_page import LashPage
from app.desk.registry import Page
from app.desk.theme import PageTheme
from app.desk.widgets.ask import AskPanel, Field
from app.desk.work import AtHand, Work

if TYPE_CHECKING:
    from app.desk.desk import Desk

CAM_FIELDS = (
    ("ivo", "Intake opens, before top dead centre", "45°"),
    ("ivc", "Intake closes, after bottom dead centre", "75°"),
    ("evo", "Exhaust opens, before bottom dead centre", "80°"),
    ("evc", "Exhaust closes, after top dead centre", "45°"),
    ("lift", "Lift they are read at, none for seat to seat", "0.050 in, or 1 mm"),
    ("margin", "Margin for the ramps", "20°"),
    ("pitch", "Pitch of the adjusting screw", "1.0 mm"),
    ("ratio", "Rocker ratio", "1.5"),
)


class Lashing(QObject):
    """Turns what is typed on the lash page into readings; questions are asked below the page."""

    left = Signal()

    def __init__(
        self,
        page: LashPage,
        ask: AskPanel,
        initials: Callable[..., bool],
        gauge: Gauge,
        at_hand: AtHand,
    ) -> None:
        super().__init__(page)
        self._page = page
        self._ask = ask
        self._initials = initials
        self._gauge = gauge
        self._at_hand = at_hand
        page.written.connect(self.write)
        page.cam_wanted.connect(self.say_cam)
        page.gauge_wanted.connect(self.say_gauge)
        page.line_done.connect(self.close_line)

    @property
    def work(self) -> Work | None:
        """The build at hand."""
        return self._at_hand.work

    def write(self, place: str, text: str) -> None:
        """Keep the lash of a valve, in the round it is to be read in next."""
        line, work = self._page.line, self.work
        if line is None or work is None or not self._initials(lambda: self.write(place, text)):
            return
        turn = next_round(work.survey, line, place)

        def keep(said: str) -> bool:
            kept = work.do(self._gauge.reads_with.reading(work, line, place, turn, said))
            if kept:
                work.half_type(line, place, turn, "")
                self._page.kept()
            return kept

        if not ask_odd(self._ask, work, line, (place, turn), text, keep):
            keep(text)

    def close_line(self) -> None:
        """Sign the line off, where every valve is read."""
        line, work = self._page.line, self.work
        if line is None or work is None or not self._initials(self.close_line):
            return
        if work.sign_off(line):
            self.left.emit()

    def say_gauge(self) -> None:
        """Which gauge, how warm, and when."""
        if self._page.line is not None:
            self._gauge.say(self._page.line)

    def say_cam(self) -> None:
        """When the valves open and close, from the cam card."""
        work = self.work
        if work is None or not self._initials(self.say_cam):
            return
        said = cam_said(work.build)
        typed = said.typed if said is not None else {}
        fields = tuple(
            Field(key, label, typed.get(key, ""), hint=hint, optional=key not in ("ivo", "ivc", "evo", "evc"))
            for key, label, hint in CAM_FIELDS
        )

        def keep(v: Mapping[str, str]) -> bool:
            assert self.work is not None
            return self.work.do(a.SayCam(dict(v), self.work.initials, self.work.now()))

        note = (
            "Events at 0.050 in or 1 mm lift do not bound the whole lift; with their lift written they are widened. "
            "Left unsaid, a long general cam is taken, and said so."
        )
        self._ask.ask("The cam's events, as on its card", fields, keep, note=note)


def make_page(desk: "Desk", _key: str) -> Page:
    """The lash of the line in hand, stop by stop."""
    theme = PageTheme(desk.theme)
    page = LashPage(theme)
    lashing = Lashing(page, desk.ask, desk.marking.with_initials, desk.gauge, desk.at_hand)
    lashing.left.connect(desk.pages.show_home)
    page.left.connect(desk.pages.show_home)
    page.figure_wanted.connect(desk.marking.enter_figure)
    page.grid_wanted.connect(desk.show_grid)
    page.sum_wanted.connect(desk.show_sum_of_line)

    def begin(_about: str) -> bool:
        """Where no stops can be worked out, say why and leave the line to the grid."""
        line, work = desk.home.line, desk.at_hand.work
        if line is None or work is None or not is_lash(line):
            return False
        try:
            page.begin(line, work)
        except ValueError as error:
            desk.foot.say(str(error), trouble=True)
            return False
        return True

    def refill() -> None:
        if desk.at_hand.work is not None:
            page.show_work(desk.at_hand.work)

    return Page(page, theme, begin, refill, page.setFocus, page.set_asking)
