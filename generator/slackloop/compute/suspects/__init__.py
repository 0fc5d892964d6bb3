"""What a set of readings says: where a fault most likely is, and how small a fault the readings can show."""
