"""Screw threads: reading their names, their geometry, and the loads they carry.

Symbols of ISO 68-1 and ISO 724: d nominal diameter, P pitch, H height of the fundamental triangle, d2 pitch diameter,
d3 root diameter of the bolt, d1 minor diameter of the hole. Lengths are in mm, areas in mm², loads in N.
"""

import math
import re
from collections.abc import Iterable, Mapping
from enum import Enum

from msgspec import Struct

from app.trade.quantity import UNITS
from app.trade.tables import Series, Strength, Tables, ThreadSize

_SAME_PITCH = 1e-4


class Form(Enum):
    """The shape of a thread's flanks and roots, which its geometry hangs on."""

    METRIC = "metric"
    UNIFIED = "unified"
    WHITWORTH = "Whitworth"
    BA = "BA"
    PARALLEL_PIPE = "parallel pipe"
    TAPER_PIPE = "taper pipe"
    OWN = "own"


class Seal(Enum):
    """Where a plug or union on a thread seals."""

    ELSEWHERE = "not in the thread: under the head, on a washer or an O-ring"
    WASHER = "on a washer under its head: the thread is parallel and does not seal"
    THREAD = "in the thread, which is tapered: with sealant and no washer"


class Thread(Struct, frozen=True):
    """A thread: its name, nominal diameter and pitch in mm, its form, the angle between its flanks in degrees."""

    name: str
    diameter_mm: float
    pitch_mm: float
    form: Form
    flank_deg: float = 60.0
    left_hand: bool = False

    @property
    def unified(self) -> bool:
        """Whether it is of the unified (inch) system."""
        return self.form is Form.UNIFIED


# --- Reading

_FORMS: Mapping[Series, tuple[Form, float]] = {
    Series.COARSE: (Form.METRIC, 60.0),
    Series.FINE: (Form.METRIC, 60.0),
    Series.UNC: (Form.UNIFIED, 60.0),
    Series.UNF: (Form.UNIFIED, 60.0),
    Series.UNEF: (Form.UNIFIED, 60.0),
    Series.UNS: (Form.UNIFIED, 60.0),
    Series.BSW: (Form.WHITWORTH, 55.0),
    Series.BSF: (Form.WHITWORTH, 55.0),
    Series.BA: (Form.BA, 47.5),
    Series.NPT: (Form.TAPER_PIPE, 60.0),
    Series.G: (Form.PARALLEL_PIPE, 55.0),
    Series.R: (Form.TAPER_PIPE, 55.0),
}
_METRIC_SERIES = frozenset({Series.COARSE, Series.FINE})
_UNIFIED_SERIES = frozenset({Series.UNC, Series.UNF, Series.UNEF, Series.UNS})
# How people write a series: its own name, and names that were used before or elsewhere.
_SERIES_WORDS: Mapping[str, Series] = {
    **{series.value: series for series in Series if series not in _METRIC_SERIES},
    "NC": Series.UNC,
    "NF": Series.UNF,
    "NEF": Series.UNEF,
    "UNRC": Series.UNC,
    "UNRF": Series.UNF,
    "W": Series.BSW,
    "WHIT": Series.BSW,
    "WHITWORTH": Series.BSW,
    "NPTF": Series.NPT,
    "BSPP": Series.G,
    "BSPT": Series.R,
    # The hole of a taper pipe thread, tapered or parallel, takes the same plug.
    "RC": Series.R,
    "RP": Series.R,
}
_SIZE = r"(?P<size>\d+(?:\s+|-)\d+/\d+|\d+/\d+|\d+)"
_NUMBER = r"\d+(?:[.,]\d+)?"
_LEFT = r"(?:\s*[-–]?\s*(?P<left>LH))?"
_METRIC_CLASS = r"(?:\s*[-–]\s*\d[a-h](?:\d[a-h])?(?:\s*/\s*\d[a-h](?:\d[a-h])?)?)?"
_METRIC = re.compile(
    rf"M\s*(?P<diameter>{_NUMBER})(?:\s*[x×*–-]\s*(?P<pitch>{_NUMBER})(?:\s*mm)?)?{_METRIC_CLASS}{_LEFT}",
    re.IGNORECASE,
)
_INCH = re.compile(
    rf"(?P<gauge>#|No\.?\s*)?{_SIZE}\s*(?:in\b|\"|″)?\s*(?:[-–x×*]\s*(?P<count>{_NUMBER})(?:\s*tpi)?)?\s*"
    rf"(?P<series>UNR?C|UNR?F|UNE?F|UNS|NC|NE?F|BSW|BSF|WHIT(?:WORTH)?|W|NPTF?|BSPP|BSPT|BSP)?\.?"
    rf"(?:\s*[-–]?\s*[123][AB])?{_LEFT}",
    re.IGNORECASE,
)
_BA = re.compile(rf"(?:No\.?\s*)?(?P<size>\d+)\s*B\.?\s*A\.?{_LEFT}", re.IGNORECASE)
_PIPE = re.compile(
    rf"(?P<series>G|Rp|Rc|R)\s*{_SIZE}\s*(?:in\b|\"|″)?(?:\s*[-–x×]\s*(?P<count>{_NUMBER}))?(?:\s*[AB])?{_LEFT}",
    re.IGNORECASE,
)
_OWN = re.compile(
    rf"own\s+(?P<diameter>{_NUMBER})(?:\s*mm)?\s*[x×*]\s*(?P<pitch>{_NUMBER})(?:\s*mm)?"
    rf"(?:\s*,?\s*(?P<flank>{_NUMBER})\s*(?:°|deg))?{_LEFT}",
    re.IGNORECASE,
)
_LIKE = "write it such as M10x1.25, M10, 3/8-24, 1/4 UNC, 1/4 BSF, 2 BA, 1/8 NPT, G 1/4 or own 13.4x1.1 55°"
_PATTERNS = (_OWN, _METRIC, _BA, _PIPE, _INCH)
# Turns of thread in one diameter: every standard inch thread lies between, and a range such as 1/2-1 does not.
_LEAST_TURNS, _MOST_TURNS = 4.4, 42.0


def read_thread(text: str, tables: Tables) -> Thread:
    """Read a thread: “M10x1.25 - 6g”, “M10” (coarse), “3/8-24 UNF-3A”, “3/8 x 16”, “1/4 BSF”, “2 BA”, “G 1/4”.

    The tolerance class is passed over. An own thread is “own 13.4x1.1 55°”: diameter and pitch in mm, flank angle.
    Raises ValueError with a sentence, naming the pitches that exist where the one typed does not.
    """
    typed = text.strip()
    found = _found(typed)
    if found is None:
        raise ValueError(f"“{typed[:40]}” is not a thread: {_LIKE}.")
    pattern, match = found
    thread = _READERS[pattern](typed, match, tables)
    if match["left"] is None:
        return thread
    return Thread(f"{thread.name} LH", thread.diameter_mm, thread.pitch_mm, thread.form, thread.flank_deg, True)


def looks_like_thread(text: str) -> bool:
    """Whether a text can only be meant as a thread, such as “7/16-20” or “1/8 NPT” in a field for lengths.

    Goes by the shape of the text: “10-32” may be a range of lengths and is none, “#10-32” is one.
    """
    found = _found(text.strip())
    if found is None:
        return False
    pattern, match = found
    if pattern is not _INCH or match["series"] is not None:
        return True
    if match["count"] is None or ("/" not in match["size"] and match["gauge"] is None):
        return False
    turns = _inches(match["size"]) * _decimal(match["count"]) if match["gauge"] is None else _LEAST_TURNS
    return _LEAST_TURNS <= turns <= _MOST_TURNS


def form_named(name: str) -> tuple[Form, float]:
    """The form and flank angle in degrees that a thread's name says, whatever size it names.

    Raises ValueError for a text that is no thread's name.
    """
    found = _found(name.strip())
    if found is None:
        raise ValueError(f"“{name[:40]}” is not a thread: {_LIKE}.")
    pattern, match = found
    if pattern is _OWN:
        return Form.OWN, _decimal(match["flank"]) if match["flank"] else 60.0
    if pattern is _METRIC:
        return _FORMS[Series.COARSE]
    if pattern is _BA:
        return _FORMS[Series.BA]
    return _FORMS[_SERIES_WORDS.get((match["series"] or "UNC").upper(), Series.UNC)]


def own_thread(diameter_mm: float, pitch_mm: float, flank_deg: float = 60.0) -> Thread:
    """A thread that no table has, by diameter and pitch in mm and the angle between its flanks in degrees.

    Its depth is taken in the proportions of ISO 68-1. Raises ValueError for sizes that cannot be, or an angle outside
    20 to 100.
    """
    if not 20 <= flank_deg <= 100:
        raise ValueError(f"Flanks stand between 20° and 100° to each other, not {flank_deg:g}°: measure them again.")
    thread = Thread(f"own {diameter_mm:g}x{pitch_mm:g} {flank_deg:g}°", diameter_mm, pitch_mm, Form.OWN, flank_deg)
    if root_diameter_mm(thread) <= 0:
        raise ValueError(f"{thread.name} would have no core left: measure its pitch and flanks again.")
    return thread


def seal_of(thread: Thread) -> Seal:
    """Where a plug on this thread seals (ISO 7-1, ISO 228-1 and ASME B1.20.1, from memory)."""
    return {Form.TAPER_PIPE: Seal.THREAD, Form.PARALLEL_PIPE: Seal.WASHER}.get(thread.form, Seal.ELSEWHERE)


def _found(typed: str) -> tuple[re.Pattern[str], re.Match[str]] | None:
    matches = ((pattern, pattern.fullmatch(typed)) for pattern in _PATTERNS)
    return next(((pattern, match) for pattern, match in matches if match is not None), None)


def _decimal(text: str) -> float:
    return float(text.replace(",", "."))


def _inches(size: str) -> float:
    """A size such as 3/8 or 1 1/2 as a number."""
    whole = size.replace("-", " ").split()
    halves = [part.split("/") for part in whole]
    return sum(float(part[0]) / (float(part[1]) or math.inf) if len(part) == 2 else float(part[0]) for part in halves)


def _own(_typed: str, match: re.Match[str], _tables: Tables) -> Thread:
    flank = _decimal(match["flank"]) if match["flank"] else 60.0
    return own_thread(_decimal(match["diameter"]), _decimal(match["pitch"]), flank)


def _metric(typed: str, match: re.Match[str], tables: Tables) -> Thread:
    name = f"M{_decimal(match['diameter']):g}"
    sizes = _sizes(typed, [name], _METRIC_SERIES, tables)
    pitches = _listed(f"{size.pitch_mm:g}" for size in sizes)
    if match["pitch"] is None:
        for size in sizes:
            if size.series is Series.COARSE:
                return thread_of_size(size)
        raise ValueError(f"{name} has no coarse pitch: it comes with {pitches} mm, so write {name}x{pitches[:3]}.")
    pitch = _decimal(match["pitch"])
    for size in sizes:
        if abs(size.pitch_mm - pitch) < _SAME_PITCH:
            return thread_of_size(size)
    raise ValueError(f"No standard {name} has a pitch of {pitch:g} mm: it comes with {pitches} mm.")


def _ba(typed: str, match: re.Match[str], tables: Tables) -> Thread:
    return thread_of_size(_sizes(typed, [match["size"]], frozenset({Series.BA}), tables)[0])


def _inch(typed: str, match: re.Match[str], tables: Tables) -> Thread:
    word = (match["series"] or "").upper()
    size = " ".join(match["size"].replace("-", " ").split())
    if word == "BSP":
        raise ValueError(f"“{typed}” can be parallel or tapered: write G {size} or R {size}.")
    series = frozenset({_SERIES_WORDS[word]}) if word else _UNIFIED_SERIES
    gauge = match.groupdict().get("gauge")
    names = [f"#{size}"] if gauge else [size] if "/" in size or match.re is _PIPE else [f"#{size}", size]
    every = _sizes(typed, names, _UNIFIED_SERIES | series if series <= _UNIFIED_SERIES else series, tables)
    known = _listed(thread_of_size(one).name for one in every)
    if match["count"] is None and not word:
        raise ValueError(f"“{typed}” can be coarse or fine: write {known}.")
    count = match["count"]
    for one in every:
        if one.series in series and (count is None or abs(_per_inch(one.pitch_mm) - _decimal(count)) < 0.01):
            return thread_of_size(one)
    raise ValueError(f"“{typed}” is no standard thread: that size comes as {known}.")


_READERS = {_OWN: _own, _METRIC: _metric, _BA: _ba, _PIPE: _inch, _INCH: _inch}


def _sizes(typed: str, names: Iterable[str], series: frozenset[Series], tables: Tables) -> list[ThreadSize]:
    wanted = set(names)
    sizes = [size for size in tables.threads if size.name in wanted and size.series in series]
    if not sizes:
        raise ValueError(f"“{typed}” is not a size known here: {_LIKE}.")
    return sorted(sizes, key=lambda size: -size.pitch_mm)


def thread_of_size(size: ThreadSize) -> Thread:
    """The thread of a row of the table of sizes."""
    form, flank = _FORMS[size.series]
    return Thread(_name(size), size.diameter_mm, size.pitch_mm, form, flank)


def _name(size: ThreadSize) -> str:
    match size.series:
        case Series.COARSE:
            return size.name
        case Series.FINE:
            return f"{size.name}x{size.pitch_mm:g}"
        case Series.BA:
            return f"{size.name} BA"
        case Series.G | Series.R:
            return f"{size.series.value} {size.name}"
    return f"{size.name}-{_per_inch(size.pitch_mm):g} {size.series.value}"


def _per_inch(pitch_mm: float) -> float:
    return round(UNITS["in"].to_base(1) / pitch_mm, 2)


def _listed(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last


# --- Geometry


class _Depths(Struct, frozen=True):
    """How far below the nominal diameter a form's other diameters lie, for a pitch of 1."""

    pitch: float
    root: float
    minor: float
    stress: float


def _depths(thread: Thread) -> _Depths:
    match thread.form:
        case Form.WHITWORTH:
            return _Depths(0.640327, 1.280654, 1.280654, 0.960491)
        case Form.BA:
            return _Depths(0.6, 1.2, 1.2, 0.9)
        case Form.PARALLEL_PIPE | Form.TAPER_PIPE:
            raise ValueError(f"{thread.name} is a pipe thread: it seals, and no bolt load is worked out for it.")
    height = 1 / (2 * math.tan(math.radians(thread.flank_deg / 2)))
    stress = 9 / 8 if thread.form is Form.UNIFIED else 13 / 12
    return _Depths(3 / 4 * height, 17 / 12 * height, 5 / 4 * height, stress * height)


def triangle_height_mm(thread: Thread) -> float:
    """H = P / (2 tan(flank angle / 2)) in mm; 0.866025 P at 60° (ISO 68-1, from memory), 0.960491 P at 55° (BS 84)."""
    return checked(thread).pitch_mm / (2 * math.tan(math.radians(thread.flank_deg / 2)))


def flank_cosine(thread: Thread) -> float:
    """The cosine of half the angle between the flanks, by which friction on them counts for more."""
    return math.cos(math.radians(thread.flank_deg / 2))


def flank_tangent(thread: Thread) -> float:
    """The tangent of half the angle between the flanks: 1 / sqrt 3 at 60°."""
    return math.tan(math.radians(thread.flank_deg / 2))


def pitch_diameter_mm(thread: Thread) -> float:
    """d2 in mm: d - 0.649519 P (ISO 724, read); Whitworth d - 0.640327 P (BS 84), BA d - 0.6 P (BS 93, from memory).

    Raises ValueError for no real thread or a pipe thread.
    """
    return checked(thread).diameter_mm - _depths(thread).pitch * thread.pitch_mm


def root_diameter_mm(thread: Thread) -> float:
    """d3 in mm, the bolt's core at its rounded root: d - 1.226869 P (ISO 724 and ISO 898-1, read).

    Whitworth d - 1.280654 P (BS 84), BA d - 1.2 P (BS 93), both from memory. Errors as for the pitch diameter.
    """
    return checked(thread).diameter_mm - _depths(thread).root * thread.pitch_mm


def minor_diameter_mm(thread: Thread) -> float:
    """d1 in mm, the hole's smallest diameter: d - 1.082532 P (ISO 724, from memory); Whitworth and BA as their root."""
    return checked(thread).diameter_mm - _depths(thread).minor * thread.pitch_mm


def stress_diameter_mm(thread: Thread) -> float:
    """The diameter in mm of a round bar with the stress area of the thread.

    Metric (d2 + d3) / 2 = d - 0.938194 P (ISO 898-1, read); unified d - 0.974279 P (ASME B1.1, read in two bolt
    guides); Whitworth and BA the mean of pitch and root diameter too (BS 1083, from memory).
    """
    return checked(thread).diameter_mm - _depths(thread).stress * thread.pitch_mm


def stress_area_mm2(thread: Thread) -> float:
    """The tensile stress area in mm²: pi/4 times the stress diameter squared. Raises ValueError for no real thread."""
    return math.pi / 4 * stress_diameter_mm(thread) ** 2


def checked(thread: Thread) -> Thread:
    """The thread itself; raises ValueError where its pitch leaves no core."""
    if not (0 < thread.pitch_mm < thread.diameter_mm < math.inf) or 17 / 12 * thread.pitch_mm >= thread.diameter_mm:
        raise ValueError(
            f"{thread.name} cannot be {thread.diameter_mm:g} mm with a pitch of {thread.pitch_mm:g} mm: look both up."
        )
    return thread


# --- Loads


def tension_n(area_mm2: float, stress_mpa: float) -> float:
    """The force in N that puts a stress in MPa on an area in mm². Raises ValueError for an area or stress below 0."""
    if not (area_mm2 > 0 and stress_mpa >= 0 and math.isfinite(area_mm2 * stress_mpa)):
        raise ValueError(
            f"A force needs an area above 0 mm² and a stress from 0 MPa, not {area_mm2:g} and {stress_mpa:g}."
        )
    return area_mm2 * stress_mpa


def proof_load_n(thread: Thread, strength: Strength) -> float:
    """The proof load in N: stress area times proof stress.

    ISO 898-1 and SAE J429 print it rounded, up to 0.6 % and 0.9 % off (read in reproductions).
    Raises ValueError when the strength is for another size.
    """
    return tension_n(stress_area_mm2(thread), _of_size(thread, strength).proof_mpa)


def tensile_load_n(thread: Thread, strength: Strength) -> float:
    """The least breaking load in N: stress area times tensile strength. Errors and source as `proof_load_n`."""
    return tension_n(stress_area_mm2(thread), _of_size(thread, strength).tensile_mpa)


def yield_load_n(thread: Thread, strength: Strength) -> float:
    """The load in N at which the bolt begins to yield in plain tension. Errors and source as `proof_load_n`."""
    return tension_n(stress_area_mm2(thread), _of_size(thread, strength).yield_mpa)


def _of_size(thread: Thread, strength: Strength) -> Strength:
    if not strength.over_mm < thread.diameter_mm <= strength.to_mm:
        raise ValueError(
            f"{strength.name} in this row is for over {strength.over_mm:g} to {strength.to_mm:g} mm, "
            f"not for {thread.name}: take the row of its size."
        )
    return strength
