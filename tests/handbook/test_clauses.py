"""A job cites the rules of its own country and standards of no one country, and no other country's rules."""

from __future__ import annotations

from slackloop.sections.page_source import cited_clauses


def test_a_job_cites_its_own_countrys_rule_alone() -> None:
    both = "29 CFR 1926.651; CDM 2015 reg. 22"
    assert cited_clauses(both, "us") == ("29 CFR 1926.651",)
    assert cited_clauses(both, "uk") == ("CDM 2015 reg. 22",)


def test_a_standard_of_no_one_country_is_cited_everywhere() -> None:
    both = "IEC 60364-6 (Table 6.1); BS 7671 (Table 64)"
    assert cited_clauses(both, "us") == ("IEC 60364-6 (Table 6.1)",)
    assert cited_clauses(both, "uk") == ("IEC 60364-6 (Table 6.1)", "BS 7671 (Table 64)")
    assert cited_clauses("UL 486D", "general") == ("UL 486D",)


def test_a_rule_from_elsewhere_is_not_cited() -> None:
    assert cited_clauses("NEC 300.5(F)", "uk") == ()
    assert cited_clauses("29 CFR 1926.651; CDM 2015 reg. 22", "general") == ()
