"""Start Firstcrank from a fresh checkout: python3 packaging/start.py [words for the program]."""

import subprocess
import sys

if sys.version_info < (3, 11):  # noqa: UP036  an older Python is just what this line is for
    sys.exit("Firstcrank needs Python 3.11 or newer; this is Python {}.{}.".format(*sys.version_info[:2]))

import environment


def main() -> int:
    """Make .venv right, run the program in the user's own folder, and return its exit code."""
    try:
        python = environment.prepare(environment.RUN)
        # -P: an unrelated folder named "app" where the user stands must not be taken for ours.
        return subprocess.run([str(python), "-P", "-m", "app", *sys.argv[1:]], check=False).returncode
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())
