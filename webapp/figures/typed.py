from .numbers import _NUMBER, _cleaned, _shortest, NumberProblem


def first_power(value: float) -> tuple[int, int]:
    """(power of ten, digit) of the first digit of a number that is not nought: 0.025 gives (-2, 2)."""
    figures, power = _shortest(value)
    return power + len(figures) - 1, int(figures[0])


def split_quantity(text: str) -> tuple[str, str]:
    """(number, unit) of a typed text, as typed; ('12.', '') and the like stay whole."""
    try:
        cleaned = _cleaned(text)
    except NumberProblem:
        return text, ""
    found = _NUMBER.match(cleaned)
    if not found:
        return text, ""
    return cleaned[: found.end()].strip(), cleaned[found.end() :].strip()
