"""The one error that reading a quantity raises; it carries what a finding needs."""

from __future__ import annotations


class QuantityError(ValueError):
    """A text that is not the quantity asked for: finding code, message with figures, what was expected, the mend."""

    def __init__(self, code: str, message: str, expected: str = "", hint: str = "") -> None:
        super().__init__(message)
        self.code = code
        self.message = message
        self.expected = expected
        self.hint = hint
