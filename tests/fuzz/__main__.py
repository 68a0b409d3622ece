"""`python -m tests.fuzz KIND --count N --seed S`: see `measure.py` beside this."""

import runpy
import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]
runpy.run_path(str(HERE / "measure.py"), run_name="__main__")
