"""The foot row: what is saved, what was done last, the ways to the other pages, messages, and the clock."""

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QProgressBar, QPushButton, QSizePolicy, QWidget

from app.desk.theme import Theme, font
from app.desk.work import Work, clock

# What a row of the narrowest window holds beside the buttons.
MOST_LAST = 60


class Foot(QFrame):
    """One row at the bottom. Messages stay until the next one; nothing pops up."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._trouble = False
        self.saved = QLabel(self)
        self.message = QLabel(self)
        self.message.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.message.setWordWrap(True)
        self.message.setAccessibleName("Message")
        self.undo = self._button("Undo")
        self.ends = self._button("Loose ends")
        self.ready = self._button("Ready now")
        self.bar = QProgressBar(self)
        self.bar.setTextVisible(False)
        self.bar.setFixedWidth(120)
        self.bar.setAccessibleName("Progress")
        self.bar.hide()
        self.cancel = self._button("Cancel")
        self.cancel.hide()
        self._clock = QLabel(self)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(14, 2, 14, 2)
        layout.setSpacing(8)
        layout.addWidget(self.saved)
        layout.addWidget(self.message, 1)
        for widget in (self.bar, self.cancel, self.undo, self.ends, self.ready, self._clock):
            layout.addWidget(widget)
        self._timer = QTimer(self)
        self._timer.setInterval(5_000)
        self._timer.timeout.connect(self._tick)
        self._timer.start()
        theme.changed.connect(self._restyle)
        self._restyle()
        self._tick()

    def _button(self, text: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setProperty("foot", True)
        return button

    def show_counts(self, ends: int, ready: int) -> None:
        """Show how much is open and ready; the keys are told where there is room for them."""
        room = self._theme.times < 1.2
        self.undo.setText("Undo  Ctrl+Z" if room else "Undo")
        self.ends.setText(f"Loose ends {ends}{'  Ctrl+E' if room else ''}")
        self.ready.setText(f"Ready now {ready}{'  Ctrl+R' if room else ''}")

    def show_work(self, work: Work) -> None:
        """Show what is saved, what undo would take back, and how much is open and ready."""
        self.saved.setText(f"Saved {work.saved_at:%H:%M}" if work.saved_at else "Saved")
        self.show_counts(len(work.ends), sum(work.survey.ready(line) for line in work.build.lines))
        self.undo.setToolTip(work.undo_words)
        self.undo.setEnabled(bool(work.undo_words))

    def show_progress(self, done: int, of: int) -> None:
        """Show how far a job is, with a way to stop it."""
        self.bar.setMaximum(of)
        self.bar.setValue(done)
        self.bar.show()
        self.cancel.show()

    def job_over(self) -> None:
        """Take the progress away."""
        self.bar.hide()
        self.cancel.hide()

    def fail(self, error: BaseException) -> None:
        """Say why a job came to nothing."""
        self.job_over()
        self.say(str(error) or type(error).__name__, trouble=True)

    def say_last(self, words: str) -> None:
        """Say what was done last; of very long words the beginning, they stand whole where they were written."""
        self.say(f"Last: {words}" if len(words) <= MOST_LAST else f"Last: {words[: MOST_LAST - 1].rstrip()}…")

    def say(self, words: str, *, trouble: bool = False) -> None:
        """Put a message into the row, which grows with it."""
        self._trouble = trouble
        self.message.setText(words)
        self._show_message()
        self._tick()

    def hush(self) -> None:
        """Take a refusal away once the hand has moved on."""
        if self._trouble:
            self.say("")

    def _restyle(self) -> None:
        tokens = self._theme.tokens
        self.setStyleSheet(
            f"{self._theme.style}\nFoot {{ background: {tokens.bench}; border-top: 2px solid {tokens.text}; }}"
        )
        self._show_message()

    def _show_message(self) -> None:
        tokens, times = self._theme.tokens, self._theme.times
        self.message.setFont(font(15 * times, 700 if self._trouble else 400))
        style = f"color: {tokens.stop if self._trouble else tokens.text}"
        if style != self.message.styleSheet():
            self.message.setStyleSheet(style)

    def _tick(self) -> None:
        self._clock.setText(f"{clock():%H:%M}")
