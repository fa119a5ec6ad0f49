"""The pages of a line's places, as the part lies."""

from app.desk.registry import PageKind

PAGES = (
    PageKind("bolts", "app.desk.places.bolts_entry:make_page"),
    PageKind("grid", "app.desk.places.grid_entry:make_page"),
    PageKind("lash", "app.desk.places.lash_entry:make_page"),
)
