"""What was measured on site: read, merged and judged by the limits that the handbook prints."""
