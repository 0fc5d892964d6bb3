"""Reference tables of site_data as typed rows."""
