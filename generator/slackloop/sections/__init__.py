"""The method's text: sections, words, conditions, and the rules that they keep."""
