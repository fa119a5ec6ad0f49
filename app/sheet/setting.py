"""What to set for bolts, in sections of plain words: the figure, the wrench and its setting, and the order."""

from collections.abc import Iterator

from app.sheet.draw.bolts import bolt_drawing, wrench_drawing
from app.sheet.rows import Run
from app.sheet.sections import FIGURE_PX, SETTING_PX, Item, Section, plain
from app.sheet.tighten import TightenView

# The width of a drawing in the tray, in its own units: it is set to the width there is.
TRAY_DRAWING = 420.0


def step_sections(view: TightenView) -> Iterator[Section]:
    """What stands beside the bolts of a step: the figure in both systems, what to set, and which wrench to take."""
    about = ", ".join(word for word in (view.other_system, view.passes, view.state) if word)
    yield Section("At the bolt", (plain(view.figure or "figure not entered yet"),), px=FIGURE_PX)
    yield Section("", (Item((Run(about, "text"),)),))
    yield from _setting(view)
    if view.remarks:
        yield Section("Wrench", tuple(plain(words) for words in view.remarks))


def setting_sections(view: TightenView) -> Iterator[Section]:
    """What to set the wrench to and how that comes about, and the bolts in their order."""
    yield from _setting(view)
    heading = f"Order, {view.count}{f'. {view.boxes}' if view.boxes else ''}"
    drawn = bolt_drawing(view.bolts, view.pattern, width=TRAY_DRAWING, height=TRAY_DRAWING * 0.52, bores=view.bores)
    yield Section(heading, (), drawing=drawn)


def _setting(view: TightenView) -> Iterator[Section]:
    wrench = view.wrench
    if wrench is not None and wrench.trouble:
        yield Section("Set the wrench to", (Item((Run(wrench.trouble, "stop"),)),))
    elif wrench is not None and (wrench.wrench or wrench.adapter_text):
        yield Section("Set the wrench to", (plain(wrench.set_text),), px=SETTING_PX)
        shown = (
            wrench_drawing(wrench.lever_text, wrench.adapter_text, wrench.adapter_deg) if wrench.adapter_text else None
        )
        words = [wrench.wrench, wrench.sum_text]
        words += [f"gives {wrench.at_bolt_text} at the bolt"] if wrench.adapter_text else []
        yield Section("", tuple(plain(word) for word in words if word), drawing=shown)
