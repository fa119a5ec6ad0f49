"""`python -m app`: the window, or one verb without it."""

from app.cli.main import run

if __name__ == "__main__":
    run()
