"""Schedules as CSV and as a workbook."""
