"""The tray: what belongs to the line in hand. Read, selected, and pressed where a part or another line stands."""

from html import escape

from PySide6.QtCore import QUrl, Signal
from PySide6.QtGui import QResizeEvent, QTextDocument
from PySide6.QtWidgets import QTextBrowser, QWidget

from app.desk.theme import Theme
from app.desk.widgets import draw
from app.sheet.draw.tokens import FONT_FAMILY
from app.sheet.sections import SETTING_PX, WORDS_PX, Item, Section


class Tray(QTextBrowser):
    """Sections of words; all text is escaped on its way in."""

    part_wanted = Signal(str)
    line_wanted = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._shown: tuple[str, str, tuple[Section, ...]] = ("Tray", "", ())
        self.setAccessibleName("Tray")
        self.setOpenLinks(False)
        self.document().setDocumentMargin(14)
        self.anchorClicked.connect(self._pressed)
        theme.changed.connect(self._draw)

    def show_sections(self, number: str, sections: tuple[Section, ...], head: str = "Tray for") -> None:
        """Show the sections that belong to a line; `head` is said before its number."""
        if (head, number, sections) != self._shown:
            self._shown = (head, number, sections)
            self._draw()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Drawings take the width there is."""
        super().resizeEvent(event)
        if any(section.drawing is not None for section in self._shown[2]):
            self._draw()

    def _draw(self) -> None:
        head, number, sections = self._shown
        times = self._theme.times
        body = "".join(self._section(n, section) for n, section in enumerate(sections))
        words = f"{escape(head)} <b>{escape(number)}</b>" if number else escape(head)
        colour = self._theme.tokens.text
        self.setHtml(
            f"<div style='font-family:\"{FONT_FAMILY}\"; font-size:{round(16 * times)}px; color:{colour}'>"
            f"<p style='font-size:{round(19 * times)}px; margin:0 0 {round(6 * times)}px 0'>{words}</p>{body}</div>"
        )

    def _section(self, number: int, section: Section) -> str:
        times, tokens = self._theme.times, self._theme.tokens
        size = round(section.px * times)
        weight = 700 if section.px > WORDS_PX else 400
        items = "".join(
            f"<p style='margin:0 0 {round(3 * times)}px 0; font-size:{size}px; font-weight:{weight}'>"
            f"{self._item(item, small=round(0.55 * size) if section.px == SETTING_PX else 0)}</p>"
            for item in section.items
        )
        heading = (
            f"<hr style='background-color:{tokens.rule}; height:1px'/>"
            f"<p style='margin:0 0 {round(3 * times)}px 0; color:{tokens.quiet}; font-size:{round(15 * times)}px'>"
            f"{escape(section.heading)}</p>"
        )
        return f"{heading if section.heading else ''}{self._drawing(number, section)}{items}"

    def _drawing(self, number: int, section: Section) -> str:
        if section.drawing is None:
            return ""
        margin = self.document().documentMargin()
        most = section.drawing.width * self._theme.times
        width = max(120.0, min(self.viewport().width() - 2 * margin - 2, most))
        image = draw.picture(self._theme, section.drawing, width, self.devicePixelRatioF())
        name = QUrl(f"drawing:{number}")
        self.document().addResource(QTextDocument.ResourceType.ImageResource, name, image)
        spoken = escape("; ".join(target.spoken for target in section.drawing.targets))
        return f"<p style='margin:4px 0'><img src='drawing:{number}' width='{round(width)}' alt='{spoken}'/></p>"

    def _item(self, item: Item, *, small: int = 0) -> str:
        words = "".join(
            f"<span style='color:{self._theme.tokens.colour(run.ink)}; font-weight:{700 if run.bold else 'inherit'}'>"
            f"{_figure(run.text, small)}</span>"
            for run in item.runs
        )
        if item.part:
            ink = self._theme.tokens.ink
            right = escape(item.right or "say where it is")
            return f"{words} <a href='part:{escape(item.part)}' style='color:{ink}'>{right}</a>"
        if item.line:
            return f"<a href='line:{escape(item.line)}' style='color:{self._theme.tokens.text}'>{words}</a>"
        return words

    def _pressed(self, url: QUrl) -> None:
        what, _, key = url.toString().partition(":")
        if what == "part":
            self.part_wanted.emit(key)
        else:
            self.line_wanted.emit(key)


def _figure(text: str, small: int) -> str:
    """Escaped words; the unit behind a figure that is read from afar is set smaller, so that both fit on one line."""
    number, space, unit = text.partition(" ")
    if not small or not space:
        return escape(text)
    return f"{escape(number)}&nbsp;<span style='font-size:{small}px'>{escape(unit)}</span>"
