"""The sums the trade does on the back of a box, each defined once for the window and the command line."""

from app.sheet.sums.degree import DEGREE
from app.sheet.sums.gap import GAP
from app.sheet.sums.joint import JOINT
from app.sheet.sums.match import MATCH
from app.sheet.sums.oil import OIL
from app.sheet.sums.pattern import PATTERN
from app.sheet.sums.piston import PISTON
from app.sheet.sums.plug import PLUG
from app.sheet.sums.pressures import PRESSURES
from app.sheet.sums.ratio import RATIO
from app.sheet.sums.shells import SHELLS
from app.sheet.sums.shim import SHIM
from app.sheet.sums.stretch import STRETCH
from app.sheet.sums.sum import Sum
from app.sheet.sums.threads import THREADS
from app.sheet.sums.unit import UNIT
from app.sheet.sums.valves import VALVES
from app.sheet.sums.verdict import VERDICT
from app.sheet.sums.wrench import WRENCH

SUMS: tuple[Sum, ...] = (
    WRENCH,
    THREADS,
    JOINT,
    STRETCH,
    PATTERN,
    VALVES,
    SHIM,
    RATIO,
    PISTON,
    DEGREE,
    GAP,
    MATCH,
    SHELLS,
    PLUG,
    PRESSURES,
    OIL,
    VERDICT,
    UNIT,
)
