"""The pages beside the sheet."""

from app.desk.registry import Menu, MenuRow, Needs, PageKind

_LISTS = "app.desk.pages.lists"

PAGES = (
    PageKind(
        "new", "app.desk.pages.new_build:make_page", Needs.WORKSHOP, (MenuRow(Menu.BUILD, 10, "New build …", "Ctrl+N"),)
    ),
    PageKind("builds", f"{_LISTS}:make_builds", Needs.WORKSHOP, (MenuRow(Menu.BUILD, 11, "Builds", "Ctrl+B"),)),
    PageKind("print", "app.desk.pages.print_page:make_page", rows=(MenuRow(Menu.BUILD, 20, "Print …", "Ctrl+P"),)),
    PageKind("ends", f"{_LISTS}:make_ends", rows=(MenuRow(Menu.SHEET, 10, "Loose ends", "Ctrl+E"),)),
    PageKind("ready", f"{_LISTS}:make_ready", rows=(MenuRow(Menu.SHEET, 11, "Ready now", "Ctrl+R"),)),
    PageKind("log", "app.desk.pages.log_page:make_page", rows=(MenuRow(Menu.SHEET, 12, "Logbook", "Ctrl+J"),)),
    PageKind("sums", "app.desk.pages.sums_page:make_page", Needs.NOTHING, (MenuRow(Menu.SHEET, 13, "Sums", "Ctrl+T"),)),
    PageKind("gate", "app.desk.pages.gate_page:make_page"),
    PageKind(
        "help",
        "app.desk.pages.help_page:make_page",
        Needs.NOTHING,
        (MenuRow(Menu.HELP, 10, "Help", "F1"), MenuRow(Menu.HELP, 11, "Keys", "Ctrl+?")),
    ),
)
