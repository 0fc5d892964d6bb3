"""A drawing on its way to paper: black where a screen takes the reader's text colour, and our own text face."""

from __future__ import annotations

from slackloop.render.typst.fonts import TEXT_FAMILY

_ON_SCREEN = (('="currentColor"', '="#000000"'), ('font-family="sans-serif"', f'font-family="{TEXT_FAMILY}"'))
"""As values of attributes: a quote in text is always escaped, so no words of a drawing can match."""


def print_svg(svg: str) -> str:
    """The drawing as it is printed."""
    for screen, paper in _ON_SCREEN:
        svg = svg.replace(screen, paper)
    return svg
