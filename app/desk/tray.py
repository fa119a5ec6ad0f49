"""The tray: what belongs to the line in hand. Read, selected, and pressed where a part or another line stands."""

from html import escape

from PySide6.QtCore import QUrl, Signal
from PySide6.QtWidgets import QTextBrowser, QWidget

from app.desk.theme import Theme
from app.sheet.tokens import FONT_FAMILY
from app.sheet.tray import Item, Section


class Tray(QTextBrowser):
    """Sections of words; all text is escaped on its way in."""

    part_wanted = Signal(str)
    line_wanted = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._shown: tuple[str, tuple[Section, ...]] = ("", ())
        self.setAccessibleName("Tray")
        self.setOpenLinks(False)
        self.document().setDocumentMargin(14)
        self.anchorClicked.connect(self._pressed)
        theme.changed.connect(self._draw)

    def show_sections(self, number: str, sections: tuple[Section, ...]) -> None:
        """Show the tray of a line."""
        if (number, sections) != self._shown:
            self._shown = (number, sections)
            self._draw()

    def _draw(self) -> None:
        number, sections = self._shown
        times = self._theme.times
        body = "".join(self._section(section) for section in sections)
        head = f"Tray for <b>{escape(number)}</b>" if number else "Tray"
        colour = self._theme.tokens.text
        self.setHtml(
            f"<div style='font-family:\"{FONT_FAMILY}\"; font-size:{round(16 * times)}px; color:{colour}'>"
            f"<p style='font-size:{round(19 * times)}px; margin:0 0 {round(6 * times)}px 0'>{head}</p>{body}</div>"
        )

    def _section(self, section: Section) -> str:
        times, tokens = self._theme.times, self._theme.tokens
        size = round((34 if section.big else 16) * times)
        weight = 700 if section.big else 400
        items = "".join(
            f"<p style='margin:0 0 {round(3 * times)}px 0; font-size:{size}px; font-weight:{weight}'>"
            f"{self._item(item)}</p>"
            for item in section.items
        )
        return (
            f"<hr style='background-color:{tokens.rule}; height:1px'/>"
            f"<p style='margin:0 0 {round(3 * times)}px 0; color:{tokens.quiet}; font-size:{round(15 * times)}px'>"
            f"{escape(section.heading)}</p>{items}"
        )

    def _item(self, item: Item) -> str:
        words = "".join(
            f"<span style='color:{self._theme.tokens.colour(run.ink)}; font-weight:{700 if run.bold else 'inherit'}'>"
            f"{escape(run.text)}</span>"
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
