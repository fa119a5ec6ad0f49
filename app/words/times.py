"""Times as a person reads them: in the computer's own zone, and short."""

from datetime import date, datetime


def moment(at: datetime) -> str:
    """A moment, “Thu 27 Nov 19:30”."""
    return f"{at.astimezone():%a %d %b %H:%M}"


def moment_of_year(at: datetime) -> str:
    """A moment that may lie in another year, “Thu 27 Nov 2025 19:30”."""
    return f"{at.astimezone():%a %d %b %Y %H:%M}"


def day(at: datetime | date) -> str:
    """A day, “27 Nov 2025”."""
    return f"{at.astimezone() if isinstance(at, datetime) else at:%d %b %Y}"


def clock(at: datetime) -> str:
    """A day and a time, “27 Nov 2025 19:30”."""
    return f"{at.astimezone():%d %b %Y %H:%M}"


def in_words(text: str) -> str:
    """A time that `time_text` wrote, as a person reads it: with its year where that is not the year it is."""
    at = datetime.fromisoformat(text).astimezone()
    return moment(at) if at.year == datetime.now().year else moment_of_year(at)


def time_text(at: datetime | None) -> str | None:
    """A time as it is written out: ISO 8601 to the second, in this computer's zone; None stays None."""
    return at.astimezone().isoformat(timespec="seconds") if at is not None else None
