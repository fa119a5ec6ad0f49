"""One figure of the benchmarks: what was measured, against what, and how much it may be."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """`value` and `floor` in ms, or what `unit` says. With a floor the ratio is limited, else the value."""

    name: str
    value: float
    floor: float | None
    ratio: float | None
    limit: float
    unit: str = "ms"

    @property
    def ok(self) -> bool:
        """Whether it keeps to its limit."""
        return (self.value if self.ratio is None else self.ratio) <= self.limit

    def line(self) -> str:
        """The figure in a line."""
        verdict = "ok" if self.ok else "TOO SLOW"
        if self.ratio is None:
            return f"{self.name}: {self.value:.1f} {self.unit}, at most {self.limit:g} {self.unit}: {verdict}"
        measured = f"{self.value:.1f} ms, floor {self.floor:.1f} ms, {self.ratio:.2f} x"
        return f"{self.name}: {measured}, at most {self.limit:g} x: {verdict}"


def against(name: str, value: float, floor: float, limit: float) -> Figure:
    """A figure as a ratio to its floor."""
    return Figure(name, round(value, 2), round(floor, 2), round(value / floor, 3), limit)
