"""Cable: slack, splices, reels, materials."""
