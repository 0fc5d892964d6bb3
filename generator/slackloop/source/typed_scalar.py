"""A plain scalar that YAML would turn into a number or a truth value, kept with its text as written."""

from __future__ import annotations


class TypedScalar(str):
    """The text as written; ``value`` is the number or truth value that it stands for."""

    value: int | float | bool

    def __new__(cls, text: str, value: int | float | bool) -> TypedScalar:
        made = super().__new__(cls, text)
        made.value = value
        return made

    def __getnewargs__(self) -> tuple[str, int | float | bool]:  # type: ignore[override]
        return str(self), self.value
