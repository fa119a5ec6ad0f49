"""The pages of what is kept beside the sheet."""

from app.desk.registry import Menu, MenuRow, PageKind

_TITLES = (
    ("findings", "Findings and decisions"),
    ("temporary", "Temporary things"),
    ("holes", "Holes, plugs and studs"),
    ("fasteners", "Tightenings"),
    ("tools", "Tools"),
    ("options", "Options"),
    ("events", "Events"),
    ("running", "Running since the first start"),
)
_MADE_IN = "app.desk.records.page:make_page"

PAGES = (
    *(
        PageKind(key, _MADE_IN, rows=(MenuRow(Menu.RECORDS, 20 + number, title),))
        for number, (key, title) in enumerate(_TITLES)
    ),
    PageKind("figures", _MADE_IN, rows=(MenuRow(Menu.LINE, 35, "Figures side by side …"),)),
)
