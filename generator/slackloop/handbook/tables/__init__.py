"""Every computed table of the handbook as typed columns."""
