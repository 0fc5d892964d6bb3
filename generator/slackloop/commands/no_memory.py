"""How it is known that a program got no memory."""

from __future__ import annotations

import errno

NO_MEMORY = "no memory"
_LACKING = (
    "MemoryError",
    "bad_alloc",
    "memory allocation of",
    "Cannot allocate memory",
    "failed to map segment",
    "can't start new thread",
    "pthread_create failed",
    "ThreadPoolBuildError",
)
"""What Python, the loader of libraries and the libraries say when the system gives them no memory."""


def lacks_memory(problem: BaseException) -> bool:
    """Whether an error comes from memory that the system did not give, in Python or in a library under it."""
    if isinstance(problem, MemoryError) or (isinstance(problem, OSError) and problem.errno == errno.ENOMEM):
        return True
    return says_no_memory(f"{type(problem).__name__}: {problem}")


def says_no_memory(text: str) -> bool:
    """Whether a text is what a program says that got no memory."""
    return any(sign in text for sign in _LACKING)
