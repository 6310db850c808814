"""`python -m notebook` is the same as `teardown`."""

from notebook.commands.main import run

if __name__ == "__main__":
    run()
