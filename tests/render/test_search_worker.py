"""The theme's search, mended: what is mended is found once, and a theme that changes there is told."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from slackloop.render.html.settings import SEARCH_WORKER, ThemeChanged, mend_search_worker


def test_states_of_the_search_have_a_sign_between() -> None:
    (worker,) = Path(str(files("material"))).glob("templates/assets/javascripts/workers/search.*.js")
    stock = worker.read_text(encoding="utf-8")
    mended = mend_search_worker(stock)
    assert mended.replace(SEARCH_WORKER[1], SEARCH_WORKER[0]) == stock != mended
    with pytest.raises(ThemeChanged, match="search"):
        mend_search_worker(mended)
