"""The trade's notation: reading what people type for a figure, and writing it back as the trade does."""

from app.trade.notation.reading import (
    read_conditions,
    read_figure,
    read_limits,
    read_programme,
    read_quantity,
    read_span,
    read_spec,
    read_torque_turn,
)
from app.trade.notation.refusal import LONGEST, Ambiguous, NotationError
from app.trade.notation.stages import is_programme, write_programme, write_step
from app.trade.notation.words import Labelled, split_labelled
from app.trade.notation.writing import (
    difference,
    in_system,
    second,
    write_figure,
    write_limits,
    write_magnitude,
    write_quantity,
    write_spec,
    write_turn,
)

__all__ = [
    "LONGEST",
    "Ambiguous",
    "Labelled",
    "NotationError",
    "difference",
    "in_system",
    "is_programme",
    "read_conditions",
    "read_figure",
    "read_limits",
    "read_programme",
    "read_quantity",
    "read_span",
    "read_spec",
    "read_torque_turn",
    "second",
    "split_labelled",
    "write_figure",
    "write_limits",
    "write_magnitude",
    "write_programme",
    "write_quantity",
    "write_spec",
    "write_step",
    "write_turn",
]
