"""Fingerprints and revisions."""
