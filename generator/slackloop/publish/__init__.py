"""Website, print, schedules and safe output."""
