"""How a figure is meant, or a reading was taken, in words."""

from app.trade.conditions import Band, Conditions, Heat, Method, Reference, Threads, Tier


def conditions_words(conditions: Conditions) -> list[str]:
    """Each condition that is said, in a few words: “hot, at 80 °C”, “threads oiled”, “at 2000 rpm”."""
    found = []
    if conditions.heat in (Heat.COLD, Heat.HOT):
        found.append(conditions.heat.value)
    if conditions.at_c is not None:
        found.append(f"at {_band(conditions.at_c)} °C")
    if conditions.threads is not Threads.UNKNOWN:
        found.append(_threads(conditions))
    if conditions.speed_rpm is not None:
        found.append(f"at {_band(conditions.speed_rpm)} rpm")
    for one, unknown in (
        (conditions.method, Method.UNKNOWN),
        (conditions.tier, Tier.UNKNOWN),
        (conditions.reference, Reference.UNKNOWN),
    ):
        found += [one.value] if one is not unknown else []
    if conditions.height_mm is not None:
        found.append(f"at {conditions.height_mm:g} mm")
    return found


def _threads(conditions: Conditions) -> str:
    if conditions.threads is Threads.COMPOUND:
        return f"threads with {conditions.lubricant or 'a compound'}"
    return f"threads {conditions.threads.value}{f' ({conditions.lubricant})' if conditions.lubricant else ''}"


def _band(band: Band) -> str:
    return f"{band.low:.4g}" if band.low == band.high else f"{band.low:.4g} to {band.high:.4g}"
