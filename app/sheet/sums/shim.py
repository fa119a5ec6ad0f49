"""Which shim goes under which valve in the whole engine, from what is there and what can be bought."""

from collections import Counter
from collections.abc import Iterator

from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.reading import in_range, read_lines, valve_name
from app.sheet.sums.shown import both_mm, formula, number, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.lash import BUY, SPARE, Condition, LashSpec, ShimChoice, ValveShim, choose_shims, stock_sizes_mm
from app.trade.notation import read_quantity
from app.trade.quantity import Kind
from app.trade.tables import Known

MOST_VALVES = 48
MOST_SIZES = 300
ASKS = (
    Ask("valves", "Valve, shim in it, lash", "I1 2.50 0.15; E1 2.55 0.20", long=True),
    Ask("intake", "Intake lash wanted", "0.15 to 0.20 mm"),
    Ask("exhaust", "Exhaust lash wanted", "0.20 to 0.25 mm"),
    Ask("condition", "Engine", choices=tuple(one.value for one in Condition), default=Condition.COLD.value),
    Ask("spares", "Own spare shims", "2.45; 2.50; 2.50", optional=True),
    Ask("stock", "Shims to be had", "2.00 to 3.00 by 0.05", optional=True),
)
_RULE = formula("New shim: old + measured − wanted", "shim chart and a three-cylinder engine manual p. 45", Known.READ)
_LOOSE = formula("Fewest to buy, then nearest the wanted, rather loose than tight", "two manuals choose so", Known.READ)


def work(typed: Typed, _shelf: Shelf) -> Answer:
    """Each valve's new shim, where it is from, the lash that gives, and what is to be bought."""
    condition = Condition(typed.text("condition"))
    specs = {side: _spec(typed, key, condition) for side, key in (("in", "intake"), ("ex", "exhaust"))}
    valves = typed.of("valves", lambda text: _valves(text, specs, typed.decimal))
    spares = typed.lengths_mm("spares", most=20.0)
    if len(spares) > MOST_SIZES:
        raise typed.fault("spares", f"that is over {MOST_SIZES} shims.")
    stock = typed.of("stock", lambda text: _stock(text, typed.decimal)) if typed.text("stock") else ()
    chosen = typed.of("stock" if stock else "spares", lambda _: choose_shims(valves, spares, stock))
    bought = Counter(one.shim_mm for one in chosen if one.source == BUY)
    to_buy = ", ".join(f"{count} × {_mm(size)}" for size, count in sorted(bought.items()))
    sources = [_RULE, _LOOSE]
    sections = (
        section("To buy", to_buy or "nothing", px=FIGURE_PX),
        *_rows(valves, chosen),
        section(
            "Before you trust it",
            f"The lash is {condition.value} lash: turn the engine over twice and measure all again.",
        ),
        sources_section(sources),
    )
    values = {
        "valves": [
            {"valve": one.valve, "shim_mm": one.shim_mm, "source": one.source, "lash_mm": one.lash_mm} for one in chosen
        ],
        "buy_mm": sorted(bought.elements()),
        "sources": sources,
    }
    return Answer(sections, values)


def _spec(typed: Typed, key: str, condition: Condition) -> LashSpec:
    band = typed.limits(key, Kind.LENGTH, "mm")
    if band.low is None or band.high is None:
        raise typed.fault(key, "give both its ends, such as 0.15 to 0.20 mm.")
    low, high = band.low, band.high
    target = band.target if band.target is not None else (low + high) / 2
    return typed.of(key, lambda _: LashSpec(low, target, high, condition))


def _valves(text: str, specs: dict[str, LashSpec], decimal: str) -> tuple[ValveShim, ...]:
    rows = [_valve(row, specs, decimal) for row in read_lines(text)]
    if not 1 <= len(rows) <= MOST_VALVES:
        raise ValueError(f"give 1 to {MOST_VALVES} valves, not {len(rows)}.")
    twice = [name for name, count in Counter(row.valve for row in rows).items() if count > 1]
    if twice:
        raise ValueError(f"{twice[0]} stands there more than once; give each valve one row.")
    return tuple(rows)


def _valve(row: str, specs: dict[str, LashSpec], decimal: str) -> ValveShim:
    words = row.split()
    if len(words) != 3:
        raise ValueError(f"“{row[:40]}” is not a valve, its shim and its lash, such as I1 2.50 0.15.")
    name = valve_name(words[0])
    shim, lash = (_length(word, decimal, zero=place == 1) for place, word in enumerate(words[1:]))
    return ValveShim(name, shim, lash, specs[name[:2]])


def _length(text: str, decimal: str, *, zero: bool = False) -> float:
    found = read_quantity(text, Kind.LENGTH, unit="mm", decimal=decimal)
    in_range(found.magnitude, found.unit, 0.0, 20.0, over=not zero)
    return found.magnitude


def _stock(text: str, decimal: str) -> tuple[float, ...]:
    """Sizes in a list, or from one to another by steps."""
    ends, by, step = text.partition(" by ")
    low, to, high = ends.partition(" to ")
    if not (by and to):
        return tuple(_length(one, decimal) for one in read_lines(text.replace(", ", ";")))
    first, last, each = (_length(one.strip(), decimal) for one in (low, high, step))
    if (last - first) / each > MOST_SIZES:
        raise ValueError(f"that is over {MOST_SIZES} sizes; take larger steps.")
    return stock_sizes_mm(first, last, each)


def _rows(valves: tuple[ValveShim, ...], chosen: tuple[ShimChoice, ...]) -> Iterator[Section]:
    for side, heading in (("in", "Intake"), ("ex", "Exhaust")):
        pairs = [(old, new) for old, new in zip(valves, chosen, strict=True) if old.valve.startswith(side)]
        if pairs:
            yield section(f"{heading}, {_band(pairs[0][0].spec)}", *(_row(old, new) for old, new in pairs))


def _row(old: ValveShim, new: ShimChoice) -> str:
    if new.source == old.valve:
        return f"{old.valve}: keeps {_mm(new.shim_mm)}, lash {both_mm(new.lash_mm)}"
    source = {BUY: "bought", SPARE: "a spare"}.get(new.source, f"from {new.source}")
    return f"{old.valve}: {_mm(old.shim_mm)} out, {_mm(new.shim_mm)} in ({source}), lash {both_mm(new.lash_mm)}"


def _band(spec: LashSpec) -> str:
    return f"{number(spec.low_mm, 2)} to {number(spec.high_mm, 2)} mm {spec.condition.value}"


def _mm(size: float) -> str:
    return f"{size:.3f}".rstrip("0").ljust(4, "0") + " mm"


SHIM = Sum(
    id="shim",
    title="Valve shims",
    about="New shims for all valves at once, from those in it, your spares, and what can be had.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={
        "valves": "I1 2.50 0.10; I2 2.60 0.18; E1 2.45 0.30; E2 2.40 0.22",
        "intake": "0.15 to 0.20 mm",
        "exhaust": "0.20 to 0.25 mm",
        "spares": "2.50",
        "stock": "2.00 to 3.00 by 0.05",
    },
)
