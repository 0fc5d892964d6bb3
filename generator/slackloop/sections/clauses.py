"""Which of the clauses that content names are cited for a job: its own country's, and standards of no one country."""

from __future__ import annotations

from types import MappingProxyType

COUNTRIES: MappingProxyType[str, tuple[str, ...]] = MappingProxyType(
    {
        "us": ("29 CFR", "NEC ", "NFPA ", "OSHA "),
        "uk": ("CDM ", "HSE ", "BS 7671"),
    }
)
"""How the rules of a country begin, by code basis."""


def named_clauses(text: str) -> tuple[str, ...]:
    """Each clause in ``text``; content parts them by semicolons."""
    return tuple(part for each in text.split(";") if (part := each.strip()))


def cited_clauses(text: str, code_basis: str) -> tuple[str, ...]:
    """The clauses of ``text`` that belong to ``code_basis`` or to no one country; none where all belong elsewhere."""
    return tuple(clause for clause in named_clauses(text) if country_of(clause) in ("", code_basis))


def country_of(clause: str) -> str:
    """The code basis whose country made the rule; empty for a standard of no one country."""
    return next((basis for basis, starts in COUNTRIES.items() if clause.startswith(starts)), "")
