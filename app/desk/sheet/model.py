"""The sheet's rows as a Qt model; cells are finished, nothing is worked out here."""

from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from app.sheet.rows import BlockRow, GateRow, LineRow, Row

Index = QModelIndex | QPersistentModelIndex


class SheetModel(QAbstractListModel):
    """One stage's rows."""

    RowRole = Qt.ItemDataRole.UserRole

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Row, ...] = ()

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows shown."""
        return self._rows

    def set_rows(self, rows: tuple[Row, ...]) -> None:
        """Show these rows; where they are the same lines as before, only what changed is drawn again."""
        if [key_of(row) for row in rows] != [key_of(row) for row in self._rows]:
            self.beginResetModel()
            self._rows = rows
            self.endResetModel()
            return
        old, self._rows = self._rows, rows
        for number, (before, after) in enumerate(zip(old, rows, strict=True)):
            if before != after:
                index = self.index(number)
                self.dataChanged.emit(index, index)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many rows; none below a row."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The row itself, or how it is said aloud."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == self.RowRole:
            return row
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return row.text if isinstance(row, BlockRow) else row.spoken
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Lines and gates can be chosen, block heads cannot."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        if isinstance(self._rows[index.row()], BlockRow):
            return Qt.ItemFlag.ItemNeverHasChildren
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemNeverHasChildren

    def row_of(self, key: str) -> int:
        """The row number of a line's step id or a gate's id, -1 if it is not here."""
        return next((number for number, row in enumerate(self._rows) if key_of(row) == key), -1)


def key_of(row: Row) -> str:
    """What tells a row from the others, through all changes of its content."""
    if isinstance(row, LineRow):
        return row.id
    return f"gate:{row.gate}" if isinstance(row, GateRow) else "block"
