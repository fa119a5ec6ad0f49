"""What an action comes to: the entries it makes, or a refusal in one sentence. Pure: nothing is changed here."""

from collections.abc import Iterable, Mapping
from functools import singledispatch
from importlib import import_module
from itertools import chain
from typing import Any, cast

from app.assembly.build import Build
from app.assembly.said.actions import Action, MarkLine
from app.assembly.said.deeds import Deed
from app.assembly.said.joints import JointSaid
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey

MAX_TEXT = 2000


def decide(build: Build, action: Action) -> Deed:
    """Say what the action comes to, judged at the action's own time; raise `Refused` if it may not be."""
    check_words(action)
    return come_to(action, Survey(build, action.at))


def come_to(action: Action, survey: Survey) -> Deed:
    """What an action comes to, by the module of deeds that its class names: only what is wanted is loaded."""
    import_module(f"{__package__}.{action.decided_in}")
    return decided(action, survey)


def warm_up() -> None:
    """Load what the first mark wants."""
    import_module(f"{__package__}.{MarkLine.decided_in}")


@singledispatch
def decided(action: object, _survey: Survey) -> Deed:
    """What an action comes to; each kind of action registers its own answer."""
    raise TypeError(f"no such action: {action!r}")


def check_words(action: Action) -> None:
    if not action.by.strip():
        raise Refused(phrase(RefusalKind.INITIALS_NEEDED))
    if len(action.by) > 20 or not action.by.isprintable():
        raise Refused(phrase(RefusalKind.NO_INITIALS, text=action.by[:20]))
    if action.at.tzinfo is None:
        raise ValueError("an action's time carries its time zone")
    for text in chain(*(_texts(getattr(action, name)) for name in cast(Any, action).__struct_fields__)):
        if len(text) > MAX_TEXT:
            raise Refused(phrase(RefusalKind.TEXT_TOO_LONG, letters=len(text), most=MAX_TEXT))
        if not _sound(text):
            raise Refused(phrase(RefusalKind.TEXT_UNSOUND))


def _sound(text: str) -> bool:
    """Whether every sign can be stored: what a terminal could not decode arrives as half a letter."""
    try:
        return 0 not in text.encode()
    except UnicodeEncodeError:
        return False


def _texts(value: object) -> Iterable[str]:
    """The texts in one field of an action; times, numbers and states have none."""
    value = value.typed if isinstance(value, JointSaid) else value
    many = value.values() if isinstance(value, Mapping) else value if isinstance(value, tuple) else (value,)
    return (text for text in many if isinstance(text, str))
