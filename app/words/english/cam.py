"""What is typed of a cam, by name."""

NAMES = {
    "ivo": "intake opens",
    "ivc": "intake closes",
    "evo": "exhaust opens",
    "evc": "exhaust closes",
    "lift": "read at a lift of",
    "margin": "margin",
    "pitch": "screw pitch",
    "ratio": "rocker ratio",
}
TABLES: dict[type, dict[object, str]] = {}
