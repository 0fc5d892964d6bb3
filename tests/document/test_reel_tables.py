"""The reel plan as a crew reads it: what a length holds, what it may take, and which boxes wait for a length."""

from __future__ import annotations

from pathlib import Path

from book_samples import demonstration, page_words
from samples import chain, job_text
from slackloop.document.boxes.card import cards_of
from slackloop.document.inline import plain
from slackloop.document.table import Table
from slackloop.document.tables.reel_tables import pulls_table, reels_table
from slackloop.document.worked import work
from slackloop.pipeline.handbook_folder import context_of

BRANCHED = [
    *chain(3),
    "{id: B4, from: B1, run: 30 m, surface: lawn}",
]


def told(table: Table) -> str:
    return " ".join(plain(each) for each in (table.intro, *table.notes))


def test_a_length_says_what_it_holds_and_the_most_that_it_may_take(tmp_path: Path) -> None:
    """A run of 50 m with 1.5 m of slack at one end and 1.5 m at both: 51.5 m and 53 m; with 5 % waste 54.0 and 55.6."""
    path = tmp_path / "job.yml"
    path.write_text(job_text(chain(3)), encoding="utf-8")
    context = context_of(work(path))
    reels = reels_table(context)
    words = plain(reels.rows[0][[column.key for column in reels.columns].index("pulls")].line)
    assert "controller to B1 51.5 m, at most 54.0 m" in words
    assert "B1 to B2 53.0 m, at most 55.6 m" in words
    assert "no waves in the trench" in told(reels)
    assert "wait for a length" not in told(reels), "one way after the other: no box waits"
    pulls = pulls_table(context)
    keys = [column.key for column in pulls.columns]
    for row, reel_row in zip(pulls.rows, context.analysis.reels[0].reels[0].pieces, strict=True):
        assert row[keys.index("most")].number == reel_row.length_m * 1.05


def test_what_all_lengths_may_take_fits_on_their_reel() -> None:
    for plan in demonstration().analysis.reels:
        assert plan.reel_m is not None
        for reel in plan.reels:
            assert sum(plan.most_m(piece) for piece in reel.pieces) <= plan.reel_m + 1e-9


def test_a_box_that_waits_for_a_length_of_a_later_branch_is_named(tmp_path: Path) -> None:
    """B4 branches off at B1, and B2 and B3 are pulled before it; in the demonstration four branch boxes wait so."""
    path = tmp_path / "job.yml"
    path.write_text(job_text(BRANCHED), encoding="utf-8")
    words = told(reels_table(context_of(work(path))))
    assert "B1 for B1 to B4 (reel 1)." in words
    assert words.count(" for B") == 1
    words = told(reels_table(demonstration().context))
    for late in ("B06 for B06 to B21 (reel 3)", "B12 for B12 to B29 (reel 2)", "B24 for B24 to B27 (reel 3)",
                 "B31 for B31 to B35 (reel 3)"):  # fmt: skip
        assert late in words
    assert words.count(" (reel ") == 4


def test_page_and_card_of_a_branch_box_name_the_runs_that_its_splice_waits_for_with_their_reels() -> None:
    book = demonstration()
    card = {card.id: card for card in cards_of(book.context)}
    waits = "Lay and test the runs to B07 (reel 1) and B21 (reel 3)"
    assert f"Before the splice {waits}" in " ".join(page_words(book, "boxes/b06").split())
    assert ("Before the splice", f"{waits}.") in [(each.title, each.text) for each in card["B06"].watch]
    branches = {each.id for each in card.values() if "Before the splice" in [watch.title for watch in each.watch]}
    assert branches == {"B06", "B12", "B24", "B31"}
