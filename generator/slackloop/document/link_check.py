"""Every link of the document leads to a page and a place that exist: checked before anything is rendered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from slackloop.document.page import Page
from slackloop.document.target import FileTarget, PageTarget
from slackloop.document.walk import anchors, targets


class LinksBroken(Exception):
    """Pages clash or links lead nowhere; ``faults`` names each, one line a fault."""

    def __init__(self, faults: Sequence[str]) -> None:
        super().__init__("\n".join(faults))
        self.faults = tuple(faults)


def check_links(pages: Sequence[Page], files: Iterable[str]) -> None:
    """Raise ``LinksBroken`` for ids that stand twice and links that lead nowhere; ``files`` lie beside the pages."""
    beside = frozenset(files)
    faults = [f"two pages are at {page}" for page, n in Counter(page.id.casefold() for page in pages).items() if n > 1]
    places = {page.id: Counter(anchors(page.blocks)) for page in pages}
    for page in pages:
        faults += [f"{page.id}: two places are named #{name}" for name, n in places[page.id].items() if n > 1]
        for target in dict.fromkeys(targets(page.blocks)):
            match target:
                case PageTarget(to, anchor) if to not in places:
                    faults.append(f"{page.id}: a link leads to {to}, and there is no such page")
                case PageTarget(to, anchor) if anchor and anchor not in places[to]:
                    faults.append(f"{page.id}: a link leads to {to}#{anchor}, and there is no such place")
                case FileTarget(name) if name not in beside:
                    faults.append(f"{page.id}: a link leads to the file {name}, and there is no such file")
                case _:
                    pass
    if faults:
        raise LinksBroken(faults)
