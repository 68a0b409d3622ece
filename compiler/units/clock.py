"""Times as people say them."""


def clock(seconds: float) -> str:
    """A time as people say it: `45 s`, `3 min 05 s`, `1 h 02 min`."""
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60:02d} s"
    return f"{whole // 3600} h {whole % 3600 // 60:02d} min"
