"""Lets the tests of this folder share ``drawing_reader``."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
