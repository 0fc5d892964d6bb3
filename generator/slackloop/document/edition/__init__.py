"""The edition of the crew's pages and cards in another language."""
