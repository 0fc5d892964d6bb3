"""The fonts of the printed handbook."""

from slackloop.render.typst.print_fonts import TEXT_FAMILY, print_fonts

__all__ = ["TEXT_FAMILY", "print_fonts"]
