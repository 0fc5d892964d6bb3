"""How a field refuses a value: the error that carries a finding's words through pydantic."""

from __future__ import annotations

from pydantic_core import PydanticCustomError


def refusal(code: str, message: str, expected: str = "", hint: str = "") -> PydanticCustomError:
    """The error that carries a finding's code, message, expectation and hint through pydantic."""
    return PydanticCustomError(
        code,
        "{message}",
        {"message": message, "expected": expected, "hint": hint},
    )


def shown(value: object) -> str:
    """A short picture of a wrong value for a message."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a map"
    if isinstance(value, list | tuple):
        return "a list"
    text = str(value)
    return text if len(text) <= 60 else text[:57] + "…"


def as_text(value: object, expected: str) -> str:
    """The text as written of any scalar; raises a refusal for a map, a list or nothing."""
    if isinstance(value, str):
        return str(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return f"{value}"
    what = "the value is empty" if value is None else f"{shown(value)} is written where one value is needed"
    raise refusal("value-missing" if value is None else "value-wrong-kind", what, expected)
