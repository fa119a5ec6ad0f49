"""How a figure is meant: under which conditions it was given, and whether a reading may be judged by it.

What nobody has said is unknown, and unknown is a value like any other: it is never taken for what is usual.
"""

from enum import Enum

from msgspec import Struct


class Heat(Enum):
    """How warm the engine is; `AT` where a temperature is named."""

    UNKNOWN = "unknown"
    COLD = "cold"
    HOT = "hot"
    AT = "at a temperature"


class Threads(Enum):
    """What is on the threads when a bolt is tightened."""

    UNKNOWN = "unknown"
    DRY = "dry"
    OILED = "oiled"
    COMPOUND = "with a compound"


class Method(Enum):
    """How a figure is to be measured."""

    UNKNOWN = "unknown"
    PLASTIC = "gauging plastic"
    PLASTIC_DRY = "gauging plastic, dry"
    PLASTIC_OILED = "gauging plastic, oiled"
    DIFFERENCE = "by difference"
    FEELER = "with a feeler gauge"


class Tier(Enum):
    """Whether a figure is for a new part or the limit of a worn one."""

    UNKNOWN = "unknown"
    NEW = "new part"
    WORN = "worn limit"


class Reference(Enum):
    """What a figure is counted from, or which of several sizes it is."""

    UNKNOWN = "unknown"
    BTDC = "before top dead centre"
    ATDC = "after top dead centre"
    BBDC = "before bottom dead centre"
    ABDC = "after bottom dead centre"
    TIR = "total indicator reading"
    RA = "roughness Ra"
    DIAMETER = "diameter"


class Band(Struct, frozen=True):
    """From low to high, both alike where one value is meant; °C or rpm as its holder says."""

    low: float
    high: float

    def meets(self, other: "Band", spare: float = 0.0) -> bool:
        """Whether all of the other lies within this, give or take `spare` (same unit)."""
        return self.low - spare <= other.low and other.high <= self.high + spare


class Conditions(Struct, frozen=True):
    """How a figure is meant, or how a reading was taken.

    `at_c` in °C goes with Heat.AT and `lubricant` names what is on the threads ("" unknown); `speed_rpm` and
    `height_mm` (a spring's length under load) are None where nobody said.
    """

    heat: Heat = Heat.UNKNOWN
    at_c: Band | None = None
    threads: Threads = Threads.UNKNOWN
    lubricant: str = ""
    speed_rpm: Band | None = None
    method: Method = Method.UNKNOWN
    tier: Tier = Tier.UNKNOWN
    reference: Reference = Reference.UNKNOWN
    height_mm: float | None = None


UNSAID = Conditions()


class Aspect(Enum):
    """One condition of a figure."""

    HEAT = "heat"
    THREADS = "threads"
    SPEED = "speed"
    METHOD = "method"
    TIER = "tier"
    REFERENCE = "reference"
    HEIGHT = "height"


class Difference(Struct, frozen=True):
    """A condition two figures do not share; `unknown` where one of them does not say."""

    aspect: Aspect
    unknown: bool


class Answer(Enum):
    """Whether a reading may be judged by a figure."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class Applies(Struct, frozen=True):
    """Whether a reading may be judged by a figure, and the conditions in which it may not or nobody can tell."""

    answer: Answer
    because: tuple[Aspect, ...] = ()


# Two temperatures this near are one (common practice: a workshop is warm to within a few degrees).
SAME_C = 5.0
# What the words mean in °C (common practice: cold is soaked at workshop temperature, hot is a thermostat's range).
COLD_C = Band(10.0, 35.0)
HOT_C = Band(70.0, 110.0)
# A spring's height is set to a tenth of a millimetre at best (common practice).
_SAME_MM = 0.1
_SAME_SHARE = 1e-6


def differ(a: Conditions, b: Conditions) -> tuple[Difference, ...]:
    """In which conditions two figures differ; where they do the figures disagree, whatever their numbers.

    One that says and one that does not differ too, marked as unknown.
    """
    return tuple(
        Difference(aspect, unknown=_unsaid(a, aspect) or _unsaid(b, aspect))
        for aspect in Aspect
        if _part(a, aspect) != _part(b, aspect) and not _same(a, b, aspect)
    )


def applies(figure: Conditions, reading: Conditions) -> Applies:
    """Whether a reading taken under its conditions may be judged by a figure given under others.

    What the figure does not ask for never stands in the way. What it asks for and the reading does not say leaves it
    unknown, save for the tier: a part that nobody calls worn or new is judged by either. No errors.
    """
    wrong: list[Aspect] = []
    open_: list[Aspect] = []
    for aspect in Aspect:
        if _unsaid(figure, aspect):
            continue
        if _unsaid(reading, aspect):
            if aspect is not Aspect.TIER:
                open_.append(aspect)
        elif not _serves(figure, reading, aspect):
            wrong.append(aspect)
    if wrong:
        return Applies(Answer.NO, tuple(wrong))
    return Applies(Answer.UNKNOWN, tuple(open_)) if open_ else Applies(Answer.YES)


def said(conditions: Conditions) -> tuple[Aspect, ...]:
    """The conditions that are said, in the order of `Aspect`."""
    return tuple(aspect for aspect in Aspect if not _unsaid(conditions, aspect))


def completed(own: Conditions, other: Conditions) -> Conditions:
    """The conditions with what they do not say taken from the other ones."""
    found = own
    for aspect in said(other):
        if _unsaid(own, aspect):
            found = merged(found, _only(other, aspect))
    return found


def _only(conditions: Conditions, aspect: Aspect) -> Conditions:
    match aspect:
        case Aspect.HEAT:
            return Conditions(heat=conditions.heat, at_c=conditions.at_c)
        case Aspect.THREADS:
            return Conditions(threads=conditions.threads, lubricant=conditions.lubricant)
        case Aspect.SPEED:
            return Conditions(speed_rpm=conditions.speed_rpm)
        case Aspect.METHOD:
            return Conditions(method=conditions.method)
        case Aspect.TIER:
            return Conditions(tier=conditions.tier)
        case Aspect.REFERENCE:
            return Conditions(reference=conditions.reference)
        case Aspect.HEIGHT:
            return Conditions(height_mm=conditions.height_mm)


def merged(a: Conditions, b: Conditions) -> Conditions:
    """Both together, where they say different things of no condition; raises ValueError naming the first they do."""
    for aspect in said(b):
        if not _unsaid(a, aspect) and _part(a, aspect) != _part(b, aspect):
            raise ValueError(aspect.value)
    return Conditions(
        heat=b.heat if a.heat is Heat.UNKNOWN else a.heat,
        at_c=a.at_c or b.at_c,
        threads=b.threads if a.threads is Threads.UNKNOWN else a.threads,
        lubricant=a.lubricant or b.lubricant,
        speed_rpm=a.speed_rpm or b.speed_rpm,
        method=b.method if a.method is Method.UNKNOWN else a.method,
        tier=b.tier if a.tier is Tier.UNKNOWN else a.tier,
        reference=b.reference if a.reference is Reference.UNKNOWN else a.reference,
        height_mm=b.height_mm if a.height_mm is None else a.height_mm,
    )


def _part(conditions: Conditions, aspect: Aspect) -> object:
    match aspect:
        case Aspect.HEAT:
            return conditions.heat, conditions.at_c
        case Aspect.THREADS:
            return conditions.threads, conditions.lubricant.casefold()
        case Aspect.SPEED:
            return conditions.speed_rpm
        case Aspect.METHOD:
            return conditions.method
        case Aspect.TIER:
            return conditions.tier
        case Aspect.REFERENCE:
            return conditions.reference
        case Aspect.HEIGHT:
            return conditions.height_mm


def _unsaid(conditions: Conditions, aspect: Aspect) -> bool:
    return _part(conditions, aspect) == _part(UNSAID, aspect)


def _same(a: Conditions, b: Conditions, aspect: Aspect) -> bool:
    """Whether two conditions that are written otherwise still are one: 20 °C and 22 °C, 1000 rpm from two scales."""
    if aspect is Aspect.HEAT and a.at_c is not None and b.at_c is not None:
        return abs(a.at_c.low - b.at_c.low) <= SAME_C and abs(a.at_c.high - b.at_c.high) <= SAME_C
    if aspect is Aspect.SPEED and a.speed_rpm is not None and b.speed_rpm is not None:
        spare = _SAME_SHARE * a.speed_rpm.high
        return a.speed_rpm.meets(b.speed_rpm, spare) and b.speed_rpm.meets(a.speed_rpm, spare)
    if aspect is Aspect.HEIGHT and a.height_mm is not None and b.height_mm is not None:
        return abs(a.height_mm - b.height_mm) <= _SAME_MM
    return False


def _serves(figure: Conditions, reading: Conditions, aspect: Aspect) -> bool:
    if _part(figure, aspect) == _part(reading, aspect) or _same(figure, reading, aspect):
        return True
    if aspect is Aspect.HEAT:
        wanted, there = _warmth(figure), _warmth(reading)
        return wanted.meets(there, SAME_C if figure.heat is Heat.AT else 0.0)
    if aspect is Aspect.SPEED and figure.speed_rpm is not None and reading.speed_rpm is not None:
        # An engine is held to a speed by hand, to within a few parts in a hundred (common practice)
        return figure.speed_rpm.meets(reading.speed_rpm, 0.05 * figure.speed_rpm.high)
    if aspect is Aspect.THREADS:
        # A figure that names no lubricant takes any of its kind
        return figure.threads is reading.threads and not figure.lubricant
    return aspect is Aspect.METHOD and figure.method is Method.PLASTIC and reading.method in _PLASTICS


_PLASTICS = {Method.PLASTIC, Method.PLASTIC_DRY, Method.PLASTIC_OILED}


def _warmth(conditions: Conditions) -> Band:
    if conditions.at_c is not None:
        return conditions.at_c
    return COLD_C if conditions.heat is Heat.COLD else HOT_C
